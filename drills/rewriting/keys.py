"""The key that the other player reads, and the way from the old notes to the new.

Problem.  What a clarinet reads in seven sharps an alto saxophone would read in
eight: nobody prints that.  The same sound has a second spelling in four flats.

Method.  Between two transpositions there is one number of semitones and, for
each number of staff steps, one spelling: c semitones and d steps move a key by
7c - 12d fifths.  Of the keys of at most seven signs the one with fewer signs
wins; six sharps or six flats, whichever gives the music fewer odd signs, then the
side on which the music stood.  A signature of its own moves with its steps, and
the spelling with fewest signs wins.

Music without a key.  A signature without signs may mean C major or none at all.
More than a quarter of the pitches altered is taken for none at all (diatonic
music in C or A minor stays below): then the other player gets no signature either,
and the notes are spelled with the fewest odd signs.  Our own measure.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from drills.music.pitch import CONCERT, NO_KEY, KeySignature, Pitch, Transposition
from drills.rewriting.flow import Placed, pitches_of
from drills.rewriting.signs import oddity

MOST_SIGNS: Final = 7
_UNKEYED_FROM: Final = Fraction(1, 4)
"""Share of altered pitches beyond which music without signs has no key."""

Source = tuple[Transposition, KeySignature]
"""What a note was written in: the instrument's transposition, and the key."""


@dataclass(frozen=True, slots=True)
class Reading:
    """How notes of one source are read on the new instrument."""

    way: Transposition
    """From the old written note to the new one, octaves of the range aside."""
    key: KeySignature
    kept: bool = False
    """True where letters and signs stay as they are."""


def readings(
    sources: Iterable[Source], notes: Sequence[Placed], target: Transposition | None
) -> dict[Source, Reading]:
    """The reading of every source that occurs; ``target`` None keeps the written notes."""
    pitches: dict[Source, list[Pitch]] = {source: [] for source in sources}
    for one in notes:
        if not one.note.tie_stop:
            pitches.setdefault((one.moved, one.key), []).extend(pitches_of(one.note))
    if target is None:
        return {source: Reading(CONCERT, source[1], kept=True) for source in pitches}
    return {source: _reading(source, target, found) for source, found in pitches.items()}


def way_between(source: Transposition, target: Transposition, enharmonic: int = 0) -> Transposition:
    """From notes written for one transposition to the same sound for another.

    ``enharmonic`` steps are added to the usual spelling of the interval: the
    one with fewest fifths, whatever steps a file may give for its semitones.
    """
    semitones = source.chromatic - target.chromatic
    steps = source.diatonic - target.diatonic
    near = 7 * semitones // 12
    usual = min((near, near + 1), key=lambda d: abs(_fifths(d, semitones)))
    if abs(_fifths(steps, semitones)) <= abs(_fifths(usual, semitones)):
        usual = steps
    return Transposition(usual + enharmonic, semitones)


def _fifths(steps: int, semitones: int) -> int:
    return 7 * semitones - 12 * steps


def _reading(source: Source, target: Transposition, pitches: Sequence[Pitch]) -> Reading:
    moved, key = source
    usual = way_between(moved, target)
    if not _fifths(usual.diatonic, usual.chromatic) and abs(key.fifths) <= MOST_SIGNS:
        return Reading(usual, key, kept=True)
    ways = [way_between(moved, target, step) for step in (0, -1, 1, -2, 2)]
    if _has_no_key(key, pitches):
        return min(
            (Reading(way, NO_KEY) for way in ways[:3]),
            key=lambda one: sum(oddity(one.way.sounding(p), NO_KEY) for p in pitches),
        )
    possible = [Reading(way, way.sounding_key(key)) for way in ways]
    return min(possible, key=lambda one: _unreadable(one, key, pitches))


def _has_no_key(key: KeySignature, pitches: Sequence[Pitch]) -> bool:
    if key != NO_KEY:
        return False
    altered = sum(1 for pitch in pitches if pitch.alter)
    return altered > _UNKEYED_FROM * len(pitches)


def _unreadable(reading: Reading, old: KeySignature, pitches: Sequence[Pitch]) -> tuple[int, ...]:
    """What a key costs its reader, the worst first."""
    key = reading.key
    if old.custom:
        signs = sum(-(-abs(alter.numerator) // alter.denominator) for _, alter in key.custom)
        return (max((abs(int(alter)) for _, alter in key.custom), default=0), signs)
    other_side = key.fifths * old.fifths < 0 or (old.fifths == 0 and key.fifths > 0)
    if abs(key.fifths) > MOST_SIGNS:
        return (abs(key.fifths), 0, 0)
    odd = sum(oddity(reading.way.sounding(pitch), key) for pitch in pitches)
    return (abs(key.fifths), odd, int(other_side))
