"""Small parts of our own, built by hand: a harbour town's wind band.

``run_part`` is one bar of sixteen sixteenths with all different moves, and the
bar it lands in.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from drills.music.notes import Beam, Note, Voice
from drills.music.pitch import KeySignature, Pitch, Transposition
from drills.music.score import Bar, Credits, Instrument, Part, RehearsalMark
from drills.music.time import COMMON_TIME, NoteValue, Position, TimeSignature, length, position
from drills.places.finding import find_span
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet

CLARINET = Instrument("Clarinet in B flat", "woodwind", Transposition(-1, -2), known=True)

RUN = "C5 D5 Eb5 F#5 G5 Ab5 B5 C6 D6 B5 Ab5 G5 F#5 Eb5 D5 B4"
"""Sixteen notes in C minor: no two neighbours twice, accidentals on both ways."""

SIXTEENTH = NoteValue("16th")


def notes(
    text: str, value: NoteValue = SIXTEENTH, *, start: Position | None = None
) -> tuple[Note, ...]:
    """Notes of one value, beamed by the quarter where they have flags."""
    at = start or position(0)
    made = []
    per_beat = int(Fraction(1) / value.length.quarters) if value.flags else 0
    names = text.split()
    for index, name in enumerate(names):
        beam = None
        if per_beat and len(names) >= per_beat:
            inside = index % per_beat
            beam = Beam.START if inside == 0 else Beam.CONTINUE
            beam = Beam.STOP if inside == per_beat - 1 else beam
        made.append(Note(at, value.length, (Pitch.parse(name),), value, beam=beam))
        at = at + value.length
    return tuple(made)


def bar(
    index: int,
    events: Sequence[Note],
    *,
    number: str = "",
    time: TimeSignature = COMMON_TIME,
    key: KeySignature | None = None,
    mark: str = "",
) -> Bar:
    """A full bar of one voice in C minor unless told otherwise."""
    return Bar(
        index,
        number or str(index + 1),
        time.bar_length,
        time,
        key or KeySignature(-3, "minor"),
        instrument=CLARINET,
        voices=(Voice("1", tuple(events)),),
        marks=(RehearsalMark(mark),) if mark else (),
    )


def part(bars: Sequence[Bar], title: str = "Breakwater March", rights: str = "") -> Part:
    """A part that holds the bars."""
    credits_line = Credits(title=title, composer="", rights=rights)
    return Part("Clarinet 2 in B flat", CLARINET, tuple(bars), credits_line, "breakwater.musicxml")


def run_part(title: str = "Breakwater March", rights: str = "") -> Part:
    """Bar 33 (rehearsal mark E): the run; bar 34: a half note and a half note."""
    half = NoteValue("half")
    landing = notes("C5 G4", half)
    return part(
        [bar(0, notes(RUN), number="33", mark="E"), bar(1, landing, number="34")], title, rights
    )


def run_sheet(
    choices: Choices | None = None, note: str = "", title: str = "Breakwater March"
) -> Sheet:
    """The sheet of bar 33 with the landing note of bar 34."""
    made = run_part(title, "Free to copy for the players of the harbour band")
    chosen = choices or Choices(tempo=Fraction(120), tempo_beat=NoteValue("quarter"))
    return make_sheet(made, find_span(made, "33"), chosen, note)


_COMPASS = """
    G3 Ab3 A3 Bb3 B3 C4 C#4 D4 Eb4 E4 F4 F#4 G4 Ab4 A4 Bb4 B4
    C5 C#5 D5 Eb5 E5 F5 F#5 G5 Ab5 A5 Bb5 B5 C6 C#6 D6
"""
COMPASS = _COMPASS.split()
"""The clarinet's written G3 to D6."""


def long_part(bars: int = 8) -> Part:
    """Bars of sixteenths without a repeated move, and the bar they land in."""
    names: list[str] = []
    used: set[tuple[int, int]] = set()
    at = 12
    for count in range(16 * bars):
        step = next(s for s in _STEPS[count % 7 :] + _STEPS if _is_new(at, s, used))
        used.add((at, at + step))
        at += step
        names.append(COMPASS[at])
    made = [
        bar(index, notes(" ".join(names[16 * index : 16 * index + 16])), number=str(index + 41))
        for index in range(bars)
    ]
    return part([*made, bar(bars, notes("C5 G4", NoteValue("half")), number=str(bars + 41))])


_STEPS = (1, 2, -3, 4, -1, -2, 5, 3, -4, 7, -5, 8, -7, 12, -8, -12)


def _is_new(at: int, step: int, used: set[tuple[int, int]]) -> bool:
    return 0 <= at + step < len(COMPASS) and (at, at + step) not in used


def whole_length(bars: Sequence[Bar]) -> Fraction:
    """Quarters in bars together."""
    return sum((one.length.quarters for one in bars), length(0).quarters)
