"""Which attacks are heard in one voice: ties joined, grace notes given their time.

All times are exact; the conventions stand in the package's docstring.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from drills.music.notes import LOUD, Grace, Note, Voice
from drills.music.pitch import Pitch, Tone, Transposition, Unpitched
from drills.music.score import Bar
from drills.music.ties import chains
from drills.music.time import START, Length, Position, length

GRACE_LENGTH: Final = length(1, 8)
"""What a grace note lasts where there is time for it: a thirty-second."""


@dataclass(frozen=True, slots=True)
class Struck:
    """One attack with its exact place."""

    at: Position
    end: Position
    tones: tuple[Tone, ...]
    transposition: Transposition
    main: Position
    """Where the note stands that this is, or that this grace note belongs to."""
    accent: bool = False
    grace: bool = False

    @property
    def keys(self) -> tuple[Fraction | Unpitched, ...]:
        """Sounding MIDI note number of each tone; an unpitched tone stays what it is."""
        moved = self.transposition.chromatic
        return tuple(t.midi + moved if isinstance(t, Pitch) else t for t in self.tones)


@dataclass(frozen=True, slots=True)
class _Main:
    """A main note with its ties joined."""

    at: Position
    end: Position
    note: Note
    transposition: Transposition


def struck(bars: Sequence[tuple[Position, Bar]], earliest: Position) -> list[Struck]:
    """Every attack of some bars in order, each bar with the place where it begins.

    Grace notes begin no earlier than ``earliest``.
    """
    found = [one for mains in _joined(bars) for one in _with_graces(mains, earliest)]
    return sorted(found, key=lambda one: one.at)


def _joined(bars: Sequence[tuple[Position, Bar]]) -> Iterator[list[_Main]]:
    """The main notes of each voice, tied notes made one.

    A tie joins only where it has both ends and no gap between; a note that is
    said to be tied from nothing is attacked.
    """
    voices: dict[str, list[tuple[Fraction, Note, Transposition]]] = {}
    for start, bar in bars:
        for voice in bar.voices:
            notes = voices.setdefault(voice.name, [])
            for note in _heard(voice):
                at = start + (note.start - START)
                notes.append((at.quarters, note, bar.instrument.transposition))
    for found in chains(voices, over_gaps=False).values():
        yield [_Main(Position(one.start), Position(one.end), one.notes[0], one.of) for one in found]


def _heard(voice: Voice) -> Iterator[Note]:
    return (e for e in voice.events if isinstance(e, Note) and not (e.cue or e.hidden))


def _with_graces(mains: Iterable[_Main], earliest: Position) -> Iterator[Struck]:
    """Main notes and their grace notes, each note shortened for the graces that follow it."""
    before: Struck | None = None
    for main in mains:
        since = min(earliest if before is None else before.at, main.at)
        first, start = _before_the_beat(main, since)
        if before is not None:
            yield replace(before, end=max(before.at, min(before.end, first)))
        yield from _graces(main.note.graces, first, start, main)
        *most, before = _from_the_beat(main, start)
        yield from most
    if before is not None:
        yield before


def _before_the_beat(main: _Main, since: Position) -> tuple[Position, Position]:
    """Where the grace notes of a note begin, and where the note itself does."""
    graces = main.note.graces
    if graces and main.at == since:
        return main.at, main.at + _taken(graces, main.end - main.at)
    room = main.at - since
    return since + (room - _taken(graces, room)), main.at


def _from_the_beat(main: _Main, start: Position) -> Iterator[Struck]:
    """The main note, and the grace notes that take their time from its end."""
    note, room = main.note, main.end - start
    after = start + (room - _taken(note.graces_after, room))
    accent = not LOUD.isdisjoint(note.articulations)
    yield Struck(start, after, note.tones, main.transposition, main.at, accent=accent)
    yield from _graces(note.graces_after, after, main.end, main)


def _taken(graces: tuple[Grace, ...], room: Length) -> Length:
    """The time that grace notes take where there is ``room``."""
    return min(GRACE_LENGTH * len(graces), room * Fraction(1, 2))


def _graces(
    graces: tuple[Grace, ...], start: Position, end: Position, main: _Main
) -> Iterator[Struck]:
    """Grace notes of equal length that fill the time from ``start`` to ``end``."""
    each = (end - start) * Fraction(1, max(1, len(graces)))
    for place, grace in enumerate(graces):
        at = start + each * place
        yield Struck(at, at + each, grace.tones, main.transposition, main.at, grace=True)
