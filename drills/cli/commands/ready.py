"""``drills ready``: am I?"""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.days import DayOptions
from drills.cli.options import player_command
from drills.jobs.asked import files as asked_files
from drills.jobs.asked import project as asked_project

EPILOG = """\b
Examples:
  drills ready spring.toml
  drills ready spring.toml --plot spring.svg

A forecast goes by your own log and says how sure it is; it is no promise."""


@player_command(
    "ready",
    click.argument("book", required=False, type=click.Path(path_type=Path)),
    choices=(*asked_project.CHOICES, *asked_files.CHOICES),
    groups={"days": DayOptions},
    epilog=EPILOG,
)
def command(
    *,
    book: Path | None,
    days: DayOptions,
    plot: Path | None,
    force: bool,
    limit: dict[str, str],
) -> None:
    """Say how far every passage is, and how far it may be at the rehearsal."""
    from drills.cli import work_project, work_ready  # noqa: PLC0415 - heavy, and not needed for --help

    work_ready.show_ready(
        book,
        work_project.When(days.first, days.until, days.minutes),
        limit,
        plot=plot,
        force=force,
    )
