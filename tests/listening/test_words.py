"""What is said of a verdict, on verdicts made by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from drills.listening.comparing import compared
from drills.listening.paper import OnLadder, OnPaper
from drills.listening.repeats import Habit, clean_at_the_end, habits, slips
from drills.listening.telling import times_told, told
from drills.listening.thresholds import USUAL
from drills.listening.verdict import AgainstClick, Extra, Lengths, Restart
from drills.listening.words import sentence
from drills.music.pitch import Pitch
from tests.listening.verdicts import note, timing, verdict

RUNG = OnLadder("96", "104", 5)


@pytest.mark.parametrize(
    ("late", "hard", "said"),
    [
        ((0, 0, 40, 0), {}, "The move from 2 to 3 comes 40 ms late."),
        (
            (0, 0, 40, 0),
            {3: "crosses the break"},
            "The move from 2 to 3 comes 40 ms late, one of the hard moves of the sheet "
            "(crosses the break).",
        ),
        ((0, 35, 40, -50), {2: "", 3: ""}, "of 3 moves that were off, 2 are hard ones of the"),
        ((0, 27, -28, 20), {2: ""}, "Play it like this once more"),
    ],
)
def test_late_moves_and_hard_moves(
    late: tuple[float, ...], hard: Mapping[int, str], said: str
) -> None:
    text = sentence(verdict(*late), paper=OnPaper(hard=hard))
    assert text.startswith("All 4 notes were there.")
    assert said in text


def test_a_habit_at_a_hard_move_on_its_rung() -> None:
    habit = Habit(8, "late", 4, 5, 40.0, 6.0)
    paper = OnPaper(bars=("33",) * 9, hard={8: "five fingers at once"})
    text = sentence(verdict(*[0.0] * 9), [habit], paper, RUNG)
    assert text == (
        "All 9 notes were there. Stay on 96: the move from 7 to 8 in bar 33 comes 40 ms late four "
        "times out of five, one of the hard moves of the sheet (five fingers at once)."
    )


@pytest.mark.parametrize(
    ("in_a_row", "rung", "said"),
    [
        (1, RUNG, "Stay on 96 until it goes like this five times in a row, then go on to 104."),
        (5, RUNG, "That was five times in a row on 96: go on to 104."),
        (6, OnLadder("112", "", 5), "six times in a row at the last rung, 112"),
        (1, None, "Play it like this once more, then a little faster."),
    ],
)
def test_the_rung_that_follows(in_a_row: int, rung: OnLadder | None, said: str) -> None:
    text = sentence(verdict(*[0.0] * 6, time=timing()), rung=rung, in_a_row=in_a_row)
    assert text.startswith("All 6 notes were there. ")
    assert said in text


def test_a_wrong_note_is_named_as_it_is_read_and_two_things_are_enough() -> None:
    """Key 63 is written for a clarinet in B flat as a tone higher, F5 here by its octave."""
    one = verdict(0, 60, 0, 0, 0, 50, calls=("right", "right", "wrong", "right", "right", "right"))
    one = replace(one, extras=(Extra(5, 70, 2.0, "added"),), restarts=(Restart(4, 1, 3.0),))
    read = tuple(Pitch.parse(name) for name in ("C5", "D5", "F5", "G5", "A5", "B5"))
    text = sentence(one, paper=OnPaper(read=read, bars=("7",) * 6), rung=RUNG)
    assert "note 3 in bar 7 was F#5 instead of F5, play 2 to 4 slowly;" in text
    assert "note 5 in bar 7 was followed by an added" in text
    assert "stopped" not in text
    assert "late" not in text


@pytest.mark.parametrize(
    ("tried", "said", "line"),
    [
        (
            range(1, 8),
            "You played notes 1 to 7 of 12, and they were all there. Stay on 96: now play "
            "on from note 7.",
            "notes 8 to 12: not played",
        ),
        (
            range(5, 13),
            "You played notes 5 to 12 of 12, and they were all there. Stay on 96: now "
            "begin before note 5.",
            "notes 1 to 4: not played",
        ),
        (range(1, 11), "10 of 12 notes were right", "note 12: missed (likely)"),
        (range(1, 4), "3 of 12 notes were right", "note 4: missed (likely)"),
    ],
)
def test_who_stops_halfway_has_not_missed_the_rest(tried: range, said: str, line: str) -> None:
    calls = ["right" if n in tried else "missed" for n in range(1, 13)]
    one = verdict(*[0.0] * 12, calls=calls, time=timing())
    notes = tuple(note if note.call == "right" else replace(note, tries=0) for note in one.notes)
    one = replace(one, notes=notes)
    assert sentence(one, rung=RUNG).startswith(said)
    assert f"  {line}" in list(told(one))


def test_another_rhythm_is_said_once() -> None:
    one = verdict(*[200.0, -200.0] * 4, time=timing())
    assert "another rhythm than is written (8 of them off" in sentence(one)
    assert not any("note 3" in line for line in told(one))


def test_habits_and_slips() -> None:
    """Late at 3 in three of four times; wrong at 5 once."""
    off, fine = verdict(0, 0, 40, 0, 0), verdict(0, 0, 0, 0, 0)
    slip = verdict(0, 0, 44, 0, 0, calls=("right",) * 4 + ("wrong",))
    times = (off, slip, verdict(0, 0, 36, 0, 0), fine)
    (habit,) = habits(times)
    assert (habit.number, habit.what, habit.times, habit.of) == (3, "late", 3, 4)
    assert habit.late == pytest.approx(40)
    assert habit.spread == pytest.approx(4)  # of 40, 44, 36
    assert [(one.number, one.what) for one in slips(times)] == [(5, "wrong")]
    assert clean_at_the_end(times) == 1
    assert clean_at_the_end((off, fine, fine)) == 2
    assert habits(times[:2]) == ()
    lines = list(times_told([replace(one, timing=timing()) for one in times]))
    assert "  habit: note 3 late three times out of four, 40 ms late on average" in "\n".join(lines)
    assert lines[-1] == "  once only, so a slip: note 5 wrong"


def test_the_lines_have_units_and_what_is_not_said() -> None:
    one = verdict(0, 0, 31, 0, time=replace(timing(), last=102.0, after_rests=-22.0, swing=1.72))
    notes = (replace(one.notes[0], tuned="low", cents=-31.0), *one.notes[1:3])
    notes = (*notes, replace(one.notes[3], cents=None, unsteady=None, certainty="unclear"))
    notes = (*notes[:3], replace(notes[3], call="unclear", timed=""))
    one = replace(one, notes=notes, lengths=Lengths(0.0, (2, 55.0), 0.5, 0.9), pitch_drift=-14.0)
    text = "\n".join(told(one, swing=2.0))
    for said in (
        "100 % of 3 notes right (1 could not be heard)",
        "tempo quarter = 96.0 (known to 0.2), from 96 to 102",
        "equal values even: they spread by 8 ms; an attack is known to 3 ms or so",
        "on the beat 2 ms early, off it 3 ms late",
        "22 ms early after them",
        # 1.72 : 2.72 - 2 : 3 = -0.0343 of a beat of 625 ms
        "eighths 1.72 to 1 (known to 0.04), meant 2.00 to 1: the offbeats come 21 ms early",
        "the widest 55 ms after note 2",
        "short notes sound for 50 % of their value, tongued ones for 90 %",
        "14 cents lower at the end",
        "note 1: 31 cents low",
        "note 3: 31 ms late (6 % of the beat)",
        "note 4: could not be heard",
    ):
        assert said in text
    assert "1.7 to 1: if that is meant, say so with --swing" in sentence(one)
    assert "late (" not in "\n".join(told(one))


def test_against_a_click() -> None:
    known = AgainstClick(96.0, -12.0, 9.0, -3.0, 4.0, heard=False)
    laid, heard = replace(known, mean=None), replace(known, heard=True)
    for click, said in (
        (known, "a click at 96: 12 ms early on average"),
        (laid, "a click at 96: laid where it fits"),
        (heard, "the click that is heard, 96: 12 ms early"),
    ):
        one = verdict(0, 0, 0, 0, time=replace(timing(), click=click))
        assert f"against {said}" in "\n".join(told(one))


def test_several_times_through_are_counted() -> None:
    one = verdict(0, 0, 0, 0, 0)
    assert sentence(one, times=(4, 5)).startswith("All 5 notes were there four times out of five.")
    assert sentence(one, times=(1, 5)).startswith("All 5 notes were there once out of five.")
    wrong = verdict(0, 0, calls=("wrong", "right"))
    assert sentence(wrong, times=(0, 3)).startswith("1 of 2 notes were right in the best of three")


@pytest.mark.parametrize(
    ("doubt", "said"), [("echo", "echoes too long"), ("others", "else sounds")]
)
def test_where_it_cannot_be_told(doubt: str, said: str) -> None:
    one = replace(verdict(0, 0, 0, 0, time=timing(spread=60)), doubt=doubt)
    assert said in sentence(one)
    assert "uneven" not in sentence(one)
    lines = list(told(one))
    assert len(lines) == 2
    assert said in lines[1]


def test_two_takes_compared() -> None:
    first = verdict(0, 45, 0, 0, 0, calls=("right",) * 4 + ("wrong",), time=timing(84, 18))
    second = verdict(0, 0, 0, 40, 0, time=timing(96, 9))
    change = compared(first, replace(second, clean=(1, 3)))
    assert change is not None
    assert change.lines() == (
        "right notes: 80 % before, 100 % now",
        "tempo: quarter = 84 before, 96 now (faster)",
        "spread of equal values: 18 ms before, 9 now (more even)",
        "longest clean stretch: 0 before, 3 now",
        "better: note 2 (was late), note 5 (was wrong)",
        "new: note 4 (late now)",
    )
    same = compared(second, second)
    assert same is not None
    assert same.lines(OnPaper(beat=1.5, beat_words="dotted quarter"))[1:3] == (
        "tempo: dotted quarter = 64 before, 64 now (the same to the ear)",
        "spread of equal values: 9 ms before, 9 now (the same to the ear)",
    )
    assert compared(replace(first, refused="no"), second) is None


def test_thresholds_can_be_changed() -> None:
    patient = USUAL.with_values({"late": "50"})
    assert patient.called_late(40.0, 3.0) == ""
    assert USUAL.called_late(40.0, 3.0) == "late"
    assert note(3, 40).timed == "late"
