"""A take of any length, followed piece by piece.

Problem.  An hour has half a million frames, and what the follower must remember of each of
them for its way back does not fit into memory.  Method.  About a minute is followed at a time;
of the way that was found, all is kept up to the longest silence between two notes that lies
well before the end (or up to a note that begins there), and the next piece begins at that
place of the music.  What is kept was decided with at least ``AHEAD`` seconds of sequel.

Conventions.  Frames of a piece count from its own first one; ``Piece.first`` is that frame's
number in the recording.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from drills.listening.expected import place_costs
from drills.listening.following import Begin, Heard, Path, follow
from drills.listening.hearing import Ear, Hearing
from drills.listening.spectra import HOP, frame_count
from drills.listening.wanted import Wanted

LONG: Final = round(60 / HOP)
"""Frames of a piece."""
LATEST: Final = round(30 / HOP)
"""Frames before its end at which a piece is cut at the earliest ..."""
AHEAD: Final = round(10 / HOP)
"""... and at the latest."""
LEAD: Final = round(0.6 / HOP)
"""Frames that are heard before the place where a piece begins."""
EARLIER: Final = 8
"""Notes before a piece that speak for its tempo."""
BREATH: Final = 10
"""Frames before a note at which a piece is cut, where it is silent there."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a take, followed."""

    first: int
    """Frame of the recording with which its hearing begins."""
    hearing: Hearing
    begin: int
    """What is kept: the frames begin .. end - 1, ..."""
    end: int
    before: Heard | None
    """What sounded last before that, ..."""
    heard: tuple[Heard, ...]
    """... what began in it, ..."""
    after: Heard | None
    """... and what begins first after it."""


def pieces_of(ears: Sequence[Ear], wanted: Wanted) -> Iterator[Piece]:
    """Follow a take through one ear for each tuning that it may have.

    The ear with the cheapest way through the first piece that holds notes is kept.
    """
    total = frame_count(len(ears[0].samples), ears[0].rate)
    begin, earlier = Begin(), tuple[Heard, ...]()
    while True:
        first = max(begin.frame - LEAD, 0)
        last = begin.frame + LONG + AHEAD >= total
        end = total if last else begin.frame + LONG
        local = replace(begin, frame=begin.frame - first)
        known = _moved(earlier, -first)
        hearings = [ear.hear(first, end) for ear in ears]
        ways = [follow(hearing, wanted, begin=local) for hearing in hearings]
        best = min(range(len(ways)), key=lambda n: ways[n].cost)
        hearing, path = hearings[best], ways[best]
        if path.heard:
            ears = (ears[best],)
        places = place_costs(hearing, wanted, Path((*known, *path.heard), path.cost))
        if places is not None:
            path = follow(hearing, wanted, places, begin=local)
        cut = hearing.frames if last else _cut(path, local.frame, hearing.frames)
        kept = tuple(one for one in path.heard if one.first < cut)
        after = next((one for one in path.heard if one.first >= cut), None)
        before = known[-1] if known else None
        yield Piece(first, hearing, local.frame, cut, before, kept, after)
        if last:
            return
        if kept:
            begin = Begin(first + cut, kept[-1].note + 1, max(cut - kept[-1].end, 0))
        else:
            begin = Begin(first + cut, begin.place, begin.silent + cut - local.frame)
        earlier = (*earlier, *_moved(kept, first))[-EARLIER:]


def _moved(heard: Sequence[Heard], frames: int) -> tuple[Heard, ...]:
    return tuple(replace(one, first=one.first + frames, end=one.end + frames) for one in heard)


def _cut(path: Path, begin: int, frames: int) -> int:
    """Where a piece is best cut: before a note, after the longest silence, late in it."""
    latest = frames - AHEAD
    ends = [begin, *(one.end for one in path.heard)]
    starts = [*(one.first for one in path.heard), frames]
    silent = {start: start - end for start, end in zip(starts, ends, strict=True)}
    good = [start for start in starts if frames - LATEST <= start <= latest]
    if good:
        start = max(good, key=lambda one: (silent[one], one))
        return start - min(silent[start] // 2, BREATH)
    if any(end < latest < start for start, end in zip(starts, ends, strict=True)):
        return latest  # long silence
    held = [start for start in starts if begin < start <= latest]
    return held[-1] if held else latest
