"""``drills spots``: where a part is hard, and why."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import click

from drills.cli import values
from drills.cli.options import (
    INSTRUMENT,
    LIMIT,
    PART,
    TEMPO,
    WEIGHTS,
    json_option,
    player_command,
    reading,
)
from drills.errors import UsageError
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
    PART,
    click.option("--voice", metavar="NAME", help="The voice to judge where a staff has several."),
    click.option(
        "--move",
        metavar="NOTES",
        help='Only tell the cost of going from note to note: "D4 D5". Takes no score.',
    ),
    TEMPO,
    INSTRUMENT,
    WEIGHTS,
    click.option(
        "--top",
        default="10",
        show_default=True,
        metavar="COUNT",
        callback=reading(values.whole_number(1, 999)),
        help="How many passages to show.",
    ),
    click.option(
        "--ranks",
        metavar="NUMBERS",
        callback=reading(values.read_ranks),
        help="Of these only some, by their rank: 1,3-5.",
    ),
    click.option(
        "--mark",
        type=click.Path(path_type=Path),
        metavar="BOOK.toml",
        help="Write what is shown into a book too, with the reasons as notes; your own lines stay.",
    ),
    click.option(
        "--plot",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="Draw the effort of the whole part too: a file that ends in .svg or .png.",
    ),
    click.option("--force", is_flag=True, help="Replace a file that is there already."),
    json_option("Print the same as data, with every term of every move."),
    LIMIT,
    epilog=EPILOG,
)
def command(
    *,
    scores: tuple[Path, ...],
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
    limit: dict[str, str],
) -> None:
    """Say where a part is hard, and why.

    Judges every move of SCORE on its instrument at the performing tempo, with
    leaps, tonguing, rhythm, accidentals, range and breath, and lists the passages
    that ask most, the hardest first, each with the moves that make it hard and the
    tempo up to which it is easy. With a folder, or several scores, all their parts
    stand in one list. "hard" compares passages of any part: it grows with the effort,
    in fingers a second, and less than in proportion with the length.
    """
    from drills.cli import work_spots  # noqa: PLC0415 - heavy, and not needed for --help
    from drills.effort.settings import USUAL, read_judgement  # noqa: PLC0415 - likewise
    from drills.jobs.spots import Judging  # noqa: PLC0415 - likewise
    from drills.places.tempos import AskedTempo  # noqa: PLC0415 - likewise

    if move is not None:
        if scores or instrument is None or plot is not None or mark is not None:
            raise UsageError('--move takes no score but --instrument, such as "alto saxophone"')
        work_spots.show_moves(move, instrument, json)
        return
    if not scores:
        raise UsageError("name a score or a folder, or give --move and --instrument")
    how = Judging(
        voice=voice or "",
        instrument=instrument,
        tempo=None if tempo is None else AskedTempo(tempo[1], tempo[0], "--tempo"),
        judgement=USUAL if weights is None else read_judgement(weights),
    )
    wish = work_spots.Wish(
        top=max(top, *ranks) if ranks else top,
        ranks=ranks,
        as_data=json,
        plot=plot,
        mark=mark,
        force=force,
    )
    work_spots.show_spots(scores, part, how, wish, limit)
