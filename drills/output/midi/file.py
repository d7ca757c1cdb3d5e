"""The tracks put together; what they hold is told in the package's docstring."""

from __future__ import annotations

import io
from collections.abc import Sequence
from itertools import accumulate
from typing import Final

from mido import MidiFile

from drills.instruments.general_midi import DRUM_CHANNEL
from drills.music.tempo import Tempo
from drills.music.time import START
from drills.output.midi.conductor import conductor, titles
from drills.output.midi.grid import Grid, Placed
from drills.output.midi.player import count_track, player
from drills.output.midi.track import track
from drills.sheets.sheet import Sheet
from drills.sound.timeline import timeline

_CHANNELS: Final = tuple(channel for channel in range(16) if channel != DRUM_CHANNEL)


def midi_bytes(
    sheets: Sequence[Sheet],
    tempo: Tempo | None = None,
    mark: str = "",
    repetitions: int = 2,
    count: bool = True,
) -> bytes:
    """The drills of ``sheets`` in order as a format 1 MIDI file.

    ``tempo`` is for all of them (each sheet's performing tempo without it);
    ``mark`` is kept as a text; a drill between repeat signs is played
    ``repetitions`` times, as printed twice; ``count`` adds the wood blocks.
    Raises UsageError for a tempo that the format cannot hold.
    """
    placed = _placed(sheets, tempo, repetitions)
    grid = Grid.for_(placed)
    end = grid.tick(placed[-1].at(START + placed[-1].line.length)) if placed else 0
    tracks = [[*titles(sheets, mark), *conductor(placed, grid)]]
    names = dict.fromkeys(sheet.part for sheet in sheets)
    for index, name in enumerate(names):
        own = [one for one in placed if one.sheet.part == name]
        tracks.append([*player(name, own, _CHANNELS[index % len(_CHANNELS)], grid)])
    if count:
        tracks.append([*count_track(placed, grid)])
    file = MidiFile(type=1, ticks_per_beat=grid.ticks, charset="utf-8")
    file.tracks.extend(track(happenings, end) for happenings in tracks)
    out = io.BytesIO()
    file.save(file=out)
    return out.getvalue()


def _placed(sheets: Sequence[Sheet], tempo: Tempo | None, repetitions: int) -> list[Placed]:
    lines = [timeline(sheet, tempo or sheet.tempo, repetitions) for sheet in sheets]
    lengths = (line.length for line in lines)
    starts = accumulate(lengths, lambda at, lasts: at + lasts, initial=START)
    return [Placed(*one) for one in zip(sheets, lines, starts, strict=False)]
