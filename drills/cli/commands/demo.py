"""``drills demo``: a folder with music and finished sheets."""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.options import RunOptions, player_command
from drills.jobs.asked import files

EPILOG = """\b
Examples:
  drills demo
  drills demo ~/harbour --paper letter

The sheets are for looking at and for playing: slowly, with rests, and no further
when something hurts."""


@player_command(
    "demo",
    click.argument("folder", type=click.Path(path_type=Path), default="drills-demo"),
    choices=files.CHOICES,
    groups={"run": RunOptions},
    epilog=EPILOG,
)
def command(*, folder: Path, run: RunOptions, force: bool) -> None:
    """Write a folder with finished sheets to look at.

    FOLDER (drills-demo unless you name one) gets a short programme for the
    clarinets and saxophones of a harbour town's wind band, a book that marks
    its hard spots, the whole book as a PDF, and single sheets with the same
    drills as MusicXML and MIDI.
    """
    from drills.cli import work_demo  # noqa: PLC0415 - heavy, and not needed for --help

    work_demo.make_demo(folder, run, force)
