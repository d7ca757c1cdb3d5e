"""What a tempo becomes where the metre changes, said in both readings.

A number that counts "the beat" can be read in two ways where the beat becomes another
note: notes keep their length (which drills takes, see drills/places/tempos.py), or beats
do.  A player is told where that makes a difference, with both numbers.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import replace
from fractions import Fraction

from drills.music.lines import bar_starts
from drills.music.score import Bar, Part
from drills.music.tempo import Tempo, relation_in_words, same_beat
from drills.music.time import START
from drills.places.bar_names import bar_name
from drills.places.spots import Spot
from drills.places.tempos import AskedTempo, asked_at, tempo_map
from drills.sheets.ladder import tempo_words


def metre_remarks(
    part: Part, asked: AskedTempo | None, low: Fraction, high: Fraction
) -> tuple[str, ...]:
    """Both readings wherever they differ from ``low`` to ``high``, in quarters of the part.

    Only for a number of plain beats, asked for or assumed: a mark or a player that names
    the note leaves nothing open.  Each kind of change is told once.
    """
    if not part.bars:
        return ()
    tempos = tempo_map(part, asked)
    first = tempos.at(low)
    if first.assumed_from is not None:  # it counts the beat of the bar where the words stand
        low = tempos.starts[max(bisect_right(tempos.starts, low) - 1, 0)]
    told: dict[str, str] = {}
    starts = bar_starts(part)
    for index in range(max(bisect_right(starts, low), 1), bisect_right(starts, high)):
        before, bar = part.bars[index - 1], part.bars[index]
        tempo = tempos.at(starts[index])
        bare = tempo.assumed_from is not None or (asked is not None and asked.beat is None)
        if bare and before.time.beat != bar.time.beat and not _said(bar):
            told.setdefault(f"{before.time} {bar.time}", _both(part, before, bar, tempo))
    return tuple(told.values())


def metre_remarks_in(part: Part, spot: Spot, asked: AskedTempo | None) -> tuple[str, ...]:
    """The same for a spot, its landing note included."""
    starts = bar_starts(part)
    first, last = spot.span.first, spot.line[-1].origin
    low = starts[first.bar] + first.start.quarters
    high = low if last is None else starts[last.bar] + last.start.quarters
    return metre_remarks(part, asked_at(asked, low), low, high)


def _said(bar: Bar) -> bool:
    """True where the score says what the tempo is at the change."""
    return any(
        mark.start == START
        and (mark.number is not None or relation_in_words(mark.text) or same_beat(mark.text))
        for mark in bar.tempos
    )


def _both(part: Part, before: Bar, bar: Bar, tempo: Tempo) -> str:
    kept = tempo.counted_in(bar.time.beat)
    beats = replace(tempo.counted_in(before.time.beat), beat=bar.time.beat)
    return (
        f"from {before.time} to {bar.time} in bar {bar_name(part, bar.index)} notes keep their "
        f"length: {tempo_words(kept)} (beat for beat it would be {tempo_words(beats)}: ask for "
        "that place by itself)"
    )
