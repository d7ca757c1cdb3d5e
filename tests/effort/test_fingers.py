"""What the fingers do, in words: held against the standard fingerings that every chart of
the instrument shows (common to the beginners' books; names of keys are ours)."""

from __future__ import annotations

import pytest

from drills.effort.fingers import diagrams, finger_words
from drills.effort.moves import Move
from drills.effort.within import moves_within
from drills.instruments.judged import EffortInstrument
from drills.places.finding import find_span
from drills.places.spots import make_spot
from tests.music_made import bar_of, notes, part_of


def move_of(instrument: str, names: str) -> tuple[Move, EffortInstrument]:
    part = part_of([bar_of(notes(names, "half"))])
    spot = make_spot(part, find_span(part, "1"))
    moves, judged = moves_within(part, spot.runs, instrument)
    (move,) = moves
    assert move is not None
    return move, judged[0]


@pytest.mark.parametrize(
    ("instrument", "names", "said"),
    [
        (
            "clarinet",
            "G4 Bb4",
            "G to B flat: left thumb takes the register key; left index takes the throat A key",
        ),
        ("trumpet", "C4 D4", "C to D: open to 1-3; the lips 1 partial up"),
        ("trumpet", "F4 E4", "F to E: 1 to 1-2"),
        ("trombone", "F3 E3", "F to E: position 1 to position 2"),
        (
            "trombone",
            "Bb3 C4",
            "B flat to C: position 5 to position 6; the lips 1 partial up; "
            "B flat is usually position 1; C is usually position 3",
        ),
        ("alto saxophone", "G4 A4", "G to A: left ring up"),
        ("recorder of a harbour", "C4 D4", ""),
        ("violin", "C4 D4", ""),
    ],
)
def test_words(instrument: str, names: str, said: str) -> None:
    assert finger_words(*move_of(instrument, names)) == said


@pytest.mark.parametrize(
    ("instrument", "names", "held", "never"),
    [
        ("oboe", "F6 C5", "right index goes from the right G sharp key home", " off the right"),
        ("bassoon", "A3 G3", "A without the vent key", "with without"),
        ("clarinet", "A4 B4", "left thumb takes the thumb hole and the register key", "right"),
    ],
)
def test_words_within(instrument: str, names: str, held: str, never: str) -> None:
    """On the clarinet's A the right hand may be down already, as it must be for the B."""
    said = finger_words(*move_of(instrument, names))
    assert held in said
    assert never not in said


def test_drawings() -> None:
    """The six holes, left hand first, and what else is held; numbers on brass."""
    before, after = diagrams(*move_of("alto saxophone", "G4 A4"))
    assert before.holes == (True, True, True, False, False, False)
    assert after.holes == (True, True, False, False, False, False)
    assert [one.numbers for one in diagrams(*move_of("trumpet", "F4 E4"))] == ["1", "1-2"]
    assert diagrams(*move_of("violin", "C4 D4")) == ()
