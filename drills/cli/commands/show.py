"""``drills show``: what is in a score, as a player sees it."""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.options import GivenOptions, player_command
from drills.cli.sources import source_of
from drills.jobs.asked import files as asked_files
from drills.jobs.asked import music

EPILOG = """\b
Examples:
  drills show march.musicxml
  drills show suite.mxl --part "Clarinet 2"
  drills show suite.mxl --json"""


@player_command(
    "show",
    click.argument("score", required=False, type=click.Path(path_type=Path)),
    choices=(*music.CHOICES, *asked_files.CHOICES),
    groups={"given": GivenOptions},
    epilog=EPILOG,
)
def command(
    *,
    score: Path | None,
    notes: str | None,
    instrument: str | None,
    part: str | None,
    json: bool,
    given: GivenOptions,
    limit: dict[str, str],
) -> None:
    """Say what is in a score, as a player sees it.

    A score of many players is a table of them first, with the bars, rehearsal
    marks, times, tempos and repeats that they share. With --part, or where
    there is one part only, everything about it: its transposition, keys and
    long rests too, all that is needed to say where a spot is.
    """
    from drills.cli import work  # noqa: PLC0415 - heavy, and not needed for --help

    given.check(notes)
    source = source_of(score, notes, instrument, limit)
    work.show(source, part, limit, json, given.given())
