"""A verdict in one plain and kind sentence, and what to do next.

What went best comes first, then the one or two things to do, with place and number; the rung
of the ladder that follows from it, where one is known.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Final

from drills.listening.repeats import Habit
from drills.listening.thresholds import called_late, threshold
from drills.listening.verdict import NoteVerdict, Verdict

EASY: Final[Mapping[int, str]] = MappingProxyType({})
"""No hard moves."""


def sentence(
    verdict: Verdict, habits: Sequence[Habit] = (), rung: str = "", hard: Mapping[int, str] = EASY
) -> str:
    """What to say first.

    ``rung`` is the tempo played at, such as "96"; ``hard`` are the notes that hard moves of
    the sheet lead to, each with what is hard about it.
    """
    if verdict.refused:
        return (
            f"I cannot judge this take: {verdict.refused} "
            f"({_sure(verdict.certainty)}). Check the place, the part and the instrument."
        )
    if verdict.bars is not None:
        return f"{_told(verdict.bars.words)}. {_of_bars(verdict)}"
    return f"{_best(verdict)} {_next(verdict, habits, rung, hard)}"


def _of_bars(verdict: Verdict) -> str:
    """What was wrong in the bars that were played."""
    tried = [note for note in verdict.notes if note.tries]
    wrong = [note for note in tried if note.call == "wrong"]
    if wrong:
        return f"In them note {wrong[0].number} was wrong; play {_around(wrong[0].number)} slowly."
    return f"The {len(tried)} notes heard there were right; the spot itself is still to be played."


def _sure(certainty: float) -> str:
    return "sure" if certainty > 0.9 else "likely" if certainty > 0.7 else "not sure"


def _best(verdict: Verdict) -> str:
    judged = [n for n in verdict.notes if n.call != "unclear"]
    right = sum(n.call == "right" for n in judged)
    if judged and right == len(judged):
        unheard = len(verdict.notes) - len(judged)
        rest = f" of those that could be heard ({unheard} could not)" if unheard else ""
        return f"All {right} notes{rest} were there."
    if verdict.clean_notes >= 3:
        first, last = verdict.clean
        return (
            f"{right} of {len(judged)} notes were right, and {first} to {last} went through clean."
        )
    return f"{right} of {len(judged)} notes were right."


def _next(verdict: Verdict, habits: Sequence[Habit], rung: str, hard: Mapping[int, str]) -> str:
    found = _fault(verdict, habits, hard) or _in_time(verdict, hard)
    if found:
        return _told(f"stay on {rung}: {found}" if rung else found)
    return f"Go on to the next rung after {rung}." if rung else "Go on to the next rung."


def _fault(verdict: Verdict, habits: Sequence[Habit], hard: Mapping[int, str]) -> str:
    """What comes back, else the notes that were not right; empty where all were."""
    if habits:
        worst = habits[0]
        when = f"{worst.times} times out of {worst.of}"
        if worst.what in ("late", "early") and worst.late is not None:
            off = f"comes {abs(worst.late):.0f} ms {worst.what} {when}"
            return f"{_move(worst.number)} {off}{_hard(worst.number, hard)}."
        return f"note {worst.number} is {worst.what} {when}; play {_around(worst.number)} slowly."
    faults = [n for n in verdict.notes if n.call in ("wrong", "missed")]
    if faults:
        two = faults[:2]
        said = " and ".join(f"note {n.number} was {n.call}" for n in two)
        more = f" ({len(faults)} in all)" if len(faults) > 2 else ""
        return f"{said}{more}; play {_around(two[0].number)} slowly and correctly."
    if verdict.extras:
        one = verdict.extras[0]
        what = "was struck twice" if one.call == "twice" else "was followed by an added note"
        return f"note {one.after} {what}."
    return ""


def _in_time(verdict: Verdict, hard: Mapping[int, str]) -> str:
    """What of the time is worth doing something about; empty where nothing is."""
    off = _off(verdict)
    if off:
        ms = off[0].late or 0.0
        way = called_late(ms, verdict.uncertain)
        told = f"{_move(off[0].number)} comes {abs(ms):.0f} ms {way}{_hard(off[0].number, hard)}."
        among = sum(note.number in hard for note in off)
        if len(off) == 1 or not among:
            return told
        return f"{told} Of {len(off)} moves that were off, {among} are hard ones of the sheet."
    timing = verdict.timing
    if timing is None:
        return ""
    if timing.evenness > threshold("uneven"):
        return f"the values are uneven by {timing.evenness:.0f} ms; play in rhythms."
    if abs(timing.last / timing.first - 1) > threshold("tempo"):
        way = "faster" if timing.last > timing.first else "slower"
        return f"it got {way}, from {timing.first:.0f} to {timing.last:.0f}; play with a click."
    return ""


def _told(words: str) -> str:
    return words[:1].upper() + words[1:]


def _move(number: int) -> str:
    return f"the move from {number - 1} to {number}" if number > 1 else "note 1"


def _around(number: int) -> str:
    return f"{max(number - 1, 1)} to {number + 1}"


def _hard(number: int, hard: Mapping[int, str]) -> str:
    """That a move is one of the sheet's hard ones, and why."""
    if number not in hard:
        return ""
    why = f" ({hard[number]})" if hard[number] else ""
    return f"; it is one of the hard moves of the sheet{why}"


def _off(verdict: Verdict) -> list[NoteVerdict]:
    """The right notes that came late or early, those furthest off first."""
    off = [
        note
        for note in verdict.notes
        if note.call == "right" and called_late(note.late, verdict.uncertain)
    ]
    return sorted(off, key=lambda note: -abs(note.late or 0.0))
