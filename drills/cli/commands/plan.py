"""``drills plan``: what to play on every day until the first rehearsal."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from drills.cli.options import LIMIT, player_command
from drills.cli.project_options import BOOK, DAYS, DayOptions

EPILOG = """\b
A book may say, besides its parts and spots:
  first-rehearsal = 2027-03-01
  concert = 2027-03-20
  minutes = 60
  minutes-on = { saturday = 90 }
  days-off = ["sunday", 2027-02-24]
  session-time = 18:30:00
  time-zone = "Europe/Lisbon"

\b
under a part  weight = 2, under a spot  goal = 112  and  state = "ready"  or "left".

\b
Examples:
  drills plan spring.toml
  drills plan spring.toml --minutes 45
  drills plan spring.toml --leave k3f
  drills plan spring.toml --also ics

The plan is made anew from the log each time; drills today is its first day. It
is a proposal: stop at the first sign of pain or tiredness, whatever it says.
What your teacher or a doctor says comes first."""


@player_command(
    "plan",
    BOOK,
    DAYS,
    click.option(
        "--leave",
        multiple=True,
        metavar="SPOT",
        help="Write into the book that a spot is left, by its id or its number in drills ready.",
    ),
    click.option("--ready", multiple=True, metavar="SPOT", help="The same: it is ready."),
    click.option("--take-up", multiple=True, metavar="SPOT", help="The same: it is practised."),
    click.option(
        "--also",
        type=click.Choice(["ics"]),
        help="Write a calendar file too, with an event for each session.",
    ),
    click.option(
        "-o",
        "--output",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="The calendar file; BOOK.ics in this folder unless given.",
    ),
    click.option("--force", is_flag=True, help="Replace a file that is there already."),
    LIMIT,
    epilog=EPILOG,
)
def command(
    *,
    book: Path | None,
    days: DayOptions,
    leave: tuple[str, ...],
    ready: tuple[str, ...],
    take_up: tuple[str, ...],
    also: str | None,
    output: Path | None,
    force: bool,
    limit: dict[str, str],
) -> None:
    """Plan every day until the first rehearsal.

    Reads BOOK (the one in this folder unless named) and its log, and says day by
    day which passage to play, which block of its sheet, from which number to
    which, for how long, in which order and with which breaks. What will not
    reach its tempo is said first.
    """
    from drills.cli import work_project  # noqa: PLC0415 - heavy, and not needed for --help
    from drills.project.passages import State  # noqa: PLC0415 - the same

    marks = [
        (name, state)
        for names, state in ((leave, State.LEFT), (ready, State.READY), (take_up, State.OPEN))
        for name in names
    ]
    work_project.show_plan(
        book,
        work_project.When(days.day or date.today(), days.until, days.minutes),
        limit,
        calendar=output,
        also_calendar=also is not None or output is not None,
        marks=marks,
        force=force,
    )
