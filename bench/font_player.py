"""A player for takes of another maker: what somebody makes of written notes.

The tempo wanders by chance from beat to beat and gives way at the end; notes go wrong, are
missed, added or struck twice; the player stops and goes back to a beat.  Nothing of it is the
player of tests/listening/takes.py, whose ``Played`` is used since takes are scored by it.
"""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from drills.listening.wanted import Wanted
from tests.listening.takes import Played


@dataclass(frozen=True, slots=True)
class Faults:
    """Shares of the notes that go wrong, and how often the player stops and goes back."""

    wrong: float = 0.0
    missed: float = 0.0
    added: float = 0.0
    twice: float = 0.0
    restarts: int = 0


def perform(
    rng: np.random.Generator,
    wanted: Wanted,
    pace: float,
    faults: Faults,
    rises: Mapping[int, float],
    *,
    soft: bool,
) -> list[Played]:
    """What somebody makes of the notes: ``at`` and ``end`` are when keys go down and up.

    The tempo wanders by chance from beat to beat and gives way at the end; a slurred note
    sounds until the next one has come, a tongued one leaves a gap, ``soft`` ones hardly any.
    ``rises``: seconds that each key takes; the player begins so much earlier.
    """
    notes = wanted.notes
    beats = np.arange(0, notes[-1].at + notes[-1].length + 2)
    wander = np.zeros(len(beats))
    for n in range(1, len(beats)):
        wander[n] = 0.8 * wander[n - 1] + rng.normal(0, 0.012)
    wander[-4:] += np.array([0.0, 0.02, 0.05, 0.05])
    clock = np.concatenate([[0.0], np.cumsum(pace * (1 + wander))])
    due = np.interp([n.at for n in notes], np.arange(len(clock)), clock)
    over = np.interp([n.at + n.length for n in notes], np.arange(len(clock)), clock)
    found: list[Played] = []
    late = 0.8
    for run, (first, end) in enumerate(_runs(rng, wanted, faults.restarts)):
        if run:
            late = found[-1].end + float(rng.uniform(0.35, 1.0)) - due[first]
        for n in range(first, end):
            at = due[n] + late + float(rng.normal(0, 0.009))
            if found and run == found[-1].run:
                at = max(at, found[-1].at + 0.06)
            found += _played(rng, wanted, n, (at, over[n] + late), faults, possible=rises, run=run)
    return _joined(rng, found, wanted, rises, soft)


def _runs(rng: np.random.Generator, wanted: Wanted, restarts: int) -> list[tuple[int, int]]:
    """First and last + 1 of the notes that are played without going back."""
    count = len(wanted.notes)
    stops = sorted(rng.choice(np.arange(4, count - 2), restarts, replace=False).tolist())
    runs, first = [], 0
    for stop in stops:
        runs.append((first, stop))
        beats = [n for n in range(max(stop - 8, 0), stop) if wanted.notes[n].beat]
        first = 0 if not beats or rng.random() < 0.3 else int(rng.choice(beats))
    return [*runs, (first, count)]


def _played(
    rng: np.random.Generator,
    wanted: Wanted,
    n: int,
    span: tuple[float, float],
    faults: Faults,
    *,
    possible: Container[int],
    run: int,
) -> list[Played]:
    """One written note as it is played: nothing, one note or two."""
    note, (at, end) = wanted.notes[n], span
    around = {one.key for one in wanted.notes[max(n - 2, 0) : n + 3]}
    steps = (note.key + s for s in (-1, 1, -2, 2, 3, -3))
    other = [key for key in steps if key not in around and key in possible]
    plain = Played(at, end, note.key, "slurred" if note.slurred else "tongued", n, "right", run)
    fate = rng.random()
    near = {one.key for one in (*wanted.notes[max(n - 1, 0) : n], *wanted.notes[n + 1 : n + 2])}
    if fate < faults.missed:
        return [] if n > 0 and note.key not in near else [plain]
    fate -= faults.missed
    if fate < faults.wrong and other:
        return [replace(plain, key=int(rng.choice(other[:3])), call="wrong")]
    fate -= faults.wrong
    half = at + (end - at) * float(rng.uniform(0.45, 0.6))
    if 0 <= fate < faults.added and other and end - at > 0.22:
        more = replace(plain, at=half, key=int(rng.choice(other[:3])), of=None, call="added")
        return [replace(plain, end=half), more]
    fate -= faults.added
    if 0 <= fate < faults.twice and end - at > 0.26:
        return [
            replace(plain, end=half),
            replace(plain, at=half, how="tongued", of=None, call="twice"),
        ]
    return [plain]


def _joined(
    rng: np.random.Generator,
    played: Sequence[Played],
    wanted: Wanted,
    rises: Mapping[int, float],
    soft: bool,
) -> list[Played]:
    """The same with how each note follows the one before, and when its key goes up."""
    found: list[Played] = []
    own = not any(note.slurred for note in wanted.notes)  # no slurs are written: at pleasure
    slurring = False
    for one in played:
        rise = rises[int(one.key)]
        note = replace(one, at=one.at - rise)
        if found:
            before = found[-1]
            slurring = slurring if rng.random() < 0.7 else not slurring
            close = before.end > note.at - 0.08 and before.run == note.run
            same = before.key == note.key
            how = "slurred" if (slurring if own else note.how == "slurred") else "tongued"
            if not close:
                how = "after a gap"
            elif same:
                how = "again, softly" if soft else "again"
            gap = {"slurred": (-0.012, 0.002), "again, softly": (0.0, 0.012)}.get(how, (0.02, 0.06))
            if close:
                up = note.at - float(rng.uniform(*gap)) + (rise if how == "slurred" else 0.0)
                found[-1] = replace(before, end=max(up, before.at + 0.05))
            note = replace(note, how=how)
        else:
            note = replace(note, how="after a gap")
        found.append(note)
    return found
