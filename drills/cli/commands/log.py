"""``drills log``: what was played when."""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.options import player_command
from drills.jobs.asked import files as asked_files
from drills.jobs.asked import project as asked_project

EPILOG = """\b
Examples:
  drills log spring.toml
  drills log spring.toml --strike 12
  drills log spring.toml --export spring.csv
  drills log spring.toml --import other.json

Nothing is ever deleted; --all shows what was struck out too."""


@player_command(
    "log",
    click.argument("book", required=False, type=click.Path(path_type=Path)),
    choices=(*asked_project.CHOICES, *asked_files.CHOICES),
    groups={},
    epilog=EPILOG,
)
def command(
    *,
    book: Path | None,
    everything: bool,
    strike: tuple[int, ...],
    export: Path | None,
    bring: Path | None,
    force: bool,
) -> None:
    """List what was played, strike out, export and import."""
    from drills.cli import work_log  # noqa: PLC0415 - heavy, and not needed for --help

    work_log.show_log(
        book, everything=everything, strike=strike, export=export, bring=bring, force=force
    )
