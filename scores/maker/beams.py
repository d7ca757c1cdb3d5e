"""Beams of one bar: which notes hang together, and how many beams each has.

Convention (common practice): flagged notes are beamed within a beat, in 6/8
the dotted quarter; four plain eighths in one half of a 4/4 bar share a beam.
A rest ends a beam.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from maker.music import Event, Frame

_FLAGS: Final = {"e": 1, "s": 2, "t": 3}


def beams_of(events: list[Event], frame: Frame, offset: Fraction) -> dict[int, list[str]]:
    """MusicXML beam values by index of event, outermost first.

    ``offset`` is what the bar lacks at its start, so that a pickup is grouped
    by the beats of a full bar.
    """
    found: dict[int, list[str]] = {}
    for group in _groups(events, frame, offset):
        if len(group) > 1:
            for place, index in enumerate(group):
                flags = [_FLAGS[events[other].value] for other in group]
                found[index] = [_beam(flags, place, level) for level in range(1, flags[place] + 1)]
    return found


def _groups(events: list[Event], frame: Frame, offset: Fraction) -> list[list[int]]:
    """Indexes of events under one beam."""
    groups: list[list[int]] = []
    last: tuple[int, int] | None = None
    for index, event in enumerate(events):
        if event.pitch is None or event.value not in _FLAGS:
            last = None
            continue
        beat = int((offset + event.start) / frame.beat)
        if last == (index - 1, beat):
            groups[-1].append(index)
        else:
            groups.append([index])
        last = (index, beat)
    return _in_halves(groups, events, offset) if (frame.beats, frame.unit) == (4, 4) else groups


def _in_halves(groups: list[list[int]], events: list[Event], offset: Fraction) -> list[list[int]]:
    """Join two pairs of eighths that fill one half of a 4/4 bar."""
    joined: list[list[int]] = []
    for group in groups:
        before = joined[-1] if joined else []
        if (
            _is_pair(before, events)
            and _is_pair(group, events)
            and before[-1] + 1 == group[0]
            and (offset + events[before[0]].start) % 2 == 0
        ):
            joined[-1] = before + group
        else:
            joined.append(group)
    return joined


def _is_pair(group: list[int], events: list[Event]) -> bool:
    return len(group) == 2 and all(
        events[index].value == "e" and not events[index].dots and not events[index].tuplet
        for index in group
    )


def _beam(flags: list[int], place: int, level: int) -> str:
    """One beam of one note: begin, continue, end, or a hook of its own."""
    before = place > 0 and flags[place - 1] >= level
    after = place + 1 < len(flags) and flags[place + 1] >= level
    if before:
        return "continue" if after else "end"
    if after:
        return "begin"
    return "backward hook" if place else "forward hook"
