"""``drills write``: bars typed by hand, or a part of any score, as a MusicXML file."""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.options import GivenOptions, RunOptions, player_command
from drills.jobs.asked import files as asked_files
from drills.jobs.asked import music

EPILOG = """\b
In words: a metre and a key if you like, then lengths and notes as they are
said.
  4/4 F major: 16ths c5 bb4 c5 e5 | dotted quarter f5 eighth r half a4
  c4 is middle C, bb4 B flat, f#5 F sharp; r a rest, c4+e4 a chord, c5- tied
  on, (c5 d5) slurred, c5. short, c5> accented, [E] a mark, | a bar line.
Or ABC 2.1, with its field K: for the key.

\b
Examples:
  drills write bar.musicxml --notes "4/4: 16ths c5 d5 e5 f5 half c5"
  drills write bar.musicxml --instrument clarinet --also png
  drills write tune.musicxml airs.abc#12"""


@player_command(
    "write",
    click.argument("file", type=click.Path(path_type=Path)),
    click.argument("score", required=False, type=click.Path(path_type=Path)),
    choices=(*music.CHOICES, *asked_files.CHOICES),
    groups={"given": GivenOptions, "run": RunOptions},
    epilog=EPILOG,
)
def command(
    *,
    file: Path,
    score: Path | None,
    notes: str | None,
    instrument: str | None,
    part: str | None,
    also: tuple[str, ...],
    force: bool,
    run: RunOptions,
    given: GivenOptions,
    limit: dict[str, str],
) -> None:
    """Keep bars that you type, or a part of any score, as MusicXML.

    Writes FILE (.musicxml), which every command and every notation program reads. The
    bars come from --notes; from SCORE, of any format that is read; or, at a terminal,
    from your answers, bar by bar, each shown as it was understood.
    """
    given.check(notes)
    from drills.cli import work_write  # noqa: PLC0415 - heavy, and not needed for --help

    work_write.write_bars(
        file,
        score,
        notes,
        instrument,
        part,
        also=also,
        force=force,
        given=given.given(),
        limits=limit,
        run=run,
    )
