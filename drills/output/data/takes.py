"""A judged take as data, in the form of docs/schema/take.json."""

from __future__ import annotations

from collections.abc import Sequence

from drills.listening.repeats import Habit
from drills.listening.verdict import Extra, NoteVerdict, Restart, Timing, Verdict
from drills.output.data.text import SCHEMA, Data

Row = tuple[
    str,
    str,
    str,
    str,
    str,
    Sequence[Verdict],
    Sequence[Habit],
    Sequence[tuple[str, Sequence[Verdict]]],
    int,
]
"""File, part, place, what was played, sentence, verdicts, habits, rungs, semitones higher."""


def takes_data(rows: Sequence[Row]) -> Data:
    """Takes in the order in which they were judged."""
    return {"schema": SCHEMA, "takes": [_take(row) for row in rows]}


def _take(row: Row) -> Data:
    file, part, place, what, sentence, verdicts, habits, rungs, transposed = row
    return {
        "file": file,
        "part": part,
        "asked": place,
        "what": what,
        "sentence": sentence,
        "transposed": transposed,
        "times": [verdict_data(verdict) for verdict in verdicts],
        "habits": [_habit(habit) for habit in habits],
        "rungs": [
            {"number": number, "times": [verdict_data(verdict) for verdict in own]}
            for number, own in rungs
        ],
    }


def verdict_data(verdict: Verdict) -> Data:
    """One time through."""
    return {
        "refused": verdict.refused,
        "certainty": _round(verdict.certainty, 2),
        "bars_played": [] if verdict.bars is None else list(verdict.bars.order),
        "share_right": _round(verdict.share_right, 4),
        "clean": list(verdict.clean),
        "a4": _round(440 * 2 ** (verdict.tuning / 1200), 2),
        "pitch_drift": _round(verdict.pitch_drift, 1),
        "timing": None if verdict.timing is None else _timing(verdict.timing),
        "notes": [_note(note) for note in verdict.notes],
        "extras": [_extra(extra) for extra in verdict.extras],
        "restarts": [_restart(restart) for restart in verdict.restarts],
    }


def _note(note: NoteVerdict) -> Data:
    return {
        "number": note.number,
        "midi": note.key,
        "call": note.call,
        "certainty": note.certainty,
        "heard": note.heard,
        "seconds": _round(note.seconds, 4),
        "late_ms": _round(note.late, 1),
        "late_share": _round(note.late_share, 4),
        "click_ms": _round(note.against_click, 1),
        "length_share": _round(note.length_share, 2),
        "cents": _round(note.cents, 1),
        "pure_cents": _round(note.pure_cents, 1),
        "unsteady_cents": _round(note.unsteady, 1),
        "tempo": _round(note.tempo, 2),
        "tries": note.tries,
    }


def _extra(extra: Extra) -> Data:
    return {
        "after": extra.after,
        "heard": extra.key,
        "seconds": _round(extra.seconds, 4),
        "call": extra.call,
    }


def _restart(one: Restart) -> Data:
    return {"stopped": one.stopped, "back_to": one.back_to, "seconds": _round(one.seconds, 3)}


def _timing(timing: Timing) -> Data:
    return {
        "tempo": _round(timing.tempo, 2),
        "first": _round(timing.first, 2),
        "last": _round(timing.last, 2),
        "evenness_ms": _round(timing.evenness, 1),
        "downbeats_ms": _round(timing.downbeats, 1),
        "offbeats_ms": _round(timing.offbeats, 1),
        "swing": _round(timing.swing, 3),
        "uncertain_ms": _round(timing.uncertain, 1),
    }


def _habit(habit: Habit) -> Data:
    return {
        "number": habit.number,
        "what": habit.what,
        "times": habit.times,
        "of": habit.of,
        "late_ms": _round(habit.late, 1),
        "spread_ms": _round(habit.spread, 1),
    }


def _round(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits) + 0.0
