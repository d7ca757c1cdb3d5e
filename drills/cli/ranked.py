"""A ranking in a player's words: what ``drills spots`` prints, within 80 columns.

Pure functions from a ranking to text.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Final

from drills.effort.demand import VoiceDemand
from drills.effort.moves import Move
from drills.effort.reasons import asked, core_list, passage_words
from drills.effort.suggest import HardSpot
from drills.instruments.judged import EffortInstrument
from drills.jobs.project_spots import ProjectRanking
from drills.jobs.spots import Ranking
from drills.music.tempo import Tempo
from drills.music.time import NoteValue
from drills.places.finding import Span
from drills.sheets.ladder import shown, tempo_words

WIDTH: Final = 80
NOTHING: Final = "Nothing in it is hard at this tempo."
_MOST_PLACES: Final = 6
"""Places of repeated music that are told one by one."""


def ranked(ranking: Ranking, numbers: Sequence[int]) -> str:
    """The list: rank, place, hardness and reason of the spots of these ``numbers``, from 1."""
    judged = ranking.judged
    head = textwrap.fill(", ".join(_head(judged)), WIDTH, subsequent_indent="  ")
    if not numbers:
        return f"{head}\n\n{NOTHING}"
    blocks = [_block(number, ranking.spots[number - 1], judged) for number in numbers]
    return "\n\n".join((head, *blocks))


def ranked_project(project: ProjectRanking, numbers: Sequence[int]) -> str:
    """The same over several parts, each with its file and name."""
    count = len(project.rankings)
    head = f"{count} {'part' if count == 1 else 'parts'} of {project.title}, the hardest first"
    if not numbers:
        return f"{head}\n\n{NOTHING}"
    blocks = []
    for number in numbers:
        row = project.rows[number - 1]
        where = f"{row.found.file}, {row.found.name}, " if row.found.name else f"{row.found.file}, "
        blocks.append(_block(number, row.spot, row.judged, where))
    return "\n\n".join((head, *blocks))


def moves_told(
    instrument: EffortInstrument, moves: Sequence[Move], tempo: Tempo | None = None
) -> str:
    """The cost of a few moves with their reasons and fingerings.

    With a tempo also what they ask for where every note takes one of its beats.
    """
    blocks = [instrument.name or "no instrument"]
    if tempo is not None:
        blocks.append(f"{tempo_words(tempo)}, a note to the beat")
    for move in moves:
        labels = [fingering.label if fingering else "none known" for fingering in move.fingerings]
        pair = f"{move.first}-{move.second}"
        blocks.append(_wrapped(f"{pair:<10}{move.cost:>6.2f}  ", move.words or "nothing moves"))
        if tempo is not None:
            blocks.append(f"{'':18}{move.effort(60 / float(tempo.number)):.1f} fingers a second")
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


def _block(number: int, spot: HardSpot, judged: VoiceDemand, where: str = "") -> str:
    """One spot: a line of where and how hard, and under it why."""
    start = f"{number:>2}  "
    place = f"{where}{passage_words(judged, spot)}"
    lines = [_wrapped(start, f"{place} (hard {spot.hardness:.0f})")]
    easy = "" if spot.easy is None else f", easy up to {tempo_words(spot.easy)}"
    told = [f"--at {spot.span.asked}{easy}", asked(judged, spot)]
    told += core_list(judged, spot)
    told += _elsewhere("again at", spot.again) + _elsewhere("much the same at", spot.alike)
    return "\n".join((*lines, *(_wrapped(" " * len(start), text) for text in told)))


def _elsewhere(head: str, spans: Sequence[Span]) -> list[str]:
    if not spans:
        return []
    places = [span.asked for span in spans[:_MOST_PLACES]]
    more = f" and {len(spans) - _MOST_PLACES} more places" if len(spans) > _MOST_PLACES else ""
    return [f"{head} {', '.join(places)}{more}"]


def _wrapped(start: str, text: str) -> str:
    return textwrap.fill(
        text,
        WIDTH,
        initial_indent=start,
        subsequent_indent=" " * len(start),
        break_on_hyphens=False,
    )
