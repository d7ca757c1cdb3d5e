"""Follow a take along the written notes: which note sounds at every moment.

Problem.  A player leaves notes out, adds some, plays wrong ones, strikes twice, stops and
goes back.  Method.  A hidden Markov model whose states are, for every written note: the
note sounds, it is struck again, another pitch sounds in its place, an added pitch sounds
after it, silence follows it.  The cheapest way through all frames is found by Viterbi's
method.  A note lasts ``shortest`` at least: its costs over that time are charged at once.

Conventions.  Costs are added and the lowest wins.  Notes are numbered from 0; place 0 of
the arrays over places is the silence before the first note, place i + 1 is note i.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.frame_costs import FrameCosts, frame_costs
from drills.listening.hearing import Hearing
from drills.listening.settings import USUAL, Following
from drills.listening.states import ADDED, AGAIN, KINDS, NEVER, NOTE, REST, WRONG, Costs, model_of
from drills.listening.wanted import Wanted

SOUNDING: Final = np.array([False, True, True, False, False])
"""By kind: the written pitch of the place sounds."""


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


@dataclass(frozen=True, slots=True)
class Begin:
    """Where a way begins."""

    frame: int = 0
    place: int = 0
    """The place after which it is silent: 0 before the first note, else a note's number + 1."""
    silent: int = 0
    """Frames for which it has been so."""


AT_FIRST: Final = Begin()


def follow(
    hearing: Hearing,
    wanted: Wanted,
    places: Costs | None = None,
    settings: Following = USUAL,
    begin: Begin = AT_FIRST,
) -> Path:
    """The cheapest way through a take, or from ``begin`` on.

    ``places`` (frames x notes): what it costs to begin a note in a frame, from the tempo
    that a first way has told; nothing unless given.
    """
    return _Follower(hearing, wanted, places, settings, begin).run()


class _Follower:
    """The state of Viterbi's method from frame to frame."""

    def __init__(
        self,
        hearing: Hearing,
        wanted: Wanted,
        places: Costs | None,
        settings: Following,
        begin: Begin,
    ) -> None:
        self.s, self.hearing, self.places, self.begin = settings, hearing, places, begin
        self.model = model_of(hearing, wanted, settings)
        self.count = len(wanted.notes)
        n, frames = self.count, hearing.frames
        self.states = np.full((KINDS, n + 1), NEVER)
        self.states[REST, begin.place] = 0.0
        self.rested = np.zeros(n + 1, dtype=np.int64)
        self.rested[begin.place] = begin.silent
        # What has begun is put where it is asked for: in the frame in which it has lasted
        # its least time.  Axes: frame (round and round), kind, place.
        self.lasts = np.full((KINDS - 1, n + 1), self.model.wide[0])
        self.lasts[[NOTE - 1, WRONG - 1]] = self.model.wide
        self.deep = int(self.model.wide.max())
        self.ready = np.full((self.deep, KINDS - 1, n + 1), NEVER)
        flat = np.arange((KINDS - 1) * (n + 1)).reshape(KINDS - 1, n + 1)
        self.targets = (self.lasts - 1) * flat.size + flat
        # The way back: kind and place before each note, kind before a note struck again,
        # kind before an added one; in which state something began; what fell silent.
        self.from_kind = np.zeros((frames, 3, n + 1), dtype=np.int8)
        self.from_place = np.zeros((frames, n + 1), dtype=np.int16 if n < 32_000 else np.int32)
        self.begun = np.zeros((frames, KINDS - 1, n + 1), dtype=np.bool_)
        self.fallen = np.zeros((frames, n + 1), dtype=np.int8)
        # Steady pieces of the work of a frame.
        self.index = np.arange(n + 1)
        self.pitch = np.concatenate([[-1], self.model.columns])
        self.falling = np.full((KINDS, 1), settings.rest)
        self.entries = np.full((KINDS - 1, n + 1), NEVER)

    def run(self) -> Path:
        """Go through all frames and trace the way back."""
        for costs in frame_costs(self.hearing, self.model, self.s, self.begin.frame):
            for row in range(len(costs.here)):
                self._frame(costs.first + row, row, costs)
        return self._trace()

    def _frame(self, t: int, row: int, costs: FrameCosts) -> None:
        self._enter(t, costs.sign[row])
        flat = self.ready.reshape(-1)
        size = self.entries.size
        flat[(self.targets + t * size) % flat.size] = self.entries
        ready = self.ready[t % self.deep] + costs.settled[row]
        going = self.states[1:] + costs.here[row]
        np.less(ready, going, out=self.begun[t])
        np.minimum(ready, going, out=self.states[1:])
        self.falling[REST] = costs.quiet[row]
        silent = self.states + self.falling
        kind = silent.argmin(axis=0)
        self.fallen[t] = kind
        self.states[REST] = silent.min(axis=0)
        self.rested += 1
        self.rested *= kind == REST

    def _enter(self, t: int, sign: Costs) -> None:
        """What may begin in this frame, from the states as they were in the one before."""
        s, m, n, states = self.s, self.model, self.count, self.states
        kind = states.argmin(axis=0)
        done = states.min(axis=0)
        # On to the next note, or further: each that is left out costs.
        ahead = done - m.skip
        lowest = np.minimum.accumulate(ahead)
        place = np.maximum.accumulate(np.where(ahead <= lowest, self.index, 0))[:-1]
        enter = lowest[:-1] + m.skip[:-1]
        # The same pitch again needs a sign of an attack, unless something else came between.
        sounding = np.where(SOUNDING[kind], self.pitch, -2)
        enter += np.where(sounding[place] == m.columns, sign, 0.0)
        # Once more from the start, after the last note.
        anew = done[n] + s.round
        if anew < enter[0]:
            enter[0], place[0] = anew, n
            if sounding[n] == m.columns[0]:
                enter[0] += sign[0]
        jump, jump_place, jump_kind = self._jump(kind, done)
        back = jump + m.back
        better = back < enter
        np.copyto(enter, back, where=better)
        place[better] = jump_place
        from_kind = self.from_kind[t]
        from_kind[0, 1:] = np.where(better, jump_kind, kind[place])
        self.from_place[t, 1:] = place
        if self.places is not None:
            enter += self.places[t]
        # Struck again: from the note itself, which needs a sign, or out of silence.
        note, again = states[NOTE, 1:], states[AGAIN, 1:]
        once_more = np.minimum(note, again) + sign
        rest = states[REST, 1:] + np.where(self.rested[1:] > m.gap, s.again_after_gap, 0.0)
        silent = rest < once_more
        from_kind[1, 1:] = np.where(silent, REST, np.where(note <= again, NOTE, AGAIN))
        from_kind[2] = kind
        entries = self.entries
        entries[NOTE - 1, 1:] = enter
        np.add(np.minimum(rest, once_more), s.again, out=entries[AGAIN - 1, 1:])
        np.add(enter, s.wrong, out=entries[WRONG - 1, 1:])
        np.add(done, s.added, out=entries[ADDED - 1])

    def _jump(self, kind: NDArray[np.int64], done: Costs) -> tuple[float, int, int]:
        """The cheapest place to go back from: its cost, place and kind."""
        long_rest = np.where(self.rested > self.model.gap, self.states[REST], NEVER)
        gap_at, any_at = int(long_rest[1:].argmin()) + 1, int(done[1:].argmin()) + 1
        after_gap = float(long_rest[gap_at]) + self.s.back_after_gap
        anywhere = float(done[any_at]) + self.s.back
        if after_gap <= anywhere:
            return after_gap, gap_at, REST
        return anywhere, any_at, int(kind[any_at])

    def _trace(self) -> Path:
        """The way that ends cheapest, from its end to its start."""
        ends = self.states + np.where(self.index < self.count, self.s.unfinished, 0.0)
        kind, place = divmod(int(ends.argmin()), self.count + 1)
        cost = float(ends.min())
        t, end = self.hearing.frames - 1, self.hearing.frames
        found: list[Heard] = []
        while t >= self.begin.frame:
            if kind == REST:
                kind = int(self.fallen[t, place])
                if kind:
                    end = t + 1
                else:
                    t -= 1
                continue
            if not self.begun[t, kind - 1, place]:
                t -= 1
                continue
            first = t - int(self.lasts[kind - 1, place]) + 1
            way = {AGAIN: 1, ADDED: 2}.get(kind, 0)
            before = int(self.from_place[first, place]) if way == 0 else place
            jumped = way == 0 and not before < place <= before + self.s.far_on
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
