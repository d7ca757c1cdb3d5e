"""What ``drills spots`` does, once its options are read."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from drills.cli.options import session
from drills.cli.ranked import moves_told, ranked
from drills.cli.screen import Progress, complain, say, say_data
from drills.jobs.spots import Judging, Ranking, cost_of_notes, plotted, rank_part
from drills.output.files import write_files
from drills.reading.limits import Limits


def show_spots(
    score: Path,
    part: str | None,
    how: Judging,
    *,
    top: int,
    limits: Mapping[str, str],
    as_data: bool,
    plot: Path | None = None,
    force: bool = False,
) -> None:
    """Print the hard spots of a part, in words or as data, and draw them if asked."""
    with Progress(session()) as tell:
        ranking = rank_part(
            score, part, how, top=top, limits=Limits().with_values(limits), tell=tell
        )
        if plot is not None:
            tell(f"drawing {plot}")
            write_files([plotted(ranking, plot, force=force)], force)
        text = _data(ranking) if as_data else ranked(ranking)
    if not session().quiet:
        for remark in (*ranking.judged.part.remarks, *ranking.judged.remarks):
            complain(remark)
    (say_data if as_data else say)(text)


def show_moves(notes: str, instrument: str, as_data: bool) -> None:
    """Print what it costs to go from note to note, in words or as data."""
    found, moves = cost_of_notes(notes, instrument)
    if not as_data and not session().quiet:
        for remark in found.assumptions:
            complain(remark)
    if as_data:
        from drills.output.data import json_text, moves_data  # noqa: PLC0415 - only for --json

        say_data(json_text(moves_data(found, moves)))
    else:
        say(moves_told(found, moves))


def _data(ranking: Ranking) -> str:
    from drills.output.data import json_text, spots_data  # noqa: PLC0415 - only for --json

    return json_text(spots_data(ranking.judged, ranking.spots))
