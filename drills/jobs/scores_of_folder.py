"""The scores of a folder and the spots that they mark, for a first book.

What cannot be read is told and left out: one broken export among ten scores
must not keep a player from the other nine.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from drills.errors import BookError, DrillsError
from drills.jobs.folder import scores_in
from drills.jobs.pieces import Piece, pieces_of
from drills.music.score import Part
from drills.places.finding import marked_spans
from drills.project.book import SCORE_ENDINGS
from drills.project.new_book import FoundPart, FoundSpot
from drills.reading.given import NOTHING_GIVEN, Given
from drills.reading.limits import Limits
from drills.reading.musicxml import ScoreFile, open_score, read_all, read_part
from drills.reading.partlist import PartEntry, choose


@dataclass(frozen=True, slots=True)
class Found:
    """What the scores of a folder hold."""

    parts: tuple[FoundPart, ...]
    remarks: tuple[str, ...]
    """Which files were left out, and why."""
    music: tuple[Part, ...] = ()
    """Each part as it was read."""
    tempos: tuple[Fraction | None, ...] = ()
    """Beats a minute that a book gives for each part; None for the score's."""


def find_parts(
    folder: Path, base: Path, wanted: str | None, limits: Limits, tell: Callable[[str], None]
) -> Found:
    """The parts of every score in ``folder``, in the order of the files' names.

    Files are named from the folder ``base``.  With ``wanted`` (a name or number)
    only that part of each score; otherwise the parts that carry marks, or all
    where none does.  Raises BookError where there is no score to read.
    """
    found = parts_in(scores_in(folder), base, wanted, limits, tell)
    if not found.parts:
        why = f" that can be read ({found.remarks[0]})" if found.remarks else ""
        raise BookError(
            f"{folder}: there is no score{why}; put scores ending in "
            f"{', '.join(SCORE_ENDINGS)} there"
        )
    return found


def parts_in(
    paths: Sequence[Path],
    base: Path,
    wanted: str | None,
    limits: Limits,
    tell: Callable[[str], None],
    *,
    every: bool = False,
    given: Given = NOTHING_GIVEN,
) -> Found:
    """The parts of some scores; terms as for find_parts.

    With ``every`` all parts of each score, whether marked or not.  What cannot be read is
    left out with a remark.
    """
    wishes = [Wish(path, wanted, given) for path in paths]
    return wished_parts(wishes, base, limits, tell, every=every)


@dataclass(frozen=True, slots=True)
class Wish:
    """What is wanted of a file."""

    path: Path
    part: str | None = None
    """Its name or number; None for all, or those that carry marks."""
    given: Given = NOTHING_GIVEN
    tempo: Fraction | None = None
    """Beats a minute that a book gives; None for the score's."""


def wished_parts(
    wishes: Sequence[Wish],
    base: Path,
    limits: Limits,
    tell: Callable[[str], None],
    *,
    every: bool = False,
) -> Found:
    """The same, each file with a wish of its own; those of one piece share what they say."""
    opened: dict[tuple[Path, Given], ScoreFile] = {}
    remarks: list[str] = []
    for wish in wishes:
        tell(f"reading {wish.path.name}")
        try:
            if (wish.path, wish.given) not in opened:
                score = open_score(wish.path, limits, wish.given)
                read_all(score)
                opened[wish.path, wish.given] = score
        except DrillsError as error:
            remarks.append(f"left out: {error}")
    pieces = pieces_of(opened)
    found: list[tuple[FoundPart, Part, Fraction | None]] = []
    for wish in wishes:
        if (wish.path, wish.given) not in opened:
            continue
        score, name = opened[wish.path, wish.given], _name_from(wish.path, base)
        piece = pieces.get((wish.path, wish.given))
        try:
            rows = _parts_of(score, name, wish.part, piece, every=every)
        except DrillsError as error:
            remarks.append(f"left out: {error}")
            continue
        found += [(one, part, wish.tempo) for one, part in rows]
    remarks += dict.fromkeys(remark for piece in pieces.values() for remark in piece.remarks)
    parts, music, tempos = zip(*found, strict=True) if found else ((), (), ())
    return Found(tuple(parts), tuple(remarks), tuple(music), tuple(tempos))


def _parts_of(
    score: ScoreFile, file: str, wanted: str | None, piece: Piece | None, *, every: bool
) -> list[tuple[FoundPart, Part]]:
    if piece is not None:
        chosen = [(choose(score.entries, wanted, score.where), piece.part)]
    elif wanted is not None:
        part = read_part(score, wanted)
        chosen = [(entry_of(score, part), part)]
    else:
        pairs = list(zip(score.entries, read_all(score), strict=True))
        marked = [] if every else [pair for pair in pairs if marked_spans(pair[1])]
        chosen = marked or pairs
    names = [entry.name for entry in score.entries]
    taken = [part.name for _, part in chosen]
    others = tuple(name for name in names if name not in taken)
    return [
        (
            FoundPart(
                file=file,
                part=_way_to_name(entry, names),
                spots=tuple(FoundSpot(span.asked, span.words) for span in marked_spans(part)),
                has_tempo=any(_tempos(part)),
                number=entry.number,
                others=others,
                name=entry.name,
            ),
            part,
        )
        for entry, part in chosen
    ]


def entry_of(score: ScoreFile, part: Part) -> PartEntry:
    """The line of the score's list of players that a part was read from."""
    return next(
        entry
        for entry in score.entries
        if (entry.part_id, entry.staff, entry.name) == (part.part_id, part.staff, part.name)
    )


def _way_to_name(entry: PartEntry, names: Sequence[str]) -> str | None:
    """How a book names a part: by its name, or not at all; by its number where names repeat
    or are numbers."""
    if len(names) == 1:
        return None
    unclear = names.count(entry.name) > 1 or entry.name.isdecimal()
    return str(entry.number) if unclear else entry.name


def _tempos(part: Part) -> Iterator[bool]:
    return (mark.quarters_per_minute is not None for bar in part.bars for mark in bar.tempos)


def _name_from(path: Path, base: Path) -> str:
    """The file as a book in ``base`` names it, with forward slashes."""
    try:
        name = Path(os.path.relpath(path, base)).as_posix()
    except ValueError:  # on another drive
        name = path.resolve().as_posix()
    try:
        name.encode()
    except UnicodeEncodeError as error:
        raise BookError(f"{path}: a book cannot hold this name; rename the file") from error
    return name
