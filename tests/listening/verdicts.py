"""Verdicts made by hand, for what is said of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from drills.listening.thresholds import USUAL
from drills.listening.verdict import Group, Lengths, NoteVerdict, Timing, Verdict

NO_LENGTHS = Lengths(None, None, None, None)


def note(number: int, late: float = 0.0, call: str = "right") -> NoteVerdict:
    """A note that was heard, so many ms after its due time; key 60 + number."""
    heard = 60 + number + (1 if call == "wrong" else 0)
    return NoteVerdict(
        number=number,
        key=60 + number,
        call=call,
        certainty="likely" if call == "missed" else "sure",
        heard=None if call == "missed" else heard,
        seconds=None if call == "missed" else number * 0.25,
        late=late,
        uncertain=3.0,
        late_share=late / 500,
        against_click=None,
        timed=USUAL.called_late(late, 3.0) if call == "right" else "",
        gap=None,
        length_share=1.0,
        cents=0.0,
        pure_cents=None,
        tuned="",
        unsteady=2.0,
        wavers=False,
        tempo=120.0,
        tries=1,
        fit=0.1,
    )


def timing(tempo: float = 96.0, spread: float = 8.0) -> Timing:
    """A steady, even take without rests."""
    return Timing(
        tempo=tempo,
        tempo_uncertain=0.2,
        first=tempo,
        last=tempo,
        evenness=spread,
        groups=(Group(1, 8, spread),),
        downbeats=-2.0,
        offbeats=3.0,
        before_rests=None,
        after_rests=None,
        swing=1.0,
        swing_uncertain=0.04,
        click=None,
        uncertain=3.0,
    )


def verdict(*late: float, calls: Sequence[str] = (), time: Timing | None = None) -> Verdict:
    """A take with these ms of lateness, its notes right unless ``calls`` say otherwise."""
    calls = calls or ("right",) * len(late)
    notes = tuple(
        note(n, ms, call) for n, (ms, call) in enumerate(zip(late, calls, strict=True), 1)
    )
    right = sum(one.call == "right" for one in notes)
    whole = Verdict(
        notes=notes,
        extras=(),
        restarts=(),
        timing=time,
        lengths=NO_LENGTHS,
        tuning=0.0,
        pitch_drift=None,
        share_right=right / len(notes),
        clean=(1, len(late)),
        refused="",
        bars=None,
        doubt="",
        certainty=0.95,
    )
    return whole if right == len(notes) else replace(whole, clean=(0, 0))
