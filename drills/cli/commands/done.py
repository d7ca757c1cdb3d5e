"""``drills done``: into the log with it."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import click

from drills.cli.days import DayOptions
from drills.cli.options import player_command
from drills.errors import UsageError
from drills.jobs.asked import files as asked_files
from drills.jobs.asked import project as asked_project

EPILOG = """\b
Examples:
  drills done 3 96                  item 3 of today, 96 reached
  drills done spring.toml 3 96 --right 4 --word "tongue late"
  drills done                       asks item by item (a full stop ends)

The log lies beside the book (spring.log.sqlite) and never leaves your machine.
Pain or tiredness is worth a word in it, and a day off."""


@player_command(
    "done",
    click.argument("what", nargs=-1, metavar="[BOOK] [ITEM [NUMBER]]"),
    choices=(*asked_project.CHOICES, *asked_files.CHOICES),
    groups={"days": DayOptions},
    epilog=EPILOG,
)
def command(
    *,
    what: tuple[str, ...],
    days: DayOptions,
    right: int | None,
    word: str | None,
    limit: dict[str, str],
) -> None:
    """Log what was played.

    ITEM is a number of drills today, NUMBER what the metronome showed when it
    still went well. Without an item you are asked for all of today.
    """
    from drills.cli import work_log, work_project  # noqa: PLC0415 - heavy, and not needed for --help

    rest = list(what)
    book = Path(rest.pop(0)) if rest and not rest[0].isdecimal() else None
    if len(rest) > 2:
        raise UsageError("give an item and a number: drills done 3 96")
    if rest and not rest[0].isdecimal():
        raise UsageError(f"{rest[0]!r} is no item of today; drills today lists them")
    item = int(rest[0]) if rest else None
    number = work_log.read_number(rest[1]) if len(rest) > 1 else None
    work_log.log_done(
        book,
        work_project.When(days.first, days.until),
        limit,
        item=item,
        number=number,
        right=right,
        minutes=None if days.minutes is None else Fraction(days.minutes),
        word=word or "",
    )
