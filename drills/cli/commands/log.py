"""``drills log``: what was played when."""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.options import player_command
from drills.cli.project_options import BOOK

EPILOG = """\b
Examples:
  drills log spring.toml
  drills log spring.toml --strike 12
  drills log spring.toml --export spring.csv
  drills log spring.toml --import other.json

Nothing is ever deleted; --all shows what was struck out too."""


@player_command(
    "log",
    BOOK,
    click.option("--all", "everything", is_flag=True, help="Entries that were struck out too."),
    click.option(
        "--strike",
        multiple=True,
        type=click.IntRange(min=1),
        metavar="ENTRY",
        help="Strike an entry out, by the number in front of it.",
    ),
    click.option(
        "--export",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="Write the log to a file that ends in .csv or .json.",
    ),
    click.option(
        "--import",
        "bring",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="Add the entries of an exported log.",
    ),
    click.option("--force", is_flag=True, help="Replace a file that is there already."),
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
    from drills.cli import work_project  # noqa: PLC0415 - heavy, and not needed for --help

    work_project.show_log(
        book, everything=everything, strike=strike, export=export, bring=bring, force=force
    )
