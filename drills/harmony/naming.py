"""From a stretch read as sounds to a chord as it is spelled.

Problem.  Twelve sounds do not say whether a root is F sharp or G flat, which tone
of a diminished seventh is the root, or whether F A C D is a sixth on F or a seventh
on D.  Method.  The spelling of the notes that sound decides the first two: among
roots whose chords have the same tones, the one whose tones are spelled most as the
notes are, then the bass.  A sixth is read where the bass holds its root for two
beats or more and the next chord does not lie a fourth above the root of the seventh,
to which that would fall (common practice: a seventh with its third in the bass
wants to go on, a sixth can stay).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from drills.harmony.chord import NO_CHORD, Chord, ChordTone, PitchClass, Source
from drills.harmony.kinds import KINDS
from drills.harmony.segments import Segment
from drills.harmony.sound import Tone
from drills.harmony.templates import TEMPLATES

_SIXTHS: Final = {"minor-seventh": "major-sixth", "half-diminished": "minor-sixth"}
"""What has the same tones, counted from the third of the first."""
_SYMMETRIC: Final = ("diminished-seventh", "augmented")
"""Chords whose every tone may be the root."""
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


def _named(segment: Segment, tones: Sequence[Tone], next_root: int | None) -> Chord:
    if segment.best is None:
        return SILENT
    spelling = _spelling(segment, tones)
    basses = _basses(segment)
    kind, root, clear = segment.best.kind, segment.best.root, True
    if kind in _SYMMETRIC:
        root, clear = _spelled_root(kind, root, spelling, basses[0])
    elif kind in _SIXTHS and _is_sixth(segment, basses, next_root):
        kind, root = _SIXTHS[kind], segment.best.third
    name, tones_of_kind = spelling[root], _tones(kind)
    own = {tone.semitone: tone for tone in (name.above(t.number, t.alter) for t in tones_of_kind)}
    bass = None if basses[0] == root else own.get(basses[0], spelling[basses[0]])
    certainty = _certainty(segment, clear)
    return Chord(name, kind, tones_of_kind, bass, KINDS[kind].suffix, Source.NOTES, certainty)


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


def _spelled_root(kind: str, root: int, spelling: Spelling, bass: int) -> tuple[int, bool]:
    """The root whose chord is spelled most as the notes are, and whether one stands out."""

    def fitting(one: int) -> int:
        tones = (spelling[one].above(tone.number, tone.alter) for tone in KINDS[kind].tones)
        return sum(spelling.get(tone.semitone) == tone for tone in tones)

    roots = [(root + step) % 12 for step in TEMPLATES[kind]]
    fits = sorted((fitting(one), one == bass, -((one - bass) % 12), one) for one in roots)
    return fits[-1][3], fits[-1][0] > fits[-2][0]


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


def _is_sixth(segment: Segment, basses: Sequence[int], next_root: int | None) -> bool:
    best = segment.best
    if best is None or segment.sums.length < _SIXTH_STAYS:
        return False
    falls = next_root is not None and (next_root - best.root) % 12 == 5
    return basses == [best.third] and not falls


def _certainty(segment: Segment, clear: bool) -> Fraction:
    """How far the notes speak for the reading: see from_notes."""
    best, sums = segment.best, segment.sums
    if best is None or not sums.length:
        return Fraction(0)
    of_chord = [sums.support[one] for one in best.classes]
    explained = Fraction(sum(of_chord), sum(sums.support))
    complete = Fraction(sum(1 for support in of_chord if support), len(of_chord))
    ahead = min(Fraction(1), max(Fraction(0), Fraction(segment.ahead, sums.length)))
    together = (1 + Fraction(sums.together, sums.length)) / 2
    value = explained * complete * ahead * together
    return Fraction(round(100 * (value if clear else value / 2)), 100)
