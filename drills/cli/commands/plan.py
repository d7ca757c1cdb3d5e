"""``drills plan``: what to play on every day until the first rehearsal."""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.days import DayOptions
from drills.cli.options import player_command
from drills.jobs.asked import files as asked_files
from drills.jobs.asked import project as asked_project

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
Under a part  weight = 2, under a spot  goal = 112, state = "ready" or "left".

\b
Examples:
  drills plan spring.toml
  drills plan spring.toml --until 2027-03-01 --minutes 45 --keep
  drills plan spring.toml --leave k3f
  drills plan spring.toml --also ics

The plan is made anew from the log each time; drills today is its first day. It
is a proposal: stop at the first sign of pain or tiredness, whatever it says.
What your teacher or a doctor says comes first."""


@player_command(
    "plan",
    click.argument("book", required=False, type=click.Path(path_type=Path)),
    choices=(*asked_project.CHOICES, *asked_files.CHOICES),
    groups={"days": DayOptions},
    epilog=EPILOG,
)
def command(
    *,
    book: Path | None,
    days: DayOptions,
    keep: bool,
    leave: tuple[str, ...],
    set_ready: tuple[str, ...],
    take_up: tuple[str, ...],
    also_calendar: str | None,
    calendar: Path | None,
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
        for names, state in ((leave, State.LEFT), (set_ready, State.READY), (take_up, State.OPEN))
        for name in names
    ]
    work_project.show_plan(
        book,
        work_project.When(days.first, days.until, days.minutes),
        limit,
        calendar=calendar,
        also_calendar=also_calendar is not None or calendar is not None,
        marks=marks,
        keep=keep,
        force=force,
    )
