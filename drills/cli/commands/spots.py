"""``drills spots``: where a part is hard, and why."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import click

from drills.cli.options import GivenOptions, player_command
from drills.cli.sources import source_of
from drills.errors import UsageError
from drills.jobs.asked import files as asked_files
from drills.jobs.asked import music
from drills.music.time import NoteValue

EPILOG = """\b
Examples:
  drills spots march.musicxml --part "Clarinet 1"
  drills spots march.musicxml --part 2 --tempo half=66 --top 5
  drills spots march.musicxml --part 2 --plot march.svg
  drills spots parts/ --top 20 --mark parts/book.toml --ranks 1-6
  drills spots solo.musicxml --instrument "alto saxophone" --json
  drills spots --move "D4 D5" --instrument "alto saxophone"

What stands behind --at goes to drills sheet; drills sheet --hardest 5 goes straight
to the pages. The ranking proposes: you know your hands."""


@player_command(
    "spots",
    click.argument("scores", nargs=-1, type=click.Path(path_type=Path)),
    choices=(*music.CHOICES, *asked_files.CHOICES),
    groups={"given": GivenOptions},
    epilog=EPILOG,
)
def command(
    *,
    scores: tuple[Path, ...],
    notes: str | None,
    part: str | None,
    voice: str | None,
    move: str | None,
    tempo: tuple[NoteValue | None, Fraction] | None,
    instrument: str | None,
    weights: Path | None,
    top: int,
    ranks: tuple[int, ...] | None,
    mark: Path | None,
    plot: Path | None,
    force: bool,
    json: bool,
    given: GivenOptions,
    limit: dict[str, str],
) -> None:
    """Say where a part is hard, and why.

    Judges every move of SCORE on its instrument at the performing tempo, with
    leaps, tonguing, rhythm, accidentals, range and breath, and lists the passages
    that ask most, the hardest first, each with the moves that make it hard and the
    tempo up to which it is easy. With a folder, a book, or several scores, all their
    parts stand in one list. "hard" compares passages of any part: it grows with the effort,
    in fingers a second, and less than in proportion with the length.
    """
    from drills.cli import work_spots  # noqa: PLC0415 - heavy, and not needed for --help
    from drills.effort.settings import USUAL, read_judgement  # noqa: PLC0415 - likewise
    from drills.jobs.spots import Judging  # noqa: PLC0415 - likewise
    from drills.places.tempos import AskedTempo  # noqa: PLC0415 - likewise

    asked = None if tempo is None else AskedTempo(tempo[1], tempo[0], "--tempo")
    if move is not None:
        if scores or notes or instrument is None or plot is not None or mark is not None:
            raise UsageError('--move takes no score but --instrument, such as "alto saxophone"')
        work_spots.show_moves(move, instrument, json, asked)
        return
    if notes and (len(scores) or mark is not None):
        raise UsageError("--notes takes the place of a score, and goes into no book")
    sources = scores or (source_of(None, notes, instrument, limit),)
    how = Judging(
        voice=voice or "",
        instrument=instrument,
        tempo=asked,
        judgement=USUAL if weights is None else read_judgement(weights),
    )
    wish = work_spots.Wish(
        top=max(top, *ranks) if ranks else top,
        ranks=ranks,
        as_data=json,
        plot=plot,
        mark=mark,
        force=force,
        given=given.given(),
    )
    given.check(notes)
    work_spots.show_spots(sources, part, how, wish, limit)
