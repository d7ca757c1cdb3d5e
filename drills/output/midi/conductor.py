"""The first track: titles, tempo, time and key signatures, a marker at every drill."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import ceil, floor
from typing import Final

from mido import MetaMessage

from drills.errors import UsageError
from drills.music.tempo import Tempo
from drills.output.midi.grid import Grid, Happening, Placed, storable
from drills.output.midi.messages import LONGEST_QUARTER, texts, time_signature
from drills.sheets.sheet import Sheet
from drills.sound.timeline import BarTime

_MAJOR: Final = ("Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#")
_MINOR: Final = ("Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#", "G#", "D#", "A#")
"""Keys of 7 flats to 7 sharps, as mido names them (a minor key with an m)."""


def titles(sheets: Sequence[Sheet], mark: str) -> Iterator[Happening]:
    """Title, rights and mark, each once, at the start."""
    return texts(
        (
            *(("track_name", "name", sheet.credits.title) for sheet in sheets[:1]),
            *(("copyright", "text", sheet.credits.rights) for sheet in sheets),
            ("text", "text", mark),
            *(("text", "text", sheet.words) for sheet in sheets),
        )
    )


def conductor(placed: Sequence[Placed], grid: Grid) -> Iterator[Happening]:
    yield from _tempos(placed, grid)
    time = key = None
    for one in placed:
        for drill in one.line.drills:
            marker = MetaMessage("marker", text=storable(drill.drill.label))
            yield Happening(grid.tick(one.at(drill.at)), marker)
            for bar in drill.bars:
                tick = grid.tick(one.at(bar.at))
                if bar.bar.time != time:
                    time = bar.bar.time
                    yield Happening(tick, time_signature(time))
                if (sounding := _sounding_key(bar)) not in (None, key):
                    key = sounding
                    yield Happening(tick, MetaMessage("key_signature", key=key))


def _tempos(placed: Sequence[Placed], grid: Grid) -> Iterator[Happening]:
    """A tempo where another one begins, and where rounding has to be made good.

    The file holds whole microseconds a quarter, so it drifts from the timeline by
    up to half of one with every quarter.  Only before that comes to three quarters
    of a tick (after some minutes) does the next drill get the whole number on the
    other side of the exact one; a reader shows it as the same tempo.
    """
    current, ahead, before = 0, Fraction(0), Fraction(0)
    for one in placed:
        exact = 60_000_000 / one.line.tempo.quarters_per_minute
        for drill in one.line.drills:
            begin = drill.bars[0].at if drill.bars else drill.at
            lasts = (drill.at + drill.length - begin).quarters
            wanted = current if exact == before else floor(exact + Fraction(1, 2))
            if abs(ahead + (wanted - exact) * lasts) > Fraction(3, 4) * exact / grid.ticks:
                wanted = floor(exact) if ahead > 0 else ceil(exact)
            if wanted != current and lasts:
                current, before = _checked(wanted, one.line.tempo), exact
                message = MetaMessage("set_tempo", tempo=current)
                yield Happening(grid.tick(one.at(begin)), message)
            ahead += (current - exact) * lasts


def _checked(microseconds: int, tempo: Tempo) -> int:
    if not 1 <= microseconds <= LONGEST_QUARTER:
        raise UsageError(
            f"a MIDI file cannot hold a tempo of {tempo.number} beats a minute; "
            "choose one of at least 4 quarters a minute"
        )
    return microseconds


def _sounding_key(bar: BarTime) -> str | None:
    """The key that sounds, as mido names it; None for a signature of its own kind."""
    key = bar.bar.key
    if key.custom:
        return None
    fifths = bar.bar.instrument.transposition.sounding_key(key).fifths
    if not -7 <= fifths <= 7:
        fifths = (fifths + 5) % 12 - 5  # its enharmonic equivalent
    return f"{_MINOR[fifths + 7]}m" if key.mode == "minor" else _MAJOR[fifths + 7]
