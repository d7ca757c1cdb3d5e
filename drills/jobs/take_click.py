"""The click that a recording was made to, where a note beside the recording tells of it.

A page that records keeps ``TAKE.json`` beside ``TAKE.wav``: at which second the first time
through was due in the headphones (``begins``), how long a quarter was (``quarter``), and how
much later what is played arrives on the recording (``latency``), as it was measured on that
device.  Where the delay was never measured nothing is said about the click: an unknown delay of
a tenth of a second would be taken for the player's.

Conventions.  Seconds.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import numpy as np

from drills.listening.bar_times import STEADY, SteadyBeat
from drills.listening.thresholds import USUAL
from drills.listening.verdict import Verdict

LARGEST: Final = 100_000
"""Bytes of what stands beside a recording."""
FEWEST: Final = 3
"""Notes that must have been heard before the click is spoken of."""


def click_beside(recording: Path) -> SteadyBeat | None:
    """The click of a recording; None where nothing is told of one, or its delay is unknown."""
    beside = recording.with_suffix(".json")
    try:
        if beside == recording or beside.stat().st_size > LARGEST:
            return None
        told = json.loads(beside.read_text("utf-8"))
    except (OSError, ValueError, RecursionError):
        return None
    return click_of(told) if isinstance(told, dict) else None


def click_of(told: Mapping[str, Any]) -> SteadyBeat | None:
    """The same from what was read."""
    begins, quarter, latency = (_seconds(told.get(n)) for n in ("begins", "quarter", "latency"))
    if begins is None or quarter is None or latency is None:
        return None
    return SteadyBeat(begins + latency, quarter) if STEADY[0] <= quarter <= STEADY[1] else None


def _seconds(value: object) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return float(value) if math.isfinite(value) and abs(value) < 36_000 else None


def against_click(verdict: Verdict) -> float | None:
    """Milliseconds after the click, the mean of the right notes; None where none is known."""
    apart = [
        note.against_click
        for note in verdict.notes
        if note.call == "right" and note.against_click is not None
    ]
    return float(np.mean(apart)) if len(apart) >= FEWEST else None


def click_words(verdict: Verdict) -> str:
    """ "Against the click you are 31 ms late on average."; empty where no click is known."""
    mean = against_click(verdict)
    if mean is None:
        return ""
    if USUAL.called_late(mean, verdict.uncertain):
        return (
            f"Against the click you are {abs(mean):.0f} ms {'late' if mean > 0 else 'early'} "
            "on average."
        )
    return f"You are with the click ({mean:+.0f} ms on average)."
