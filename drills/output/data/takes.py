"""A judged take as data, in the form of docs/schema/take.json."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drills.listening.comparing import Compared
from drills.listening.paper import OnLadder, OnPaper
from drills.listening.repeats import Habit
from drills.listening.verdict import (
    AgainstClick,
    Extra,
    Group,
    Lengths,
    NoteVerdict,
    Restart,
    Timing,
    Verdict,
)
from drills.listening.words import UNKNOWN
from drills.output.data.text import SCHEMA, Data


@dataclass(frozen=True, slots=True)
class TakeRow:
    """What is told of one take."""

    file: str
    recorded: str | None
    part: str
    place: str
    what: str
    """"The spot as it stands", or a drill."""
    sentence: str
    rung: OnLadder | None
    paper: OnPaper
    verdicts: Sequence[Verdict]
    habits: Sequence[Habit]
    slips: Sequence[Habit]
    rungs: Sequence[tuple[str, str, bool, Sequence[Verdict]]]
    """Number, what was played, whether it was clean, and its times through."""
    transposed: int
    """Semitones higher than written."""
    swing: float | None
    """The ratio that was meant."""


def takes_data(rows: Sequence[TakeRow], change: Compared | None = None) -> Data:
    """Takes in the order in which they were judged; ``change``: the last against the first."""
    return {
        "schema": SCHEMA,
        "takes": [_take(row) for row in rows],
        "change": None if change is None else _change(change),
    }


def _take(row: TakeRow) -> Data:
    return {
        "file": row.file,
        "recorded": row.recorded,
        "part": row.part,
        "asked": row.place,
        "what": row.what,
        "sentence": row.sentence,
        "rung": None
        if row.rung is None
        else {"number": row.rung.words, "next": row.rung.following, "needed": row.rung.needed},
        "transposed": row.transposed,
        "swing_meant": _round(row.swing, 3),
        "times": [verdict_data(verdict, row.paper) for verdict in row.verdicts],
        "habits": [_habit(habit) for habit in row.habits],
        "slips": [_habit(slip) for slip in row.slips],
        "rungs": [
            {
                "number": number,
                "what": what,
                "clean": clean,
                "times": [verdict_data(verdict) for verdict in own],
            }
            for number, what, clean, own in row.rungs
        ],
    }


def _change(change: Compared) -> Data:
    """Pairs are the first take's value and the last one's."""
    return {
        "right": [_round(share, 4) for share in change.right],
        "tempo": None if change.tempo is None else [_round(one, 2) for one in change.tempo],
        "evenness_ms": None if change.spread is None else [_round(one, 1) for one in change.spread],
        "clean": list(change.clean),
        "added": list(change.added),
        "restarts": list(change.restarts),
        "notes": [
            {"number": one.number, "before": one.before, "now": one.now} for one in change.changes
        ],
    }


def verdict_data(verdict: Verdict, paper: OnPaper = UNKNOWN) -> Data:
    """One time through."""
    return {
        "refused": verdict.refused,
        "certainty": _round(verdict.certainty, 2),
        "doubt": verdict.doubt,
        "bars_played": [] if verdict.bars is None else list(verdict.bars.order),
        "share_right": _round(verdict.share_right, 4),
        "clean": list(verdict.clean),
        "a4": _round(440 * 2 ** (verdict.tuning / 1200), 2),
        "pitch_drift": _round(verdict.pitch_drift, 1),
        "timing": None if verdict.timing is None else _timing(verdict.timing),
        "lengths": _lengths(verdict.lengths),
        "notes": [_note(note, paper) for note in verdict.notes],
        "extras": [_extra(extra) for extra in verdict.extras],
        "restarts": [_restart(restart) for restart in verdict.restarts],
    }


def _note(note: NoteVerdict, paper: OnPaper) -> Data:
    return {
        "number": note.number,
        "written": paper.written(note),
        "bar": paper.bar(note.number).removeprefix("bar "),
        "midi": note.key,
        "call": note.call,
        "certainty": note.certainty,
        "heard": note.heard,
        "seconds": _round(note.seconds, 4),
        "late_ms": _round(note.late, 1),
        "uncertain_ms": _round(note.uncertain, 1),
        "late_share": _round(note.late_share, 4),
        "timed": note.timed,
        "click_ms": _round(note.against_click, 1),
        "gap_ms": _round(note.gap, 1),
        "length_share": _round(note.length_share, 2),
        "cents": _round(note.cents, 1),
        "pure_cents": _round(note.pure_cents, 1),
        "tuned": note.tuned,
        "unsteady_cents": _round(note.unsteady, 1),
        "wavers": note.wavers,
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
        "tempo_uncertain": _round(timing.tempo_uncertain, 3),
        "first": _round(timing.first, 2),
        "last": _round(timing.last, 2),
        "evenness_ms": _round(timing.evenness, 1),
        "groups": [_group(group) for group in timing.groups],
        "downbeats_ms": _round(timing.downbeats, 1),
        "offbeats_ms": _round(timing.offbeats, 1),
        "before_rests_ms": _round(timing.before_rests, 1),
        "after_rests_ms": _round(timing.after_rests, 1),
        "swing": _round(timing.swing, 3),
        "swing_uncertain": _round(timing.swing_uncertain, 3),
        "click": None if timing.click is None else _click(timing.click),
        "uncertain_ms": _round(timing.uncertain, 1),
    }


def _group(group: Group) -> Data:
    return {"first": group.first, "last": group.last, "spread_ms": _round(group.spread, 1)}


def _click(click: AgainstClick) -> Data:
    return {
        "tempo": _round(click.tempo, 2),
        "mean_ms": _round(click.mean, 1),
        "spread_ms": _round(click.spread, 1),
        "first_ms": _round(click.first, 1),
        "last_ms": _round(click.last, 1),
        "heard": click.heard,
    }


def _lengths(lengths: Lengths) -> Data:
    widest = lengths.widest
    return {
        "slurred_ms": _round(lengths.slurred, 1),
        "widest": None if widest is None else {"number": widest[0], "gap_ms": _round(widest[1], 1)},
        "short": _round(lengths.short, 3),
        "tongued": _round(lengths.tongued, 3),
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
