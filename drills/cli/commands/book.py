"""``drills book``: every marked spot of a project in one PDF, or a first book file."""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.options import FileOptions, ForOptions, PlanOptions, RunOptions, player_command
from drills.errors import UsageError
from drills.jobs.asked import drilled, music, planning
from drills.jobs.asked import files as asked_files
from drills.sheet.choices import Choices

EPILOG = """\b
A book is a text file:
  title = "Spring concert"
  first-rehearsal = 2027-03-01

\b
  [[part]]
  file = "march.musicxml"
  part = "Clarinet 2"
  tempo = 120

\b
  [[part.spot]]
  at = "E:3-E:4@1"
  note = "left little finger on C sharp"

Files are named from the folder of the book. A part without spots takes those
that its score marks with the word "drill".

\b
Examples:
  drills book --new parts/         parts/book.toml from the scores there
  drills book --new parts/ --hardest 3    with the three hardest of each part
  drills book parts/book.toml      all its spots as book.pdf
  drills book parts/book.toml -o concert.pdf --also midi

A book holds many drills: spread them over days, rest often, and stop at the
first sign of pain. What your teacher or a doctor says comes first."""


@player_command(
    "book",
    click.argument("book", type=click.Path(path_type=Path), required=False),
    choices=(*music.CHOICES, *drilled.CHOICES, *planning.CHOICES, *asked_files.CHOICES),
    groups={
        "drill": Choices,
        "plan": PlanOptions,
        "wanted": ForOptions,
        "files": FileOptions,
        "run": RunOptions,
    },
    epilog=EPILOG,
)
def command(
    *,
    book: Path | None,
    new: Path | None,
    hardest: int | None,
    part: str | None,
    drill: Choices,
    plan: PlanOptions,
    functions: bool,
    wanted: ForOptions,
    files: FileOptions,
    run: RunOptions,
    limit: dict[str, str],
) -> None:
    """Put every marked spot of a project into one PDF.

    Reads BOOK, a text file that names the parts of a project and their hard
    spots, and writes BOOK.pdf: a contents page, then a page or more for every
    spot, with your notes.
    """
    if (book is None) == (new is None):
        raise UsageError("name a book, such as spring.toml, or give --new FOLDER to write one")
    if book is not None and part is not None:
        raise UsageError("--part goes with --new; in a book each part is named in its entry")
    if book is not None and hardest is not None:
        raise UsageError("--hardest goes with --new; drills spots SCORE --mark BOOK adds to a book")
    rewriting = wanted.rewriting()
    if new is not None and rewriting is not None:
        raise UsageError('--for goes with a book; with --new write for = "horn" in its entries')
    from drills.cli import work  # noqa: PLC0415 - heavy, and not needed for --help

    if new is not None:
        work.make_new_book(new, part, limit, files, hardest or 0)
    elif book is not None:
        work.make_book(
            book,
            plan.planned(drill),
            limit,
            files,
            run,
            rewriting=rewriting,
            functions=functions,
            pages=plan.pages or 0,
            evening=plan.minutes,
        )
