"""Drills in the music's own rhythm: the beats as gestures, their joins, the line as written.

Problem.  Cells and rhythms take the notes out of their time; before a line is played as it
stands, its gestures are: each beat with the note that it leads to, in its own rhythm and
on its own beat.

Method.  The beats of the music cut a run into windows: the beat where three notes or more
fall into it, else the group of beats, else the bar.  A window and the first note after it are
written in a bar of their own that begins where the window begins; the last note is held
to the end of the beat that it falls into.  A join is made of the last two notes of a window and
the first two of the next.

Conventions.  Times are quarters on the line of the part (``music.lines.bar_starts``).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import Final

from drills.errors import NotationError
from drills.music.lines import bar_starts
from drills.music.metre import group_edges
from drills.music.notes import SHORT
from drills.music.score import Bar, Part
from drills.music.time import Length, TimeSignature
from drills.notation.bars import Stroke, write_bars
from drills.places.spots import Attack, Run, Slur, slurs_within
from drills.sheets.drill import Drill, DrillKind, cell_time, number_range, without
from drills.sheets.excerpt import setting_at

AS_WRITTEN: Final = "as-written"
"""What the rhythm of these drills is called in the data."""
DENSE: Final = 3
"""Notes that make a gesture of a beat."""


@dataclass(frozen=True, slots=True)
class Gesture:
    """Successive attacks of a run in their own time."""

    first: int
    """Index into the run's attacks."""
    last: int
    begin: Fraction
    """Where its bar begins; its first note may come later."""
    end: Fraction
    """Where its bar ends."""


def gestures(part: Part, run: Run) -> tuple[Gesture, ...]:
    """Each window of a run with the note that it leads to; windows of one note go with the
    next, and a last note is no gesture of its own."""
    starts = places(part, run.attacks)
    edges = _edges(part, run)
    found: list[Gesture] = []
    for low, high in pairwise(edges):
        inside = [index for index, start in enumerate(starts) if low <= start < high]
        if not inside or inside[0] == len(starts) - 1:
            continue
        last = min(inside[-1] + 1, len(starts) - 1)
        found.append(Gesture(inside[0], last, low, _held_to(part, run.attacks[last], starts[last])))
    return tuple(found)


def joins(part: Part, run: Run, found: Sequence[Gesture]) -> tuple[Gesture, ...]:
    """The last two notes of each gesture before its landing, and the first two of the next.

    Where a window has no more than two notes its join says nothing new.
    """
    starts = places(part, run.attacks)
    made = []
    for one, following in pairwise(found):
        if min(one.last - one.first, following.last - following.first) < DENSE:
            continue
        first, last = following.first - 2, following.first + 1
        beat = _beat_of(part, run.attacks[first], starts[first])
        made.append(Gesture(first, last, beat, _held_to(part, run.attacks[last], starts[last])))
    return tuple(made)


def gesture_drill(part: Part, run: Run, one: Gesture, slurs: Sequence[Slur]) -> Drill:
    """A gesture as a repeated bar; raises NotationError for what cannot be written so."""
    attacks = run.attacks[one.first : one.last + 1]
    setting = setting_at(part, attacks[0])
    starts = places(part, attacks)
    strokes = list(_strokes(_with_held_last(attacks), starts, one.begin, one.end))
    time = cell_time(Length(one.end - one.begin), setting.time)
    first, last = attacks[0].number, attacks[-1].number
    return Drill(
        DrillKind.CELL,
        number_range(first, last),
        AS_WRITTEN,
        len(attacks),
        ((first, last),),
        write_bars(strokes, replace(setting, time=time), slurs_within(slurs, first, last)),
        repeated=True,
    )


def merged(drills: Sequence[Drill]) -> tuple[Drill, ...]:
    """Drills that read alike as one, at the place of the first, with all their places."""
    found: dict[object, Drill] = {}
    for drill in drills:
        key = tuple(
            (bar.time, event.start, event.length, getattr(event, "tones", ()))
            for bar in drill.bars
            for event in bar.voices[0].events
        )
        known = found.get(key)
        ranges = tuple(dict.fromkeys((*(known.ranges if known else ()), *drill.ranges)))
        label = ", ".join(number_range(*one) for one in ranges)
        found[key] = replace(known or drill, ranges=ranges, label=label)
    return tuple(found.values())


def even_line(part: Part, run: Run, slurs: Sequence[Slur]) -> tuple[Bar, ...] | None:
    """A run in its own bars with the notes of each beat made equal, as far as that is plain.

    A beat that is filled by two or four notes, or by three in compound time, has them
    equal; whatever is longer than a beat, tied over one or a tuplet stays what it is.
    None where the bars of the run are not full or not of one time signature, or where that
    cannot be written.
    """
    first, last = run.attacks[0].origin, run.attacks[-1].origin
    if first is None or last is None:
        return None
    bars = part.bars[first.bar : last.bar + 1]
    time = bars[0].time
    short = any(bar.length + bar.offset < time.bar_length for bar in bars[:-1])
    if short or any(bar.time != time for bar in bars):
        return None
    begin = bar_starts(part)[bars[0].index] - bars[0].offset.quarters
    starts, lengths = _levelled(places(part, run.attacks), run.attacks, begin, time)
    attacks = [replace(a, length=n) for a, n in zip(run.attacks, lengths, strict=True)]
    end = max(starts[-1] + lengths[-1].quarters, _held_to(part, run.attacks[-1], starts[-1]))
    strokes = list(_strokes(attacks, starts, begin, end))
    numbers = run.attacks[0].number, run.attacks[-1].number
    try:
        return write_bars(strokes, setting_at(part, run.attacks[0]), slurs_within(slurs, *numbers))
    except NotationError:  # tuplets inside tuplets, of which only the equal notes can be written
        return None


def places(part: Part, attacks: Sequence[Attack]) -> list[Fraction]:
    """Where attacks begin, in quarters from the start of the part."""
    starts = bar_starts(part)
    return [
        starts[attack.origin.bar] + attack.origin.start.quarters
        for attack in attacks
        if attack.origin is not None
    ]


# --- windows ------------------------------------------------------------------------


def _edges(part: Part, run: Run) -> list[Fraction]:
    """Where the windows of a run meet, from before its first note to after its last."""
    first, last = run.attacks[0].origin, run.attacks[-1].origin
    if first is None or last is None:
        return []
    bars = part.bars[first.bar : last.bar + 1]
    starts = places(part, run.attacks)
    for way in (_beats, _groups):
        edges = [edge for bar in bars for edge in way(part, bar)]
        used = [any(low <= at < high for at in starts) for low, high in pairwise(edges)]
        if len(starts) >= DENSE * sum(used) or max(map(len, _filled(edges, starts))) > DENSE:
            break
    else:
        edges = [_origin_of(part, bar) for bar in bars]
    return [*edges, Fraction(bar_starts(part)[bars[-1].index] + bars[-1].length.quarters)]


def _filled(edges: Sequence[Fraction], starts: Sequence[Fraction]) -> list[list[Fraction]]:
    return [[at for at in starts if low <= at < high] for low, high in pairwise(edges)] or [[]]


def _origin_of(part: Part, bar: Bar) -> Fraction:
    """Where a bar would begin if it were whole."""
    return bar_starts(part)[bar.index] - bar.offset.quarters


def _beats(part: Part, bar: Bar) -> list[Fraction]:
    return list(_multiples(_origin_of(part, bar), bar.time.beat, bar))


def _groups(part: Part, bar: Bar) -> list[Fraction]:
    origin = _origin_of(part, bar)
    return [origin, *(origin + edge for edge in group_edges(bar.time))]


def _multiples(origin: Fraction, step: Length, bar: Bar) -> Iterator[Fraction]:
    at = Fraction(0)
    while at < bar.length.quarters + bar.offset.quarters:
        yield origin + at
        at += step.quarters


def _beat_of(part: Part, attack: Attack, start: Fraction) -> Fraction:
    """Where the beat begins that an attack falls into."""
    if attack.origin is None:
        return start
    bar = part.bars[attack.origin.bar]
    origin = _origin_of(part, bar)
    beat = bar.time.beat.quarters
    return origin + (start - origin) // beat * beat


def _held_to(part: Part, attack: Attack, start: Fraction) -> Fraction:
    """The end of the beat that an attack falls into."""
    if attack.origin is None:
        return start + attack.length.quarters
    return _beat_of(part, attack, start) + part.bars[attack.origin.bar].time.beat.quarters


# --- strokes ------------------------------------------------------------------------


def _strokes(
    attacks: Sequence[Attack], starts: Sequence[Fraction], begin: Fraction, end: Fraction
) -> Iterator[Stroke]:
    """Attacks at their times between two others, what lies between them as silence."""
    at = begin
    for attack, start, following in zip(attacks, starts, [*starts[1:], end], strict=True):
        if start > at:
            yield Stroke(None, Length(start - at))
        last = attack is attacks[-1]
        length = following - start if last else min(attack.length.quarters, following - start)
        yield Stroke(attack, Length(length))
        at = start + length
    if at < end:
        yield Stroke(None, Length(end - at))


def _with_held_last(attacks: Sequence[Attack]) -> list[Attack]:
    """No dot on the note that is held."""
    return [*attacks[:-1], without(attacks[-1], SHORT)]


def _levelled(
    starts: Sequence[Fraction], attacks: Sequence[Attack], begin: Fraction, time: TimeSignature
) -> tuple[list[Fraction], list[Length]]:
    """Starts and lengths with the notes of each filled beat made equal."""
    made, lengths = list(starts), [attack.length for attack in attacks]
    beat, plain = time.beat.quarters, (3, 6) if time.is_compound else (2, 4)
    for low in dict.fromkeys((start - begin) // beat * beat + begin for start in starts):
        inside = [n for n, start in enumerate(starts) if low <= start < low + beat]
        ends = starts[inside[-1]] + lengths[inside[-1]].quarters
        whole = sum((lengths[n].quarters for n in inside), Fraction(0)) == beat
        if len(inside) in plain and starts[inside[0]] == low and ends == low + beat and whole:
            for place, n in enumerate(inside):
                made[n] = low + place * beat / len(inside)
                lengths[n] = Length(beat / len(inside))
    return made, lengths
