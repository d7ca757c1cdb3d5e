"""Bars on a recording, and the click that a take was made to."""

from __future__ import annotations

from drills.listening.judging import judge
from drills.listening.onsets import Attack
from drills.listening.played import Played, PlayedNote
from drills.listening.states import NOTE
from drills.listening.verdict import Verdict
from drills.listening.wanted import Wanted, WantedNote

EIGHTHS = Wanted(
    tuple(WantedNote(n / 2, 0.5, 60 + n % 5, bar=n // 8) for n in range(16)), 0.5, ("33", "34")
)
"""Two bars of eighths, half a second a quarter."""


def played(late: dict[int, float]) -> Played:
    """From the second 2.0 on; some notes are late by so many seconds."""
    notes = tuple(
        PlayedNote(
            NOTE,
            n,
            one.key,
            2.0 + one.at * 0.5 + late.get(n, 0.0),
            2.2 + one.at * 0.5,
            Attack.CHANGED,
            0.002,
            0.1,
            0.0,
            1.0,
            0,
        )
        for n, one in enumerate(EIGHTHS.notes)
    )
    return Played(notes, 0.0, 12.0, 0.95, room=False, echo=False, crowd=0.0)


def verdict(late: dict[int, float]) -> Verdict:
    return judge(EIGHTHS, played(late))
