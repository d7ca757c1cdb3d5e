"""What a rewriting did and what does not fit, as data and in a player's words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from drills.instruments.table import InstrumentFact
from drills.music.pitch import Pitch
from drills.music.score import Part
from drills.reading.remarks import sentence
from drills.rewriting.asked import How, Rewriting
from drills.rewriting.flow import Placed, pitches_of

_MOST_PITCHES: Final = 6
"""Pitches outside the range that are told one by one."""
_MOST_NAMES: Final = 3
_FIFTHS: Final = 5
_NOTES_TOLD: Final = 8
_PART_TOLD: Final = 3
"""More than a third of the notes at an end of the range is told."""
_ONE_AT_A_TIME: Final = frozenset({"woodwind", "brass", "voice"})
_KEPT: Final = {
    How.SOUNDING: "at sounding pitch",
    How.WRITTEN: "with the same written notes",
}
_COUNTS: Final = ("", "an octave", "two octaves", "three octaves", "four octaves")


@dataclass(frozen=True, slots=True)
class Outside:
    """A note that lies outside the range of the new instrument."""

    pitch: Pitch
    """As the new player reads it."""
    bar: int
    """Index of its bar."""
    number: str
    """The bar's printed number."""
    below: bool
    """True under the range, False over it."""


def outside_range(
    part: Part, notes: Sequence[Placed], instrument: InstrumentFact
) -> tuple[Outside, ...]:
    """Every pitch of these notes outside the range, in order of time, grace notes included."""
    low, high = instrument.low, instrument.high
    if low is None or high is None:
        return ()
    return tuple(
        Outside(pitch, one.bar, part.bars[one.bar].number, pitch.midi < low.midi)
        for one in notes
        for pitch in pitches_of(one.note)
        if not low.midi <= pitch.midi <= high.midi
    )


def told(
    part: Part,
    rewriting: Rewriting,
    shifts: Mapping[int, int],
    counted: Sequence[Placed],
    outside: Sequence[Outside],
    *,
    new: Sequence[Pitch],
) -> Iterator[str]:
    """The remarks of a rewritten part; ``part`` is the old one, ``new`` what is written now.

    ``shifts`` are octaves up (negative: down) by index of a bar with counted notes.
    """
    yield f"{_what_was_done(part, rewriting, shifts, counted)}."
    yield from _told_outside(outside, rewriting.instrument)
    yield from _told_edges(new, rewriting.instrument)
    if rewriting.instrument.family in _ONE_AT_A_TIME:
        chords = [part.bars[one.bar].number for one in counted if len(one.note.tones) > 1]
        if chords:
            name = rewriting.instrument.name
            yield sentence(f"{name} plays one note at a time; chords stand as they are", chords)


def _what_was_done(
    part: Part, rewriting: Rewriting, shifts: Mapping[int, int], counted: Sequence[Placed]
) -> str:
    bars = sorted({one.bar for one in counted})
    names = list(dict.fromkeys(part.bars[bar].instrument.name or part.name for bar in bars))
    more = " and others" if len(names) > _MOST_NAMES else ""
    source = f" from {', '.join(names[:_MOST_NAMES])}{more}" if names else ""
    said = f"Rewritten for {rewriting.instrument.name}{source}, {_KEPT[rewriting.how]}"
    kinds = set(shifts.values()) or {0}
    if len(kinds) == 1:
        shift = kinds.pop()
        return f"{said}, {_octaves(shift)}" if shift else said
    parts = [
        f"{_octaves(shift)} {_bars(part, [bar for bar in shifts if shifts[bar] == shift])}"
        for shift in sorted(kinds, key=lambda one: list(shifts.values()).index(one))
        if shift
    ]
    return f"{said}, {' and '.join(parts)}"


def _octaves(shift: int) -> str:
    size = abs(shift)
    words = _COUNTS[size] if size < len(_COUNTS) else f"{size} octaves"
    return f"{words} {'higher' if shift > 0 else 'lower'}"


def _bars(part: Part, indices: Sequence[int]) -> str:
    """``in bar 3``, ``in bars 3-5 and 9``: bars in a row are one stretch."""
    rows: list[list[int]] = []
    for index in indices:
        if rows and index == rows[-1][-1] + 1:
            rows[-1].append(index)
        else:
            rows.append([index])
    numbers = [[part.bars[index].number for index in row] for row in rows]
    shown = [row[0] if len(row) == 1 else f"{row[0]}-{row[-1]}" for row in numbers]
    if len(shown) > _MOST_PITCHES:
        shown = [*shown[:_MOST_PITCHES], "others"]
    joined = " and ".join(filter(None, (", ".join(shown[:-1]), shown[-1])))
    return f"in bar{'s' if len(indices) > 1 else ''} {joined}"


def _told_edges(new: Sequence[Pitch], instrument: InstrumentFact) -> Iterator[str]:
    """A word where much of the music lies at an end of what can be played at all."""
    low, high = instrument.low, instrument.high
    if low is None or high is None or not new:
        return
    edge = (high.midi - low.midi) / _FIFTHS
    usual = [one for one in new if low.midi + edge <= one.midi <= high.midi - edge]
    for side, inside in (
        ("highest", [one for one in new if high.midi - edge < one.midi <= high.midi]),
        ("lowest", [one for one in new if low.midi <= one.midi < low.midi + edge]),
    ):
        if len(new) >= _NOTES_TOLD and len(inside) * _PART_TOLD > len(new):
            yield (
                f"{len(inside)} of {len(new)} notes lie in the {side} fifth of the range of "
                f"{instrument.name}, {low} to {high}: players use it, but seldom stay there; "
                f"{len(usual)} lie in between."
            )


def _told_outside(outside: Sequence[Outside], instrument: InstrumentFact) -> Iterator[str]:
    """One sentence for each pitch, with its bars; of many pitches one for each of the farthest,
    and one for all others."""
    low, high = instrument.low, instrument.high
    if low is None or high is None:
        return
    bars: dict[Pitch, list[Outside]] = {}
    for one in outside:
        bars.setdefault(one.pitch, []).append(one)
    far = sorted(bars, key=lambda pitch: -max(low.midi - pitch.midi, pitch.midi - high.midi))
    for pitch in far[:_MOST_PITCHES]:
        side = "below" if bars[pitch][0].below else "above"
        where = f"{pitch} lies {side} the range of {instrument.name}, {low} to {high}"
        yield sentence(where, [one.number for one in bars[pitch]])
    if more := far[_MOST_PITCHES:]:
        numbers = [one.number for pitch in more for one in bars[pitch]]
        names = ", ".join(str(pitch) for pitch in sorted(more, key=lambda pitch: pitch.midi))
        verb = "lie" if len(more) > 1 else "lies"
        yield sentence(f"{names} {verb} outside the range too", numbers)
