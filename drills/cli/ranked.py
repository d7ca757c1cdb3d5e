"""A ranking in a player's words: what ``drills spots`` prints, within 80 columns.

Pure functions from a ranking to text.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Final

from drills.effort.demand import VoiceDemand
from drills.effort.moves import Move
from drills.effort.reasons import why
from drills.effort.suggest import HardSpot
from drills.instruments.judged import EffortInstrument
from drills.jobs.spots import Ranking
from drills.music.tempo import Tempo
from drills.music.time import NoteValue
from drills.sheet.ladder import shown

WIDTH: Final = 80
_MOST_PLACES: Final = 6
"""Places of repeated music that are told one by one."""


def ranked(ranking: Ranking) -> str:
    """The table: rank, place, hardness and reason of every spot."""
    judged, spots = ranking.judged, ranking.spots
    head = textwrap.fill(", ".join(_head(judged)), WIDTH, subsequent_indent="  ")
    if not spots:
        return f"{head}\n\nNothing in it is hard at this tempo."
    places = [spot.span.asked for spot in spots]
    wide = max(len("at"), *(len(place) for place in places))
    first = f"{'':2}  {'at':<{wide}}  hard  why"
    rows = [_row(rank, spot, judged, wide) for rank, spot in enumerate(spots, 1)]
    return "\n".join((head, "", first, *rows))


def moves_told(instrument: EffortInstrument, moves: Sequence[Move]) -> str:
    """The cost of a few moves with their reasons and fingerings."""
    blocks = [instrument.name or "no instrument"]
    for move in moves:
        labels = [fingering.label if fingering else "none known" for fingering in move.fingerings]
        pair = f"{move.first}-{move.second}"
        blocks.append(_wrapped(f"{pair:<10}{move.cost:>6.2f}  ", move.words or "nothing moves"))
        if instrument.table:
            blocks.append(_wrapped(" " * 18, f"{labels[0]} to {labels[1]}"))
    if len(moves) > 1:
        blocks.append(f"{'all':<10}{sum(move.cost for move in moves):>6.2f}")
    return "\n".join(blocks)


def _head(judged: VoiceDemand) -> list[str]:
    part = judged.part
    names = [instrument.name for instrument in judged.instruments if instrument.name]
    tempos = dict.fromkeys(_tempo(tempo) for tempo in judged.tempos.tempos)
    told = list(tempos)[:3]
    more = [f"and {len(tempos) - 3} tempos more"] if len(tempos) > 3 else []
    title = [part.credits.title] if part.credits.title else []
    return [*title, part.name or part.source, *_judged_as(part.name, names), *told, *more]


def _judged_as(part: str, names: Sequence[str]) -> list[str]:
    """The instruments, unless the part's name says so already."""
    others = [name for name in names if name.casefold() not in part.casefold()]
    return [f"judged as {' and '.join(others)}"] if others else []


def _tempo(tempo: Tempo) -> str:
    value = NoteValue.of(tempo.beat)
    name = f"{'dotted ' * value.dots}{value.kind}" if value else "beat"
    return f"{name} = {shown(tempo.number)} ({tempo.source})"


def _row(rank: int, spot: HardSpot, judged: VoiceDemand, wide: int) -> str:
    start = f"{rank:>2}  {spot.span.asked:<{wide}}  {spot.hardness:>4.0f}  "
    return _wrapped(start, why(judged, spot) + _again(spot))


def _again(spot: HardSpot) -> str:
    places = [span.asked for span in spot.again]
    if not places:
        return ""
    more = f" and {len(places) - _MOST_PLACES} more places" if len(places) > _MOST_PLACES else ""
    return f"; again at {', '.join(places[:_MOST_PLACES])}{more}"


def _wrapped(start: str, text: str) -> str:
    return textwrap.fill(
        text,
        WIDTH,
        initial_indent=start,
        subsequent_indent=" " * len(start),
        break_on_hyphens=False,
    )
