"""music21's own chord symbols as an independent reader, and where it is known to differ.

Every difference from the W3C schema's reading stands here with its reason and
with what music21 makes of the case instead, so that nothing hides behind a row.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from music21 import harmony

from drills.harmony.kinds import KINDS

Semitones = frozenset[int]

FUNCTIONAL: Final = ("Neapolitan", "Italian", "French", "German")
"""music21 counts these from the tonic of a key, as if the written root were it; our
chords are counted from the root that the symbol writes, their own lowest tone."""


def pitch_classes(
    root: str, kind: str, degree: tuple[int, int, str] | None = None, bass: str | None = None
) -> Semitones | None:
    """What music21 makes of a chord symbol, as semitones above C; None where it refuses."""
    symbol = harmony.ChordSymbol(
        root=root.replace("b", "-"),
        bass=bass.replace("b", "-") if bass else None,
        kind=harmony.CHORD_ALIASES.get(kind, kind),
    )
    if degree is not None:
        number, alter, how = degree
        change = harmony.ChordStepModification(how, number, alter)
        try:
            symbol.addChordStepModification(change)
        except harmony.ChordStepModificationException:
            return None
    return frozenset(pitch.pitchClass for pitch in symbol.pitches)


@dataclass(frozen=True, slots=True)
class Case:
    """A kind on C with one degree."""

    kind: str
    number: int
    alter: int
    how: str

    @property
    def own(self) -> dict[int, int]:
        """The kind's tones: number -> semitones above the root within the octave."""
        return {tone.number: tone.semitones % 12 for tone in KINDS[self.kind].tones}

    @property
    def has_unaltered(self) -> bool:
        """Whether the kind has the degree as the major scale has it."""
        tones = {tone.number: tone.alter for tone in KINDS[self.kind].tones}
        return tones.get(self.number) == 0


@dataclass(frozen=True, slots=True)
class Difference:
    """A class of cases that music21 reads in another way than the schema says."""

    reason: str
    applies: Callable[[Case], bool]
    theirs: Callable[[Case], Semitones | None]


SCALE: Final = (0, 2, 4, 5, 7, 9, 11)


def scale_tone(case: Case) -> int:
    return (SCALE[(case.number - 1) % 7] + case.alter) % 12


def replaced(case: Case) -> Semitones:
    rest = {tone for number, tone in case.own.items() if number != case.number}
    return frozenset(rest | {scale_tone(case)})


def added_seventh(case: Case) -> Semitones:
    own = case.own
    if case.has_unaltered and case.alter:
        del own[7]
    return frozenset({*own.values(), scale_tone(case)})


def tristan(case: Case) -> Semitones:
    tones = {1: 0, 4: 3, 6: 6, 9: 10}
    changed = tones.pop(case.number)
    if case.how == "alter":
        tones[case.number] = changed + case.alter
    return frozenset(tones.values())


DIFFERENCES: Final = (
    Difference(
        "A degree to be taken away that is not there: music21 refuses, we change nothing.",
        lambda case: (
            case.how == "subtract" and case.number not in case.own and case.kind != "other"
        ),
        lambda _: None,
    ),
    Difference(
        "An added degree of the triad or sixth that is there unaltered: music21 puts the new "
        "tone in its place; the schema's add leaves the old one (alter is what replaces).",
        lambda case: (
            case.how == "add"
            and case.number < 7
            and case.number != 5
            and case.has_unaltered
            and bool(case.alter)
        ),
        replaced,
    ),
    Difference(
        "An added degree above the octave that is there unaltered: music21 adds nothing.",
        lambda case: (
            case.how == "add" and case.number > 7 and case.has_unaltered and bool(case.alter)
        ),
        lambda case: frozenset(case.own.values()),
    ),
    Difference(
        "An added seventh: by the schema it counts from a dominant chord's minor seventh. "
        "music21 does so for a raised one only and takes the others from the major scale.",
        lambda case: (
            case.number == 7
            and case.alter < 1
            and (case.how == "add" or (case.how == "alter" and 7 not in case.own))
        ),
        added_seventh,
    ),
    Difference(
        "Degrees of the Tristan chord: music21 mixes up which of its tones is which, since "
        "it holds the tones in one order and their names in another.",
        lambda case: case.kind == "Tristan" and case.how != "add" and case.number in (4, 6, 9),
        tristan,
    ),
)
