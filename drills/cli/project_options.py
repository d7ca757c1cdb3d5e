"""The options that the commands about a project share."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

import click

from drills.cli import values
from drills.cli.options import gathered, reading
from drills.errors import UsageError

BOOK: Final = click.argument("book", required=False, type=click.Path(path_type=Path))


def read_date(text: str) -> date:
    """A day as typed; raises UsageError."""
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise UsageError(f"{text!r} is no day; write it like 2027-03-01") from error


@dataclass(frozen=True, slots=True)
class DayOptions:
    """Which days."""

    day: date | None
    until: date | None
    minutes: int | None


DAYS: Final = gathered(
    "days",
    DayOptions,
    (
        click.option(
            "--day",
            metavar="DATE",
            callback=reading(read_date),
            help="As if today were that day: 2027-02-21.",
        ),
        click.option(
            "--until",
            metavar="DATE",
            callback=reading(read_date),
            help="The day of the rehearsal, in place of the one in the book.",
        ),
        click.option(
            "--minutes",
            metavar="COUNT",
            callback=reading(values.whole_number(1, 600)),
            help="Minutes of every day, in place of those in the book.",
        ),
    ),
)
