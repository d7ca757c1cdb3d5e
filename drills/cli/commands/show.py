"""``drills show``: what is in a score, as a player sees it."""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.options import player_command
from drills.jobs.asked import files as asked_files
from drills.jobs.asked import music

EPILOG = """\b
Examples:
  drills show march.musicxml
  drills show suite.mxl --part "Clarinet 2"
  drills show suite.mxl --json"""


@player_command(
    "show",
    click.argument("score", type=click.Path(path_type=Path)),
    choices=(*music.CHOICES, *asked_files.CHOICES),
    groups={},
    epilog=EPILOG,
)
def command(*, score: Path, part: str | None, json: bool, limit: dict[str, str]) -> None:
    """Say what is in a score, as a player sees it.

    Names every part with its instrument and transposition, its bars by their
    printed numbers, rehearsal marks, keys, times, tempos, repeats and long
    rests: all that is needed to say where a spot is.
    """
    from drills.cli import work  # noqa: PLC0415 - heavy, and not needed for --help

    work.show(score, part, limit, json)
