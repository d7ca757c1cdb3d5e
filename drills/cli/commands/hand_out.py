"""``drills hand-out``: what a student takes home."""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.options import ForOptions, GivenOptions, RunOptions, player_command
from drills.jobs.asked import files as asked_files
from drills.jobs.asked import music
from drills.jobs.asked import project as asked_project

EPILOG = """\b
Examples:
  drills hand-out spring.toml --student "A. Moller"
  drills hand-out march.musicxml --part 2 --at 33
  drills hand-out march.musicxml --part 2 --at 33 --for "alto saxophone"

The folder holds the pages (PDF), the sound of each block, the same as MusicXML,
and open-me.html, which works on a phone without a network. Mind whose music it
is before you give it away. Cautions are printed: slowly, with rests, and no
further when something hurts; a teacher's or a doctor's word comes first."""


@player_command(
    "hand-out",
    click.argument("source", type=click.Path(path_type=Path)),
    choices=(*music.CHOICES, *asked_project.CHOICES, *asked_files.CHOICES),
    groups={"given": GivenOptions, "wanted": ForOptions, "run": RunOptions},
    epilog=EPILOG,
)
def command(
    *,
    source: Path,
    at: tuple[str, ...],
    part: str | None,
    wanted: ForOptions,
    name: str | None,
    format: str,
    folder: Path | None,
    megabytes: int,
    force: bool,
    run: RunOptions,
    given: GivenOptions,
    limit: dict[str, str],
) -> None:
    """Make a folder, and a .zip of it, for a student.

    SOURCE is a book, or a score with --at. A page for the phone is among it: the
    pages, a sound beside each block with its ladder, and boxes that stay ticked.
    """
    from drills.cli import work_hand_out  # noqa: PLC0415 - heavy, and not needed for --help

    work_hand_out.make_hand_out(
        source,
        at,
        part,
        rewriting=wanted.rewriting(),
        student=name or "",
        kind=format,
        folder=folder,
        megabytes=megabytes,
        force=force,
        run=run,
        given=given.given(),
        limits=limit,
    )
