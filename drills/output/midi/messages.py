"""What a file of drills and one of a practice say alike."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from mido import MetaMessage

from drills.music.time import TimeSignature
from drills.output.midi.grid import Happening, storable

LONGEST_QUARTER: Final = 0xFFFFFF
"""Microseconds that fit the three bytes of a tempo."""
BEND_PER_SEMITONE: Final = 4096
"""Of 8192 for the bend range of two semitones."""


def texts(wanted: Iterable[tuple[str, str, str]]) -> Iterator[Happening]:
    """Texts at the start, each once: kind of message, its field, and what it says."""
    for kind, name, text in dict.fromkeys(wanted):
        if text:
            yield Happening(0, MetaMessage(kind, **{name: storable(text)}))


def time_signature(time: TimeSignature) -> MetaMessage:
    """A time signature, its beat as the click of a metronome."""
    return MetaMessage(
        "time_signature",
        numerator=time.count,
        denominator=time.unit,
        clocks_per_click=max(1, round(24 * time.beat.quarters)),
        notated_32nd_notes_per_beat=8,
    )
