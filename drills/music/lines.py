"""Every attack of a part, voice by voice: ties joined, with its exact place in the part.

What is here is worked out once for a part and kept for the parts used last,
since a hundred spots may be cut from one part.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final, NamedTuple

from drills.music.notes import Note, Origin
from drills.music.score import Part
from drills.music.ties import chains

PARTS_KEPT: Final = 32
"""Parts whose lines are kept: a whole band's score is gone through several times."""


class Sound(NamedTuple):
    """An attack with its exact place in the part.

    A named tuple, quicker made than a frozen dataclass: a part has thousands.
    """

    start: Fraction
    """Quarters from the start of the part."""
    end: Fraction
    notes: tuple[Note, ...]
    """The written notes that ties join; the first is the attack."""
    origin: Origin

    @property
    def slur_starts(self) -> tuple[int, ...]:
        """Numbers of the slurs that begin on it or on its grace notes."""
        graces = (slur for grace in self.notes[0].graces for slur in grace.slur_starts)
        return (*(slur for note in self.notes for slur in note.slur_starts), *graces)

    @property
    def slur_stops(self) -> tuple[int, ...]:
        """Numbers of the slurs that end on it."""
        return tuple(slur for note in self.notes for slur in note.slur_stops)


@dataclass(frozen=True, slots=True)
class VoiceLine:
    """Every sound of one voice in order, and its slurs."""

    sounds: tuple[Sound, ...]
    starts: tuple[Fraction, ...]
    """Where each sound begins."""
    slurs: tuple[tuple[int, int], ...]
    """First and last sound under each slur, as indices."""

    def between(self, low: Fraction, high: Fraction, *, includes_high: bool) -> range:
        """Indices of the sounds that begin from ``low`` up to ``high``."""
        cut = bisect_right if includes_high else bisect_left
        return range(bisect_left(self.starts, low), cut(self.starts, high))


@lru_cache(maxsize=PARTS_KEPT)
def voice_lines(part: Part) -> dict[str, VoiceLine]:
    """The voices of a part by name, in the order in which they first appear.

    Cues and hidden notes are not attacks; a tie that nothing leads into is one.
    """
    voices: dict[str, list[tuple[Fraction, Note, Origin]]] = {}
    for bar, base in zip(part.bars, bar_starts(part), strict=True):
        for voice in bar.voices:
            notes = voices.setdefault(voice.name, [])
            for event in voice.events:
                if isinstance(event, Note) and not (event.cue or event.hidden):
                    origin = Origin(bar.index, bar.number, event.start)
                    notes.append((base + event.start.quarters, event, origin))
    return {
        name: _line([Sound(one.start, one.end, one.notes, one.of) for one in found])
        for name, found in chains(voices, over_gaps=True).items()
    }


def _line(sounds: Sequence[Sound]) -> VoiceLine:
    return VoiceLine(tuple(sounds), tuple(sound.start for sound in sounds), _slurs(sounds))


@lru_cache(maxsize=PARTS_KEPT)
def bar_starts(part: Part) -> tuple[Fraction, ...]:
    """Where each bar begins, in quarters from the start of the part."""
    return tuple(start.quarters for start in part.starts())


def _slurs(sounds: Sequence[Sound]) -> tuple[tuple[int, int], ...]:
    begins: dict[int, int] = {}
    found = []
    for index, sound in enumerate(sounds):
        if not any(note.slur_starts or note.slur_stops or note.graces for note in sound.notes):
            continue
        for slur in sound.slur_stops:
            if slur in begins:
                found.append((begins.pop(slur), index))
        begins |= dict.fromkeys(sound.slur_starts, index)
    return tuple(found)
