"""``drills today``: one session of the plan, as a list, a page and a sound file."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from drills.cli import values
from drills.cli.options import LIMIT, RUN, RunOptions, player_command, reading
from drills.cli.project_options import BOOK, DAYS, DayOptions

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
    BOOK,
    DAYS,
    click.option(
        "--print",
        "page",
        is_flag=True,
        help="Write a page for the stand, with boxes to tick and lines for the numbers.",
    ),
    click.option(
        "--sound",
        is_flag=True,
        help="Write one sound file for the whole session: each "
        "item struck by its number, its click, the breaks; a chapter for each.",
    ),
    click.option(
        "--format",
        type=click.Choice(["mp3", "ogg", "opus", "flac", "wav"]),
        default="mp3",
        show_default=True,
        help="Of the sound file.",
    ),
    click.option(
        "--start",
        default="1",
        metavar="ITEM",
        callback=reading(values.whole_number(1, 999)),
        help="Begin the sound with this item.",
    ),
    click.option(
        "--catch-up", is_flag=True, help="After days that were missed: half as many minutes again."
    ),
    click.option("--force", is_flag=True, help="Replace files that are there already."),
    RUN,
    LIMIT,
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
        work_project.When(days.day or date.today(), days.until, days.minutes),
        limit,
        page=page,
        sound=sound,
        format=format,
        start=start,
        catch_up=catch_up,
        force=force,
        run=run,
    )
