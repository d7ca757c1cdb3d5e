"""Standard MIDI files -> MusicXML: mido decodes, the grid is found here.

Problem: a MIDI file counts ticks and may be played or exported; it knows no note values,
no spelling, no voices, and often no metre and no key.
Method: in each quarter the coarsest grid is taken (1, 2, 3, 4, 6, 8 ... equal parts) in
which no attack moves by more than a fiftieth of a quarter, else the one that moves them
least; what moved, and by how much at most, is told.  A sound ends with the next attack at
the latest, and lasts until it where the gap is only how the note was played.  Pitches are
spelled within the twelve fifths that lie nearest to the key.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from typing import Final, TypeVar

from drills.errors import ReadError
from drills.instruments.general_midi import drum_on
from drills.instruments.table import instrument_of
from drills.music.pitch import KeySignature, Pitch, Tone
from drills.music.score import Clef
from drills.music.time import COMMON_TIME, TimeSignature
from drills.reading.given import Given, Silence
from drills.reading.other.filling import Sound, filled
from drills.reading.other.foreign import Foreign, Translation
from drills.reading.other.midi_file import STEPS_BY_FIFTHS, MidiFile, Voice, check_midi, read_midi
from drills.reading.other.scorexml import Heading, MadeBar, MadePart, score_bytes

_T = TypeVar("_T")
_TOLERANCE: Final = Fraction(1, 50)
"""Quarters that an attack may be off a grid which is taken for what was meant."""
_GRIDS: Final = (1, 2, 3, 4, 6, 8, 5, 7, 12, 16)
"""Equal parts of a quarter, the likeliest first."""
_RARE_GRIDS: Final = (5, 7, 9, 10, 12, 14, 16, 20, 24, 32)
"""Taken where two attacks or more stand on one of them to the tick: tuplets across beats."""
_PLAYED_GAP: Final = Fraction(1, 8)
"""A gap of at most so much of a quarter before the next attack is only how it was played."""
_DRUMS: Final = 9
_WINDOW: Final = 3
"""Fifths to the flat side of the key's first degree that a pitch may be spelled on; eight
lie on the sharp side: E flat to G sharp in C (common practice)."""


def from_midi(foreign: Foreign) -> Translation:
    """The file's music as MusicXML; raises ReadError and LimitError."""
    found = read_midi(foreign)
    if not any(voice.notes for voice in found.voices):
        raise ReadError(f"{foreign.where}: the MIDI file has no notes")
    silence = Silence("" if found.times else "4/4", "" if found.keys else "no key")
    replaced = tuple(_replaced(found, foreign.given))
    check_midi(found, foreign)
    grid = _Grid(found)
    bars = _Bars(found, grid.end)
    foreign.limits.check("bars", len(bars.starts), foreign.where)
    _check_emptiness(len(bars.starts), found, foreign)
    key = found.keys.get(min(found.keys)) if found.keys else None
    made = [
        _part(voice, grid.sounds(voice, key or KeySignature()), bars)
        for voice in found.voices
        if voice.notes
    ]
    remarks = (*replaced, *_remarks(found, grid))
    return Translation(score_bytes(made, Heading(found.title)), remarks, silence)


def _check_emptiness(bars: int, found: MidiFile, foreign: Foreign) -> None:
    """Refuse a few bytes that ask for bars by the hundred thousand."""
    voices = [voice for voice in found.voices if voice.notes]
    measures, notes = bars * len(voices), sum(len(voice.notes) for voice in voices)
    foreign.limits.check("elements", _ELEMENTS * measures, foreign.where)
    if measures > _EMPTY + _EMPTY_FOR_A_NOTE * notes:
        raise ReadError(
            f"{foreign.where}: {measures:,} bars for {notes:,} notes, in all parts together, are "
            "no music; cut the silence out of the file"
        )


_ELEMENTS: Final = 6
"""Of an empty bar in MusicXML."""
_EMPTY: Final = 20_000
_EMPTY_FOR_A_NOTE: Final = 20
"""Bars of all parts that may be empty: so many, and so many more for each note."""


def _replaced(found: MidiFile, given: Given) -> Iterator[str]:
    """Put the player's metre and key in place of the file's; what was set aside is told."""
    if given.metre is not None:
        if set(found.times.values()) - {given.metre}:
            yield f"The MIDI file gives another metre; bars are counted in {given.metre}, as asked."
        found.times = {0: given.metre}
    if given.key is not None:
        if {key.fifths for key in found.keys.values()} - {given.key.fifths}:
            yield "The MIDI file gives another key; that which was asked for is taken."
        found.keys = {0: given.key}


class _Grid:
    """Where each tick of an attack stands in exact time."""

    def __init__(self, found: MidiFile) -> None:
        self._resolution = found.resolution
        ticks = sorted({note[0] for voice in found.voices for note in voice.notes})
        ends = [note[1] for voice in found.voices for note in voice.notes]
        self._parts: dict[int, int] = {}
        self._places: dict[int, Fraction] = {}
        self.moved = 0
        """Attacks that were not exactly on the grid."""
        self.most = Fraction(0)
        """By how much of a quarter at most."""
        for beat, inside in groupby(ticks, key=lambda tick: tick // found.resolution):
            self._fit(beat, [Fraction(tick, found.resolution) - beat for tick in inside])
        self.end = max(self.at(max(ends)), max(self._places.values(), default=Fraction(0)))

    def _fit(self, quarter: int, offsets: Sequence[Fraction]) -> None:
        errors = {parts: max(_off(at, parts) for at in offsets) for parts in _GRIDS}
        fitting = [parts for parts in _GRIDS if errors[parts] <= _TOLERANCE]
        parts = fitting[0] if fitting else min(_GRIDS, key=lambda one: (errors[one], one))
        tick = Fraction(1, 2 * self._resolution)
        if errors[parts] > tick and sum(at > 0 for at in offsets) > 1:
            told = (one for one in _RARE_GRIDS if max(_off(at, one) for at in offsets) <= tick)
            parts = next(told, parts)
        self._parts[quarter] = parts
        for at in offsets:
            self.moved += _off(at, parts) > tick
            self.most = max(self.most, _off(at, parts))
            place = round((quarter + at) * self._resolution)
            self._places[place] = quarter + Fraction(round(at * parts), parts)

    def at(self, tick: int) -> Fraction:
        """The place of a tick, on the grid of its quarter."""
        if tick in self._places:
            return self._places[tick]
        quarter, rest = divmod(tick, self._resolution)
        parts = self._parts.get(quarter, 4)
        return quarter + Fraction(round(Fraction(rest, self._resolution) * parts), parts)

    def sounds(self, voice: Voice, key: KeySignature) -> list[Sound]:
        """The attacks of a voice, chords together, each ending with the next at the latest."""
        chords: dict[Fraction, list[tuple[int, int]]] = {}
        for attack, until, number in voice.notes:
            chords.setdefault(self.at(attack), []).append((until, number))
        starts = sorted(chords)
        found = []
        nexts: list[Fraction | None] = [*starts[1:], None]
        for start, following in zip(starts, nexts, strict=True):
            end = self.at(max(until for until, _ in chords[start]))
            if following is not None and (end > following or following - end <= _PLAYED_GAP):
                end = following
            if end <= start:
                shortest = start + Fraction(1, self._parts.get(int(start), 4) * 2)
                end = min(shortest, following) if following is not None else shortest
            numbers = sorted({number for _, number in chords[start]})
            found.append(Sound(start, end, tuple(_tone(n, voice, key) for n in numbers)))
        return found


def _off(at: Fraction, parts: int) -> Fraction:
    return abs(at - Fraction(round(at * parts), parts))


def _tone(number: int, voice: Voice, key: KeySignature) -> Tone:
    if voice.channel == _DRUMS:
        return drum_on(number)
    low = key.fifths - _WINDOW
    fifths = low + (number * 7 - low) % 12
    step = STEPS_BY_FIFTHS[(fifths + 1) % 7]
    alter = Fraction((fifths + 1) // 7)
    octave = (number - int(alter)) // 12 - 1
    return Pitch(step, alter, octave)


class _Bars:
    """The bar lines that the time signatures ask for."""

    def __init__(self, found: MidiFile, end: Fraction) -> None:
        def placed(ticks: Iterable[int]) -> dict[Fraction, int]:
            return {Fraction(tick, found.resolution): tick for tick in sorted(ticks)}

        self.found = found
        self.starts: list[Fraction] = []
        self.times: list[TimeSignature] = []
        changes = placed(found.times)
        places = sorted(changes)
        at, time = Fraction(0), COMMON_TIME
        while at < end or not self.starts:
            while places and places[0] <= at:
                time = found.times[changes[places.pop(0)]]
            self.starts.append(at)
            self.times.append(time)
            at += time.bar_length.quarters
        self.end = at
        self.keys = self._first_in(found.keys)
        self.tempos = self._first_in(found.tempos)
        self.marks = self._first_in(found.marks)

    def _first_in(self, said: dict[int, _T]) -> dict[int, _T]:
        """What is said, by the bar that begins there or, inside one, by the next."""
        found: dict[int, _T] = {}
        for tick, value in sorted(said.items()):
            at = Fraction(tick, self.found.resolution)
            bar = bisect_left(self.starts, at - _TOLERANCE)
            if bar < len(self.starts):
                found[bar] = value
        return found


def _part(voice: Voice, sounds: Sequence[Sound], bars: _Bars) -> MadePart:
    made = []
    first = 0
    for index, (start, time) in enumerate(zip(bars.starts, bars.times, strict=True)):
        end = start + time.bar_length.quarters
        while first < len(sounds) and sounds[first].end <= start:
            first += 1
        last = first
        while last < len(sounds) and sounds[last].start < end:
            last += 1
        changed = not index or bars.times[index - 1] != time
        made.append(
            MadeBar(
                filled(sounds[first:last], start, time),
                str(index + 1),
                time if changed else None,
                bars.keys.get(index),
                bars.marks.get(index, ""),
                bars.tempos.get(index),
                final=index + 1 == len(bars.starts),
            )
        )
    drums = voice.channel == _DRUMS
    known = instrument_of("", "", voice.program or None)
    name = voice.name or ("Drums" if drums else known.name) or f"Channel {voice.channel + 1}"
    middle = sorted(
        tone.midi for sound in sounds for tone in sound.tones if isinstance(tone, Pitch)
    )
    low = bool(middle) and middle[len(middle) // 2] < 57
    clef = Clef("percussion") if drums else Clef("F", 4) if low else Clef()
    return MadePart(name, tuple(made), clef, program=voice.program, drums=drums)


def _remarks(found: MidiFile, grid: _Grid) -> Iterator[str]:
    """What the format does not say, and what the grid cost."""
    if grid.moved:
        share = round(float(grid.most), 3)
        yield (
            f"{grid.moved:,} attacks of the MIDI file were not exactly on a beat or its parts and "
            f"were moved there, by {share} of a quarter at most."
        )
    yield (
        "A MIDI file has sounding pitches and no note values: they are written as they sound, "
        "spelled to fit the key; --for writes them for an instrument."
    )
    if not found.times:
        yield "The MIDI file gives no metre; bars are counted in 4/4 (--metre 6/8 for another)."
    if not found.keys:
        yield (
            "The MIDI file gives no key; pitches are spelled from E flat to G sharp "
            '(--key "F major" for another).'
        )
