"""One score, or several files of single parts as one score."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

from drills.errors import UsageError
from drills.jobs.folder import scores_in
from drills.jobs.naming import distinct_names
from drills.music.score import Part
from drills.places.aligning import align
from drills.places.aligning.sharing import shared
from drills.project.book import is_book, read_book
from drills.reading.given import NOTHING_GIVEN, Given
from drills.reading.limits import Limits
from drills.reading.musicxml import ScoreFile, open_score, read_all
from drills.reading.partlist import PartEntry
from drills.reading.source import ScoreSource


@dataclass(frozen=True, slots=True)
class Gathered:
    """All parts of one piece, wherever they came from."""

    parts: tuple[Part, ...]
    entries: tuple[PartEntry, ...]
    """One for each part, numbered from 1."""
    where: str
    """How messages begin."""
    sources: tuple[ScoreSource, ...]
    """Files and typed bars, folders looked through."""
    remarks: tuple[str, ...] = ()
    """Where files disagree, and what their formats do not say."""
    tempo: Fraction | None = None
    """Beats a minute that a book gives; None for the scores' own."""

    @property
    def name(self) -> str:
        """What tells it from others, for the marks of files."""
        return " ".join(source.name for source in self.sources)

    @property
    def stem(self) -> str:
        """What files made from it are called where the music has no title."""
        return self.sources[0].stem


def gathered(
    sources: Sequence[ScoreSource], limits: Limits, given: Given = NOTHING_GIVEN
) -> Gathered:
    """Every part of the sources, those of several files laid on one time line.

    A folder stands for the scores in it, a book for those that it names.  Raises ReadError,
    BookError, and UsageError for a book of several pieces.
    """
    rows = tuple(row for source in sources for row in _looked_through(source, given))
    found = tuple(source for source, _ in rows)
    if not found:
        raise UsageError(f"{', '.join(map(str, sources))}: there is no score in it")
    scores = [open_score(source, limits, known) for source, known in rows]
    for source in sources:
        _check_one_piece(source, scores)
    if len(scores) == 1:
        only = scores[0]
        return Gathered(
            read_all(only), only.entries, only.where, found, only.remarks, _tempo(sources)
        )
    names = distinct_names(scores)
    parts = tuple(
        replace(part, name=name)
        for part, name in zip((p for score in scores for p in read_all(score)), names, strict=True)
    )
    aligned = align(parts)
    with_signs, disagreements = shared(aligned)
    entries = (entry for score in scores for entry in score.entries)
    told = dict.fromkeys(f"{score.where}: {remark}" for score in scores for remark in score.remarks)
    return Gathered(
        with_signs,
        tuple(
            replace(entry, number=number, name=name, part=number - 1)
            for number, (entry, name) in enumerate(zip(entries, names, strict=True), start=1)
        ),
        ", ".join(map(str, sources)),
        found,
        tuple(dict.fromkeys((*told, *aligned.remarks, *disagreements))),
        _tempo(sources),
    )


def _looked_through(source: ScoreSource, given: Given) -> Sequence[tuple[ScoreSource, Given]]:
    """The scores that a source stands for, each with what is told about it."""
    if not isinstance(source, Path):
        return ((source, given),)
    if is_book(source):
        entries = read_book(source).parts
        return tuple(dict.fromkeys((entry.path, entry.given) for entry in entries))
    return [(one, given) for one in (scores_in(source) if source.is_dir() else (source,))]


def _tempo(sources: Sequence[ScoreSource]) -> Fraction | None:
    """The first tempo of a book among the sources."""
    books = (one for one in sources if isinstance(one, Path) and is_book(one))
    entries = (entry for book in books for entry in read_book(book).parts)
    return next((entry.tempo for entry in entries if entry.tempo is not None), None)


def _check_one_piece(source: ScoreSource, scores: Sequence[ScoreFile]) -> None:
    """A full score is a piece, and so are files of single parts with one title."""
    if not (isinstance(source, Path) and is_book(source)):
        return
    pieces: dict[str, str] = {}
    for score in scores:
        title = score.credits.title
        piece = score.where if len(score.parts) > 1 else title.casefold()
        pieces.setdefault(piece, f"{title or score.path.stem} ({score.where})")
    if len(pieces) > 1:
        raise UsageError(
            f"{source}: the book has several pieces, and a section plays one: "
            f"{', '.join(pieces.values())}; name its score, or the files of its parts"
        )
