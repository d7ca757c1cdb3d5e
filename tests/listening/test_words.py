"""What is said of a verdict, on verdicts made by hand."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from drills.listening.repeats import Habit
from drills.listening.verdict import NoteVerdict, Verdict
from drills.listening.words import sentence


def note(number: int, late: float) -> NoteVerdict:
    """A right note, so many ms after its due time."""
    return NoteVerdict(
        number=number,
        key=60 + number,
        call="right",
        certainty="sure",
        heard=60 + number,
        seconds=number * 0.25,
        late=late,
        late_share=late / 500,
        against_click=None,
        length_share=1.0,
        cents=0.0,
        pure_cents=None,
        unsteady=2.0,
        tempo=120.0,
        tries=1,
        fit=0.1,
    )


def verdict(*late: float) -> Verdict:
    """A take whose notes are all right."""
    notes = tuple(note(number, ms) for number, ms in enumerate(late, 1))
    return Verdict(notes, (), (), None, 0.0, None, 1.0, (1, len(late)), "", None, 0.95)


@pytest.mark.parametrize(
    ("late", "hard", "said"),
    [
        ((0, 0, 40, 0), {}, "The move from 2 to 3 comes 40 ms late."),
        (
            (0, 0, 40, 0),
            {3: "crosses the break"},
            "The move from 2 to 3 comes 40 ms late; it is one of the hard moves of the sheet "
            "(crosses the break).",
        ),
        ((0, 35, 40, -50), {2: "", 3: ""}, "Of 3 moves that were off, 2 are hard ones"),
        ((0, 27, -28, 20), {2: ""}, "Go on to the next rung."),
    ],
)
def test_late_moves_and_hard_moves(
    late: tuple[float, ...], hard: Mapping[int, str], said: str
) -> None:
    told = sentence(verdict(*late), hard=hard)
    assert told.startswith("All 4 notes were there.")
    assert said in told


def test_a_habit_at_a_hard_move() -> None:
    habit = Habit(8, "late", 4, 5, 40.0, 6.0)
    told = sentence(verdict(*[0.0] * 9), [habit], "96", {8: "five fingers at once"})
    assert "Stay on 96: the move from 7 to 8 comes 40 ms late 4 times out of 5; it is" in told
    assert "(five fingers at once)" in told
