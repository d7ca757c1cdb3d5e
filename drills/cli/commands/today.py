"""``drills today``: one session of the plan, as a list, a page and a sound file."""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.days import DayOptions
from drills.cli.options import RunOptions, player_command
from drills.jobs.asked import files as asked_files
from drills.jobs.asked import project as asked_project

EPILOG = """\b
Examples:
  drills today spring.toml
  drills today spring.toml --print --sound
  drills today spring.toml --sound --start 6

In headphones start at the lowest level: a click is louder than it seems, and loud
sound does lasting harm. Take the breaks. Stop at the first sign of pain or
tiredness; what your teacher or a doctor says comes first."""


@player_command(
    "today",
    click.argument("book", required=False, type=click.Path(path_type=Path)),
    choices=(*asked_project.CHOICES, *asked_files.CHOICES),
    groups={"days": DayOptions, "run": RunOptions},
    epilog=EPILOG,
)
def command(
    *,
    book: Path | None,
    days: DayOptions,
    page: bool,
    sound: bool,
    format: str,
    start: int,
    catch_up: bool,
    force: bool,
    run: RunOptions,
    limit: dict[str, str],
) -> None:
    """Say what to play today.

    The first day of drills plan: items in order, with minutes and numbers of the
    metronome. What is in the log already has an x.
    """
    from drills.cli import work_project  # noqa: PLC0415 - heavy, and not needed for --help

    work_project.show_today(
        book,
        work_project.When(days.first, days.until, days.minutes),
        limit,
        work_project.Tonight(page, sound, format, start, catch_up, force, run),
    )
