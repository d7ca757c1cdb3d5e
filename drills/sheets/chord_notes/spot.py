"""A player's spot in its chords: functions, symbols over the excerpt, the drill of held notes."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from drills.harmony.chord import Harmony, NoteFunction
from drills.music.grid import GridBar
from drills.music.lines import Sound, bar_starts, voice_lines
from drills.music.score import Part
from drills.music.time import START, Length
from drills.places.spots import Spot, attack_of
from drills.sheets.chord_notes.held import chords_drill
from drills.sheets.chord_notes.names import certainty_remarks, with_symbols
from drills.sheets.chord_notes.playing import Played, with_functions
from drills.sheets.drill import Drill
from drills.sheets.excerpt import Excerpt, HeldFunctions, setting_at

AROUND: Final = 4
"""Notes before and after a line that tell how its first and last note are reached and left."""


@dataclass(frozen=True, slots=True)
class SpotChords:
    """What chords add to a sheet."""

    excerpt: Excerpt
    """With a symbol for every chord that the part does not print."""
    functions: tuple[tuple[NoteFunction, ...], ...]
    """For each note of the line what each of its tones does where it begins."""
    held: tuple[HeldFunctions, ...]
    """The same in every chord that begins while a note is held."""
    drill: Drill | None
    """The player's note in each chord; None where no chord is known."""
    remarks: tuple[str, ...]


def spot_chords(
    part: Part, spot: Spot, excerpt: Excerpt, harmonies: Sequence[Harmony]
) -> SpotChords:
    """The spot in its chords; ``harmonies`` in quarters from the start of the part."""
    line = played_around(part, spot, harmonies)
    low, high = _stretch(part, spot, line)
    here = clipped(harmonies, low, high)
    known = {played.attack.origin: played.first for played in line}
    starts = [bar_starts(part)[bar.index] for bar in excerpt.bars]
    shown = clipped(harmonies, starts[0], starts[-1] + excerpt.bars[-1].length.quarters)
    return SpotChords(
        replace(excerpt, bars=with_symbols(excerpt.bars, starts, shown)),
        tuple(known[attack.origin] for attack in spot.line),
        tuple(_held(line, excerpt, starts)),
        chords_drill(line, here, len(spot.line)),
        certainty_remarks(here, part.bars[spot.span.first.bar].instrument.transposition),
    )


def _held(
    line: Sequence[Played], excerpt: Excerpt, starts: Sequence[Fraction]
) -> Iterator[HeldFunctions]:
    """What the notes of the spot do in later chords, wherever a label says something new."""
    for played in line:
        before = played.first
        for later in played.functions[1:] if played.attack.number else ():
            if later.tones != before:
                bar = bisect_right(starts, later.start) - 1
                inside = Length(later.start - starts[bar])
                shown = inside < excerpt.bars[bar].length
                after = Length(later.start - played.start)
                yield HeldFunctions(
                    played.attack.number, after, later.tones, bar if shown else -1, START + inside
                )
            before = later.tones


def clipped(harmonies: Sequence[Harmony], low: Fraction, high: Fraction) -> tuple[Harmony, ...]:
    """The harmonies as far as they lie between two times."""
    return tuple(
        replace(one, start=max(one.start, low), end=min(one.end, high))
        for one in harmonies
        if one.start < high and one.end > low
    )


def played_around(part: Part, spot: Spot, harmonies: Sequence[Harmony]) -> tuple[Played, ...]:
    """The notes of a spot's voice in it and a few around it, with their functions."""
    sounds = voice_lines(part)[spot.voice].sounds
    numbers = {attack.origin: attack.number for attack in spot.line}
    places = [index for index, sound in enumerate(sounds) if sound.origin in numbers]
    near = sounds[max(places[0] - AROUND, 0) : places[-1] + 1 + AROUND]
    plain = [played_sound(part, sound, numbers.get(sound.origin, 0)) for sound in near]
    grid = grid_of(part, near[0].origin.bar, near[-1].origin.bar)
    return with_functions(plain, harmonies, grid)


def played_sound(part: Part, sound: Sound, number: int = 0) -> Played:
    """A sound of a part with what is in force there; times from the start of the part."""
    attack = attack_of(sound, number)
    setting = setting_at(part, attack)
    return Played(sound.start, sound.end, attack, setting.instrument.transposition, setting)


def grid_of(part: Part, first: int, last: int) -> tuple[GridBar, ...]:
    """Bars ``first`` to ``last`` of a part on its own line of time."""
    starts = bar_starts(part)
    return tuple(GridBar.of(bar, starts[bar.index]) for bar in part.bars[first : last + 1])


def _stretch(part: Part, spot: Spot, line: Sequence[Played]) -> tuple[Fraction, Fraction]:
    """From where to where chords count: the stretch, and a beat of the note that it lands on."""
    starts = bar_starts(part)
    first, end = spot.span.first, spot.span.end
    own = [played for played in line if played.attack.number]
    last = own[-1]
    beat = last.setting.time.beat.quarters
    low = min(starts[first.bar] + first.start.quarters, own[0].start)
    high = max(starts[end.bar] + end.start.quarters, min(last.end, last.start + beat))
    return low, high
