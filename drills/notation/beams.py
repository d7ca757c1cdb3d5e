"""Which notes stand under one beam.

Method.  A beam joins neighbouring notes with flags inside one unit of the
metre; a rest or a longer value breaks it.  The unit is the beat; for plain
eighths in simple time it is the group of beats (half a bar of 4/4, the bar of
3/4); where the beat is an eighth or less it is the group; where it is longer
than a quarter in simple time, sixteenths and shorter go by the quarter.
Common practice of engraving.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from drills.music.metre import group_edges
from drills.music.notes import Beam, Event, Note
from drills.music.time import ZERO, Length, TimeSignature

_QUARTER = Fraction(1)


def beamed(
    events: Sequence[Event], time: TimeSignature, offset: Length = ZERO
) -> tuple[Event, ...]:
    """The events of one bar with ``beam`` set on the notes that share a beam.

    ``offset`` is what a pickup lacks at its start.
    """
    out = list(events)
    for low, high in _units(events, time, offset.quarters):
        members = [i for i in range(len(out)) if low <= out[i].start.quarters < high]
        for run in _neighbours_with_flags(out, members):
            for place, (index, note) in enumerate(run):
                out[index] = replace(note, beam=_beam_at(place, len(run)))
    return tuple(out)


def with_whole_beams(events: Sequence[Event]) -> tuple[Event, ...]:
    """The events of a stretch without beams that have lost an end.

    A beam that leads to another staff or over an edge of the stretch, or that a
    file puts on a note without flags, leaves its notes unbeamed.
    """
    out = list(events)
    open_beam: list[int] = []
    for index, event in enumerate(events):
        beam = event.beam if isinstance(event, Note) else None
        if beam is Beam.START:
            _unbeam(out, open_beam)
            open_beam = []
        if beam is not None:
            open_beam.append(index)
        if beam is None and isinstance(event, Note):
            _unbeam(out, open_beam)
            open_beam = []
        if beam is Beam.STOP:
            if not _is_whole(out, open_beam):
                _unbeam(out, open_beam)
            open_beam = []
    _unbeam(out, open_beam)
    return tuple(out)


def _is_whole(events: Sequence[Event], members: Sequence[int]) -> bool:
    notes = [event for index in members if isinstance(event := events[index], Note)]
    flagged = all(note.value.flags for note in notes)
    return len(notes) > 1 and flagged and notes[0].beam is Beam.START


def _unbeam(events: list[Event], members: Sequence[int]) -> None:
    for index in members:
        event = events[index]
        if isinstance(event, Note):
            events[index] = replace(event, beam=None)


def _beam_at(place: int, size: int) -> Beam:
    if place == 0:
        return Beam.START
    return Beam.STOP if place == size - 1 else Beam.CONTINUE


def _neighbours_with_flags(
    events: Sequence[Event], members: Sequence[int]
) -> list[list[tuple[int, Note]]]:
    """Stretches of two or more neighbouring flagged notes, each with its index."""
    runs: list[list[tuple[int, Note]]] = [[]]
    for index in members:
        event = events[index]
        if isinstance(event, Note) and event.value.flags:
            runs[-1].append((index, event))
        else:
            runs.append([])
    return [run for run in runs if len(run) > 1]


def _units(
    events: Sequence[Event], time: TimeSignature, offset: Fraction
) -> list[tuple[Fraction, Fraction]]:
    full = (Fraction(0), *group_edges(time), time.bar_length.quarters)
    edges = [at - offset for at in full]
    units: list[tuple[Fraction, Fraction]] = []
    for low, high in pairwise(edges):
        inside = [e for e in events if low <= e.start.quarters < high]
        step = _step(inside, time) or high - low
        at = low
        while at < high:
            units.append((at, min(at + step, high)))
            at += step
    return units


def _step(events: Sequence[Event], time: TimeSignature) -> Fraction | None:
    """The unit within one group; None for the whole group."""
    beat = time.beat.quarters
    if beat < _QUARTER:
        return None
    if time.is_compound:
        return beat
    flagged = [e for e in events if isinstance(e, Note) and e.value.flags]
    plain_eighths = all(e.value.flags == 1 and not e.tuplets for e in flagged)
    if plain_eighths:
        return None if beat == _QUARTER else beat
    return min(beat, _QUARTER)
