"""Every tone on the new instrument, spelled so that it can be read.

Problem.  Moved by its interval each note keeps the spelling that the composer
gave it: a leading note stays a sharp that rises.  But chromatic notes may come out
as double sharps that nothing explains, or a passage in a far key as a forest of
them, where the other enharmonic side is plain.

Method.  Each note may stand on the way of its key or one step beside it (the
enharmonic side above or below).  The cheapest way through a voice is sought:
a note costs what it is odd to read (signs.py), a change of side costs more between
neighbours in a scale, where it hides the interval, than at a leap or a rest.  So a
double sharp that rises to the next step stays, one among leaps becomes a natural,
and a passage that is easier on the other side goes there as a whole.  Tied notes
are spelled alike.  The costs are our own choice.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Final

from drills.music.notes import Note
from drills.music.pitch import CONCERT, Pitch, Tone, Transposition
from drills.music.score import ChordSymbol
from drills.reading.chords import moved
from drills.rewriting.cheapest import cheapest_way
from drills.rewriting.flow import Placed
from drills.rewriting.keys import Reading, Source
from drills.rewriting.signs import STRANGER, oddity

_SIDES: Final = (0, -1, 1)
"""Staff steps beside the way of the key; the first wins where all cost the same."""
_SCALE_CHANGE: Final = 7
"""A change of side between notes up to a whole tone apart."""
_LEAP_CHANGE: Final = 2
_REST_CHANGE: Final = 1
_TIED: Final = 1_000
_SCALE: Final = 2


@dataclass(frozen=True, slots=True)
class _Item:
    """A chord, note or grace note of one voice."""

    tones: tuple[Tone, ...]
    source: Source
    rested: bool
    """True after a rest."""
    tied: bool = False
    """Tied to the one before it."""

    @property
    def midi(self) -> Fraction | None:
        """The first pitch, by which leaps are told from steps; None on a drum."""
        return next((tone.midi for tone in self.tones if isinstance(tone, Pitch)), None)


def spelled(voice: Sequence[Placed], readings: Mapping[Source, Reading]) -> list[Note]:
    """The notes of a voice with their tones moved and spelled, octaves not yet chosen."""
    items = list(_items(voice))
    sides = _cheapest(items, readings)
    tones = iter(
        [
            tuple(_moved(tone, readings[item.source].way, side) for tone in item.tones)
            for item, side in zip(items, sides, strict=True)
        ]
    )
    return [_with_tones(one.note, tones) for one in voice]


def _items(voice: Sequence[Placed]) -> Iterator[_Item]:
    end, led = Fraction(-1), False
    for one in voice:
        note, source = one.note, (one.moved, one.key)
        rested = one.start > end
        for grace in note.graces:
            yield _Item(grace.tones, source, rested)
            rested = False
        yield _Item(note.tones, source, rested, note.tie_stop and led)
        for grace in note.graces_after:
            yield _Item(grace.tones, source, rested=False)
        end, led = one.end, note.tie_start


def _with_tones(note: Note, tones: Iterator[tuple[Tone, ...]]) -> Note:
    """A note with the next tones of a voice: its graces', its own, and those after it."""
    if not (note.graces or note.graces_after):
        return replace(note, tones=next(tones))
    return replace(
        note,
        graces=tuple(replace(grace, tones=next(tones)) for grace in note.graces),
        tones=next(tones),
        graces_after=tuple(replace(grace, tones=next(tones)) for grace in note.graces_after),
    )


def _cheapest(items: Sequence[_Item], readings: Mapping[Source, Reading]) -> list[int]:
    """The side of each item on the cheapest way through them all."""
    if all(readings[item.source].kept for item in items):
        return [0] * len(items)
    rows = [
        {side: _odd(item.tones, readings[item.source], side) for side in _SIDES} for item in items
    ]
    changes = [(0, 0), *(_change(*both, readings) for both in pairwise(items))]

    def change(place: int, old: int, new: int) -> int:
        steps, weight = changes[place]
        return weight * abs(new - old + steps)

    return cheapest_way(rows, change)


def _odd(tones: Sequence[Tone], reading: Reading, side: int) -> int:
    if reading.kept:
        return _TIED * abs(side)
    cost = 0
    for tone in tones:
        if isinstance(tone, Pitch):
            cost += oddity(_sounding(tone, reading.way, side), reading.key)
            if side and not oddity(_sounding(tone, reading.way, 0), reading.key):
                cost += STRANGER
    return cost


def _change(before: _Item, item: _Item, readings: Mapping[Source, Reading]) -> tuple[int, int]:
    """What a change of side costs between two notes: steps apart already, and cost of a step."""
    if item.tied and before.source[0] == item.source[0]:
        here, there = readings[item.source].way, readings[before.source].way
        return here.diatonic - there.diatonic, _TIED
    if before.source != item.source:
        return 0, 0
    if item.rested:
        return 0, _REST_CHANGE
    pitch, old = item.midi, before.midi
    near = pitch is not None and old is not None and abs(pitch - old) <= _SCALE
    return 0, _SCALE_CHANGE if near else _LEAP_CHANGE


def _moved(tone: Tone, way: Transposition, side: int = 0) -> Tone:
    return _sounding(tone, way, side) if isinstance(tone, Pitch) else tone


@lru_cache(maxsize=8192)
def _sounding(pitch: Pitch, way: Transposition, side: int) -> Pitch:
    return Transposition(way.diatonic + side, way.chromatic).sounding(pitch)


def spelled_chord(symbol: ChordSymbol, reading: Reading) -> ChordSymbol:
    """A chord symbol as the new player reads it, root and bass on one enharmonic side."""
    if reading.kept:
        return symbol
    side = min(_SIDES, key=lambda side: _odd_names(symbol, reading, side))
    way = Transposition(reading.way.diatonic + side, reading.way.chromatic)
    new = moved(symbol, way, CONCERT)
    return replace(symbol, root=new.root, bass=new.bass)


def _odd_names(symbol: ChordSymbol, reading: Reading, side: int) -> int:
    """What root and bass cost to read, those of the key included: an F is better than an E#."""
    names = [name for name in (symbol.root, symbol.bass) if name]
    pitches = [_sounding(Pitch.parse(f"{name}4"), reading.way, side) for name in names]
    return sum(oddity(pitch, reading.key) for pitch in pitches)
