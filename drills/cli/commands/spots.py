"""``drills spots``: where a part is hard, and why."""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.options import AskedTempo, player_command
from drills.errors import UsageError
from drills.jobs.asked import files as asked_files
from drills.jobs.asked import music

EPILOG = """\b
Examples:
  drills spots march.musicxml --part "Clarinet 1"
  drills spots march.musicxml --part 2 --tempo half=66 --top 5
  drills spots march.musicxml --part 2 --plot march.svg
  drills spots solo.musicxml --instrument "alto saxophone" --json
  drills spots --move "D4 D5" --instrument "alto saxophone"

A place of the table is what --at of drills sheet takes; drills sheet --hardest 5
goes straight to the pages. The ranking proposes: you know your hands."""


@player_command(
    "spots",
    click.argument("score", required=False, type=click.Path(path_type=Path)),
    choices=(*music.CHOICES, *asked_files.CHOICES),
    groups={},
    epilog=EPILOG,
)
def command(
    *,
    score: Path | None,
    part: str | None,
    voice: str | None,
    move: str | None,
    tempo: AskedTempo | None,
    instrument: str | None,
    weights: Path | None,
    top: int,
    plot: Path | None,
    force: bool,
    json: bool,
    limit: dict[str, str],
) -> None:
    """Say where a part is hard, and why.

    Judges every move of SCORE on its instrument at the performing tempo, with
    leaps, tonguing, rhythm, accidentals, range and breath, and lists the places
    that ask most, the hardest first. The column "hard" compares places of any
    part: it grows with the effort, in fingers a second, and with the length.
    """
    from drills.cli import work_spots  # noqa: PLC0415 - heavy, and not needed for --help
    from drills.effort.settings import USUAL, read_judgement  # noqa: PLC0415 - likewise
    from drills.jobs.spots import Judging  # noqa: PLC0415 - likewise
    from drills.places.tempos import AskedTempo  # noqa: PLC0415 - likewise

    if move is not None:
        if score is not None or instrument is None or plot is not None:
            raise UsageError('--move takes no score but --instrument, such as "alto saxophone"')
        work_spots.show_moves(move, instrument, json)
        return
    if score is None:
        raise UsageError("name a score, or give --move and --instrument")
    how = Judging(
        voice=voice or "",
        instrument=instrument,
        tempo=None if tempo is None else AskedTempo(tempo[1], tempo[0], "--tempo"),
        judgement=USUAL if weights is None else read_judgement(weights),
    )
    work_spots.show_spots(
        score, part, how, top=top, limits=limit, as_data=json, plot=plot, force=force
    )
