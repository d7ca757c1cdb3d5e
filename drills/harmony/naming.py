"""From a stretch read as sounds to a chord as it is spelled.

Problem.  Twelve sounds do not say whether a root is F sharp or G flat, which tone
of a diminished seventh is the root, whether F A C D is a sixth on F or a seventh on
D, or whether a seventh is the augmented sixth that it sounds like.

Method.  The spelling of the notes that sound decides the first two: among roots whose
chords have the same tones, the one whose tones are spelled most as the notes are,
then the bass.  A sixth is read where the bass holds its root for two beats or more
and the next chord does not lie a fourth above the root of the seventh, to which that
would fall (common practice: a seventh with its third in the bass wants to go on, a
sixth can stay).  A chord spelled with an augmented sixth is named by it (Italian,
German, French, counted as in kinds.py), unless its root falls a fifth as that of a
dominant does; a French sixth only over its root, since over another bass the same
notes are a dominant with a lowered fifth.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import Final

from drills.harmony.chord import NO_CHORD, Chord, ChordTone, PitchClass, Source
from drills.harmony.kinds import KINDS, tone_of
from drills.harmony.segments import Segment
from drills.harmony.sound import Tone
from drills.harmony.suffixes import chord_named
from drills.harmony.templates import TEMPLATES, Candidate
from drills.harmony.weights import CALIBRATION

_SIXTHS: Final = {"minor-seventh": "major-sixth", "half-diminished": "minor-sixth"}
"""What has the same tones, counted from the third of the first."""
_SYMMETRIC: Final = ("diminished-seventh", "augmented")
"""Chords whose every tone may be the root."""
_LEAST_OF_A_LINE: Final = Fraction(1, 10)
"""A line alone says nothing of its chord where no more speaks for it."""
_FALLS: Final = 5
"""Semitones up to the root to which a dominant's falls a fifth."""
_LOWERED_FIFTH: Final = tuple(tone_of(label) for label in ("R", "3", "b5", "b7"))
"""The dominant that sounds as a French sixth does, on either of two roots."""
_SUSPENDED_SEVENTH: Final = tuple(tone_of(label) for label in ("R", "4", "5", "b7"))
"""A seventh whose third is suspended: a suspended fourth with a degree more."""
_ROOTLESS: Final = tuple(tone_of(label) for label in ("3", "b7", "9", "13"))
"""A dominant with its thirteenth whose root nobody plays."""
_BY_DEGREES: Final = {
    "suspended-seventh": ("suspended-fourth", _SUSPENDED_SEVENTH),
    "rootless": ("dominant-13th", _ROOTLESS),
}
"""Templates that are no kind of MusicXML: the kind that names them, and their tones."""
_SIXTH_STAYS: Final = 200
"""Percent of a beat that a sixth lasts at least."""


SILENT: Final = replace(NO_CHORD, source=Source.NOTES)
"""No chord, as the notes say."""

Spelling = Mapping[int, PitchClass]
"""How each sound (0 to 11) is mostly spelled."""


def named(segments: Sequence[Segment], tones: Sequence[Tone]) -> Iterator[Chord]:
    """The chord of each stretch; the tones by start."""
    for index, (segment, sounding) in enumerate(
        zip(segments, _tones_within(segments, tones), strict=True)
    ):
        later = segments[index + 1].best if index + 1 < len(segments) else None
        yield _named(segment, sounding, later.root if later else None)


@dataclass(frozen=True, slots=True)
class _Form:
    """What a stretch is named: a kind with its tones on a root."""

    root: int
    """Semitones above C."""
    kind: str
    tones: tuple[ChordTone, ...]
    clear: bool = True
    """False where its spelling speaks for another name too, or nobody plays its root."""


def _named(segment: Segment, tones: Sequence[Tone], next_root: int | None) -> Chord:
    best = segment.best
    if best is None:
        return SILENT
    spelling = _spelling(segment, tones)
    basses = _basses(segment)
    falls = next_root is not None and (next_root - best.root) % 12 == _FALLS
    form = _form(segment, best, spelling, basses, falls=falls)
    root = _root(form, spelling)
    own = {tone.semitone: tone for tone in (root.above(t.number, t.alter) for t in form.tones)}
    bass = None if basses[0] == form.root else own.get(basses[0], spelling[basses[0]])
    speaks = _speaks(segment, form)
    if not segment.sums.together and speaks <= _LEAST_OF_A_LINE:
        return SILENT
    certainty = _calibrated(speaks)
    if form.tones in (_LOWERED_FIFTH, _SUSPENDED_SEVENTH):
        return chord_named(
            root, form.kind, form.tones, bass, source=Source.NOTES, certainty=certainty
        )
    suffix = KINDS[form.kind].suffix + ("(no1)" if form.tones == _ROOTLESS else "")
    return Chord(root, form.kind, form.tones, bass, suffix, Source.NOTES, certainty)


def _form(
    segment: Segment, best: Candidate, spelling: Spelling, basses: Sequence[int], *, falls: bool
) -> _Form:
    """The form of a chord that was read, as its spelling, its bass and its way on have it."""
    kind = best.kind
    if kind in _SYMMETRIC or kind == "French":
        forms = _as_french(best.root) if kind == "French" else _on_each_tone(best)
        return _best_spelled(forms, spelling, basses[0])
    if kind in _BY_DEGREES:
        return _Form(best.root, *_BY_DEGREES[kind], clear=kind != "rootless")
    if kind in _SIXTHS and _stays(segment, basses, best) and not falls:
        return _Form(best.third, _SIXTHS[kind], _tones(_SIXTHS[kind]))
    if kind == "dominant" and not falls and _is_augmented_sixth(best.root, spelling):
        kind = "German" if segment.sums.support[best.fifth] else "Italian"
        return _Form(best.root, kind, KINDS[kind].tones)
    form = _Form(best.root, kind, _tones(kind))
    if kind == "diminished" and _fitting(form, spelling) < len(form.tones):
        return _part_of_seventh(form, spelling)
    return form


def _root(form: _Form, spelling: Spelling) -> PitchClass:
    """The root as it is spelled; one that does not sound lies a minor sixth above the third."""
    if form.tones == _ROOTLESS:
        return spelling[(form.root + 4) % 12].above(6, -1)
    return spelling[form.root]


def _part_of_seventh(form: _Form, spelling: Spelling) -> _Form:
    """The diminished seventh that has three tones as they are spelled; else the triad, unclear.

    F Ab B is B D F Ab without its third: the B leads up to C whatever is in the bass.
    """
    kind = "diminished-seventh"
    roots = [root for step in TEMPLATES[kind] if (root := (form.root + step) % 12) in spelling]
    sevenths = [_Form(root, kind, _tones(kind)) for root in roots]
    fitting = [one for one in sevenths if _fitting(one, spelling) == len(form.tones)]
    return fitting[0] if len(fitting) == 1 else replace(form, clear=False)


def _on_each_tone(best: Candidate) -> Iterator[_Form]:
    """The names of a chord whose every tone may be the root."""
    for step in TEMPLATES[best.kind]:
        yield _Form((best.root + step) % 12, best.kind, _tones(best.kind))


def _as_french(root: int) -> Iterator[_Form]:
    """The four names of a French sixth's sounds."""
    for one in (root, (root + 6) % 12):
        yield _Form(one, "dominant", _LOWERED_FIFTH)
        yield _Form(one, "French", KINDS["French"].tones)


def _best_spelled(forms: Iterable[_Form], spelling: Spelling, bass: int) -> _Form:
    """The form whose tones are spelled most as the notes are; of equals by the bass.

    A French sixth stands over its root; without it the lowered fifth is the name.
    """

    def rank(form: _Form) -> tuple[int, bool, bool, int]:
        over_root = form.root == bass
        french = form.kind == "French"
        return _fitting(form, spelling), over_root, over_root == french, -((form.root - bass) % 12)

    first, second = sorted(forms, key=rank, reverse=True)[:2]
    unlike = first.kind == second.kind and _fitting(first, spelling) == _fitting(second, spelling)
    return replace(first, clear=not unlike)


def _fitting(form: _Form, spelling: Spelling) -> int:
    """How many of its tones the notes spell as it would."""
    root = spelling[form.root]
    tones = (root.above(tone.number, tone.alter) for tone in form.tones)
    return sum(spelling.get(tone.semitone) == tone for tone in tones)


def _is_augmented_sixth(root: int, spelling: Spelling) -> bool:
    sixth = spelling[root].above(6, 1)
    return spelling.get(sixth.semitone) == sixth


def _tones(kind: str) -> tuple[ChordTone, ...]:
    """The tones of a kind that its template has: a thirteenth without ninth and eleventh."""
    own = {semitone % 12 for semitone in TEMPLATES[kind]}
    return tuple(tone for tone in KINDS[kind].tones if tone.semitones % 12 in own)


def _tones_within(segments: Sequence[Segment], tones: Sequence[Tone]) -> Iterator[list[Tone]]:
    """The tones that sound, or ring on, in each stretch."""
    active: list[Tone] = []
    coming = 0
    for segment in segments:
        while coming < len(tones) and tones[coming].start < segment.end:
            active.append(tones[coming])
            coming += 1
        active = [tone for tone in active if tone.rings > segment.start]
        yield active


def _spelling(segment: Segment, tones: Sequence[Tone]) -> Spelling:
    """The spelling of every sound that most of its length has; of equals the plainest."""
    lengths: Counter[PitchClass] = Counter()
    for tone in tones:
        lengths[tone.name] += min(tone.rings, segment.end) - max(tone.start, segment.start)
    ordered = sorted(
        lengths, key=lambda name: (-lengths[name], abs(name.alter), -name.alter, name.step)
    )
    found: dict[int, PitchClass] = {}
    for name in ordered:
        found.setdefault(name.semitone, name)
    return found


def _basses(segment: Segment) -> list[int]:
    """The lowest sounds, the one that lasts longest first.

    A tone of the chord comes before a tone that is foreign to it, unless the foreign
    one is the only bass: a pedal point.
    """
    bass = segment.sums.bass
    own = segment.best.classes if segment.best else ()
    root = segment.best.root if segment.best else 0
    heard = (semitone for semitone in range(12) if bass[semitone])
    return sorted(heard, key=lambda one: (one not in own, -bass[one], (one - root) % 12))


def _stays(segment: Segment, basses: Sequence[int], best: Candidate) -> bool:
    """Whether the third of a seventh is held in the bass as the root of a sixth is."""
    return segment.sums.length >= _SIXTH_STAYS and basses == [best.third]


def _calibrated(speaks: Fraction) -> Fraction:
    """How often a reading is right for which the notes speak so far: hundredths."""
    percent = 100 * speaks
    for (low, at_low), (high, at_high) in pairwise(CALIBRATION):
        if percent <= high:
            between = at_low + (percent - low) * (at_high - at_low) / (high - low)
            return Fraction(round(between), 100)
    return Fraction(CALIBRATION[-1][1], 100)


def _speaks(segment: Segment, form: _Form) -> Fraction:
    """How far the notes speak for the reading, 0 to 1: see from_notes."""
    sums = segment.sums
    if not sums.length:
        return Fraction(0)
    of_chord = [int(sums.support[(form.root + tone.semitones) % 12]) for tone in form.tones]
    explained = Fraction(sum(of_chord), int(sums.support.sum()))
    complete = Fraction(sum(1 for support in of_chord if support), len(of_chord))
    ahead = min(Fraction(1), max(Fraction(0), Fraction(segment.ahead, sums.length)))
    together = (1 + Fraction(sums.together, sums.length)) / 2
    founded = (3 + Fraction(sums.founded, sums.length)) / 4
    value = explained * complete * ahead * together * founded
    return value if form.clear else value / 2
