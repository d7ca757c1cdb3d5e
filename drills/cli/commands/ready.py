"""``drills ready``: am I?"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from drills.cli.options import LIMIT, player_command
from drills.cli.project_options import BOOK, DAYS, DayOptions

EPILOG = """\b
Examples:
  drills ready spring.toml
  drills ready spring.toml --plot spring.svg

A forecast goes by your own log and says how sure it is; it is no promise."""


@player_command(
    "ready",
    BOOK,
    DAYS,
    click.option(
        "--plot",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="Draw it too: a file that ends in .svg or .png.",
    ),
    click.option("--force", is_flag=True, help="Replace a file that is there already."),
    LIMIT,
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
    from drills.cli import work_project  # noqa: PLC0415 - heavy, and not needed for --help

    work_project.show_ready(
        book,
        work_project.When(days.day or date.today(), days.until, days.minutes),
        limit,
        plot=plot,
        force=force,
    )
