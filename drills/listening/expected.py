"""Where each note is expected, once a first way through the take has told the tempo."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from drills.listening.following import Heard, Path
from drills.listening.hearing import Hearing
from drills.listening.settings import USUAL, Following
from drills.listening.states import NOTE, WRONG, Costs
from drills.listening.tempo import fit_beat
from drills.listening.wanted import Wanted


def runs_of(path: Path) -> Iterator[list[Heard]]:
    """What was played without going back."""
    run: list[Heard] = []
    for one in path.heard:
        if one.kind not in (NOTE, WRONG):
            continue
        if one.jumped and run:
            yield run
            run = []
        run.append(one)
    if run:
        yield run


def place_costs(
    hearing: Hearing, wanted: Wanted, path: Path, settings: Following = USUAL
) -> Costs | None:
    """Frames x notes: what it costs to begin a note there; None where nothing was heard."""
    frame = hearing.seconds_a_frame
    times = np.arange(hearing.frames) * frame
    at = np.array([note.at for note in wanted.notes])
    costs = np.full((hearing.frames, len(at)), settings.place_worst / 2)
    told = False
    for run in runs_of(path):
        if len(run) < 4:
            continue
        told = True
        first, last = run[0].note, run[-1].note
        low, high = max(first - 1, 0), min(last + 3, len(at))
        fit = fit_beat(
            [at[one.note] for one in run],
            [one.first * frame for one in run],
            at[low:high].tolist(),
            wanted.pace,
            leave_out=True,
        )
        # An even player is held to it: where attacks hardly show, evenness is what tells most.
        even = min(settings.place_spread, max(1.5 * fit.spread, settings.place_even))
        share = min(settings.place_share, settings.place_even + fit.spread)
        for note, due, pace in zip(range(low, high), fit.due, fit.pace, strict=True):
            apart = (at[note] - at[max(note - 1, 0)]) * pace
            spread = even + share * min(apart, 0.5)
            begin, end = np.searchsorted(times, (due - 5 * spread, due + 5 * spread))
            here = 0.5 * ((times[begin:end] - due) / spread) ** 2
            inside = costs[begin:end, note]
            np.minimum(inside, np.minimum(here, settings.place_worst), out=inside)
    return costs if told else None
