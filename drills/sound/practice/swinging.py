"""Swing on what is played with the drums: offbeats later, all else where it is written."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction

from drills.music.grid import GridBar
from drills.music.time import Position
from drills.sound.groove import swung_places
from drills.sound.timeline import Struck


def swung_line(
    line: Sequence[Struck], bars: Sequence[GridBar], ratio: Callable[[Fraction], Fraction]
) -> tuple[Struck, ...]:
    """The attacks of one voice with their offbeats swung.

    ``ratio`` is the swing of the quarter at a place.  A grace note moves with its
    main note; a note that leads into the next one still does.
    """
    mains = [one for one in line if not one.grace]
    ends = {one.end.quarters for one in mains}
    graces = {one.at.quarters for one in line if one.grace}
    written = {one.main.quarters for one in mains} | (ends - graces)
    played = swung_places(sorted(written), bars, ratio)

    def moved(one: Struck) -> Fraction:
        main = one.main.quarters
        return one.at.quarters + played.get(main, main) - main

    starts = [moved(one) for one in line]
    found = []
    for index, one in enumerate(line):
        leads_on = index + 1 < len(line) and one.end == line[index + 1].at
        end = one.end.quarters
        stop = starts[index + 1] if leads_on else played.get(end, end)
        found.append(replace(one, at=Position(starts[index]), end=Position(stop)))
    return tuple(found)
