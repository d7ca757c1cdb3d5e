"""A click that is known, and the attacks against its beats.

Conventions.  Late is positive, milliseconds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from drills.listening.played import Played
from drills.listening.states import NOTE
from drills.listening.verdict import AgainstClick, NoteVerdict
from drills.listening.wanted import Wanted

FEWEST: Final = 4
"""Attacks that say something about the time against a click."""


@dataclass(frozen=True, slots=True)
class Click:
    """Where the beats of a click fall in a recording."""

    start: float
    """The second at which a first written place, 0, is due ..."""
    pace: float
    """... and seconds a quarter."""
    beat: float = 1.0
    """Quarters from click to click: who stumbles goes on with another click."""
    heard: bool = False
    """It was found in the recording."""
    placed: bool = True
    """It is known where its beats fall; else they were laid where the attacks fit them best, so
    that nothing can be said about all of them together."""

    def late(self, second: float, at: float) -> float:
        """How long after its click a note came, ms, whatever beats were lost before."""
        beat = self.beat * self.pace
        off = second - self.start - at * self.pace
        return 1000 * (off - beat * round(off / beat))


def laid_click(wanted: Wanted, played: Played, pace: float, beat: float) -> Click | None:
    """A click of a tempo laid where the attacks fit it best; None where too few were heard.

    ``pace``: seconds a quarter; ``beat``: quarters from click to click.  The circular mean of
    all attacks within the beat, once more without those that lie far from it.
    """
    own = [one for one in played.notes if one.kind == NOTE and not wanted.notes[one.note].grace]
    if len(own) < FEWEST:
        return None
    step = beat * pace
    off = np.array([one.at - wanted.notes[one.note].at * pace for one in own])
    turn = np.exp(2j * np.pi * off / step)
    middle = np.angle(turn.sum())
    near = np.abs(np.angle(turn * np.exp(-1j * middle))) < np.pi / 2
    if near.any():
        middle = np.angle(turn[near].sum())
    return Click(float(middle) / (2 * np.pi) * step, pace, beat, placed=False)


def against(click: Click, notes: Sequence[NoteVerdict]) -> AgainstClick | None:
    """All attacks of a take against a click; None where too few were heard."""
    late = np.array(
        [n.against_click for n in notes if n.against_click is not None and n.call == "right"]
    )
    if len(late) < FEWEST:
        return None
    mean, count = float(late.mean()), max(len(late) // 4, 2)
    return AgainstClick(
        60 / click.pace,
        mean if click.placed else None,
        float(late.std()),
        float(late[:count].mean()) - mean,
        float(late[-count:].mean()) - mean,
        click.heard,
    )
