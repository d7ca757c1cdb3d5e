"""Follow a take along the written notes: which note sounds at every moment.

Problem.  A player leaves notes out, adds some, plays wrong ones, strikes twice, stops and
goes back.  Method.  A hidden Markov model whose states are, for every written note: the
note sounds, it is struck again, another pitch sounds in its place, an added pitch sounds
after it, silence follows it.  The cheapest way through all frames is found by Viterbi's
method.  A note lasts ``shortest`` at least: its costs over that time are charged at once,
from running sums.

Conventions.  Costs are added and the lowest wins.  Notes are numbered from 0; place 0 of
the arrays over places is the silence before the first note, place i + 1 is note i.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from drills.listening.hearing import Hearing
from drills.listening.settings import USUAL, Following
from drills.listening.states import (
    ADDED,
    AGAIN,
    KINDS,
    NEVER,
    NOTE,
    REST,
    WRONG,
    Costs,
    Whole,
    model_of,
    silence_costs,
)
from drills.listening.wanted import Wanted


@dataclass(frozen=True, slots=True)
class Heard:
    """One thing that sounded."""

    kind: int
    """NOTE, AGAIN, WRONG or ADDED."""
    note: int
    """The written note; for ADDED the one before it, -1 before the first."""
    first: int
    """Frames: it sounds in first .. end - 1."""
    end: int
    jumped: bool = False
    """The player went back (or far on) to it."""


@dataclass(frozen=True, slots=True)
class Path:
    """The cheapest way through a take."""

    heard: tuple[Heard, ...]
    cost: float


def follow(
    hearing: Hearing,
    wanted: Wanted,
    places: Costs | None = None,
    settings: Following = USUAL,
) -> Path:
    """The cheapest way through a take.

    ``places`` (frames x notes): what it costs to begin a note in a frame, from the tempo
    that a first way has told; nothing unless given.
    """
    return _Follower(hearing, wanted, places, settings).run()


class _Follower:
    """The state of Viterbi's method from frame to frame."""

    def __init__(
        self, hearing: Hearing, wanted: Wanted, places: Costs | None, settings: Following
    ) -> None:
        self.s = settings
        self.hearing = hearing
        self.wanted = wanted
        self.model = model_of(hearing, wanted, settings)
        self.places = places
        self.count = len(wanted.notes)
        n, frames = self.count, hearing.frames
        d = int(self.model.wide.max())
        self.deep = d
        self.quiet = silence_costs(hearing, settings) * settings.sharpness
        self.rest = np.full(n + 1, NEVER)
        self.rest[0] = 0.0
        self.note, self.again, self.wrong, self.added = (np.full(n + 1, NEVER) for _ in range(4))
        self.rested = np.zeros(n + 1, dtype=np.int64)
        # What entered in the last d frames, and where from; one row for each frame.
        self.entries = np.full((4, d, n + 1), NEVER)
        self.from_kind = np.zeros((frames, 4, n + 1), dtype=np.int8)
        self.from_place = np.zeros((frames, 4, n + 1), dtype=np.int32)
        self.stayed = np.zeros((frames, KINDS, n + 1), dtype=np.int8)

    def run(self) -> Path:
        """Go through all frames and trace the way back."""
        s, m, n, d = self.s, self.model, self.count, self.deep
        costs = self.hearing.costs.astype(np.float64) * s.sharpness
        struck = np.searchsorted(self.hearing.struck, [note.key for note in self.wanted.notes])
        signs = s.repeat - (s.repeat + s.dip_gain) * np.clip(self.hearing.dip / s.dip, 0, 1)
        sums = np.zeros((d + 1, costs.shape[1]))
        wide, short = m.wide[1:], int(m.wide[0])
        back = d - wide
        others = m.others * s.sharpness
        lasting = (others * m.wide[None, 1:]).T
        free = s.wrong_frame * s.sharpness
        index = np.arange(n + 1)
        for t in range(self.hearing.frames):
            row = costs[t]
            sums[:-1] = sums[1:]
            sums[-1] = sums[-2] + row
            window = sums[-1] - sums[d - short]
            windows = sums[-1] - sums[back]
            owns = windows[index[:-1], m.columns]
            own = row[m.columns]
            other = (row[:, None] + others).min(axis=0)
            any_other = row.min() + free
            self._enter(t, signs[t, struck], index)
            own_slot = (t - wide + 1) % d
            slot = (t - short + 1) % d
            settled = self.entries[0, own_slot, index[1:]] + owns
            again = self.entries[1, slot, 1:] + window[m.columns]
            wrong = self.entries[2, own_slot, index[1:]] + (windows + lasting).min(axis=1)
            added = self.entries[3, slot] + window.min() + free * short
            self._stay(t, 1, self.note, own, settled)
            self._stay(t, 2, self.again, own, again)
            self._stay(t, 3, self.wrong, other, wrong)
            self._stay_all(t, added, any_other)
            self._silence(t)
        return self._trace()

    def _stay(self, t: int, kind: int, state: Costs, here: Costs, begun: Costs) -> None:
        going = state[1:] + here
        new = begun < going
        self.stayed[t, kind, 1:] = new
        state[1:] = np.where(new, begun, going)

    def _stay_all(self, t: int, begun: Costs, here: float) -> None:
        going = self.added + here
        new = begun < going
        self.stayed[t, ADDED] = new
        self.added[:] = np.where(new, begun, going)

    def _silence(self, t: int) -> None:
        """Stay silent, or fall silent after what sounded."""
        going = self.rest + self.quiet[t]
        kind = np.zeros(self.count + 1, dtype=np.int8)
        best = going.copy()
        for number, state in enumerate((self.note, self.again, self.wrong, self.added), 1):
            fallen = state + self.s.rest
            better = fallen < best
            kind[better] = number
            np.minimum(best, fallen, out=best)
        self.stayed[t, REST] = kind
        self.rested = np.where(kind == 0, self.rested + 1, 0)
        self.rest = best

    def _enter(self, t: int, sign: Costs, index: Whole) -> None:
        """What may begin in this frame, from the states as they were in the one before."""
        s, m, n = self.s, self.model, self.count
        states = np.stack([self.rest, self.note, self.again, self.wrong, self.added])
        kind = states.argmin(axis=0)
        done = states.min(axis=0)
        # On to the next note, or further: each that is left out costs.
        ahead = done - m.skip
        lowest = np.minimum.accumulate(ahead)
        source = np.maximum.accumulate(np.where(ahead <= lowest, index, 0))
        enter = np.full(n + 1, NEVER)
        place = np.zeros(n + 1, dtype=np.int64)
        enter[1:] = lowest[:-1] + m.skip[:-1]
        place[1:] = source[:-1]
        from_kind = kind[place]
        # The same pitch again needs a sign of an attack, unless something else came between.
        columns = m.columns
        sounding = (from_kind[1:] == NOTE) | (from_kind[1:] == AGAIN)
        repeated = (place[1:] > 0) & (columns[np.maximum(place[1:] - 1, 0)] == columns) & sounding
        enter[1:] += np.where(repeated, sign, 0.0)
        # Once more from the start, after the last note.
        anew = done[n] + s.round
        if anew < enter[1]:
            enter[1], place[1], from_kind[1] = anew, n, kind[n]
            if columns[n - 1] == columns[0] and kind[n] in (NOTE, AGAIN):
                enter[1] += sign[0]
        # Back to an earlier note.
        long_rest = np.where(self.rested > m.gap, self.rest, NEVER)
        gap_at, any_at = int(long_rest[1:].argmin()) + 1, int(done[1:].argmin()) + 1
        after_gap = long_rest[gap_at] + s.back_after_gap
        anywhere = done[any_at] + s.back
        if after_gap <= anywhere:
            jump, jump_place, jump_kind = after_gap, gap_at, REST
        else:
            jump, jump_place, jump_kind = anywhere, any_at, int(kind[any_at])
        back = jump + m.back
        better = back < enter[1:]
        enter[1:] = np.where(better, back, enter[1:])
        place[1:] = np.where(better, jump_place, place[1:])
        from_kind[1:] = np.where(better, jump_kind, from_kind[1:])
        if self.places is not None:
            enter[1:] += self.places[t]
        again = np.minimum(self.note, self.again)
        again_kind = np.where(self.note <= self.again, NOTE, AGAIN)
        again[1:] += sign
        silent = self.rest < again
        again = np.where(silent, self.rest, again)
        again_kind = np.where(silent, REST, again_kind)
        slot = t % self.deep
        self.entries[0, slot] = enter
        self.entries[1, slot, 1:] = again[1:] + s.again
        self.entries[2, slot] = enter + s.wrong
        self.entries[3, slot] = done + s.added
        self.from_kind[t] = (from_kind, again_kind, from_kind, kind)
        self.from_place[t] = (place, index, place, index)

    def _trace(self) -> Path:
        """The way that ends cheapest, from its end to its start."""
        states = np.stack([self.rest, self.note, self.again, self.wrong, self.added])
        kind, place = divmod(int(states.argmin()), self.count + 1)
        cost = float(states.min())
        t, end = self.hearing.frames - 1, self.hearing.frames
        found: list[Heard] = []
        while t >= 0:
            if kind == REST:
                into = int(self.stayed[t, REST, place])
                if into:
                    kind, end = into, t + 1
                    continue
                t -= 1
                continue
            if not self.stayed[t, kind, place]:
                t -= 1
                continue
            lasts = self.model.wide[place if kind in (NOTE, WRONG) else 0]
            first = t - int(lasts) + 1
            way = kind - 1
            before = int(self.from_place[first, way, place])
            jumped = kind in (NOTE, WRONG) and not before < place <= before + self.s.far_on
            found.append(Heard(kind, place - 1, first, end, jumped))
            kind, place = int(self.from_kind[first, way, place]), before
            t, end = first - 1, first
        return Path(tuple(reversed(found)), cost)


def calls_of(path: Path, count: int) -> Sequence[str]:
    """ "right", "wrong" or "missed" for each written note, the last time it was tried."""
    found = ["missed"] * count
    for heard in path.heard:
        if heard.kind in (NOTE, WRONG):
            found[heard.note] = "right" if heard.kind == NOTE else "wrong"
    return found
