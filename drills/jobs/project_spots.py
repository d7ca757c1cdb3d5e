"""The hard spots of a whole project: several scores, every part, one list.

    found = project_parts([Path("spring")], Path(), None, Limits())
    project = rank_project(found, Judging(), title="spring")
    project.rows[0].found.file, project.rows[0].spot.span.asked

What cannot be read is told and left out, as for a book: one broken export among ten scores
must not keep a player from the other nine.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

from drills.effort.demand import VoiceDemand
from drills.effort.reasons import passage_words, why
from drills.effort.suggest import HardSpot
from drills.errors import PlaceError, UsageError
from drills.jobs.folder import scores_in
from drills.jobs.request import Tell, say_nothing
from drills.jobs.scores_of_folder import Found, Wish, wished_parts
from drills.jobs.spots import TOP, Judging, Ranking, rank
from drills.places.finding import find_span
from drills.places.tempos import AskedTempo
from drills.project.book import is_book, read_book, read_content
from drills.project.new_book import FoundPart, FoundSpot, extended, new_book
from drills.reading.given import NOTHING_GIVEN, Given
from drills.reading.limits import Limits


def project_parts(
    paths: Sequence[Path],
    base: Path,
    wanted: str | None,
    limits: Limits,
    tell: Tell = say_nothing,
    *,
    given: Given = NOTHING_GIVEN,
) -> Found:
    """All parts of some scores, folders and books, or the one ``wanted`` of each.

    Of a book the parts that it names, with its tempos.

    Files are named from the folder ``base``.  Raises UsageError where none can be read.
    """
    wishes = [wish for path in paths for wish in _wishes(path, wanted, given)]
    found = wished_parts(wishes, base, limits, tell, every=True)
    if not found.parts:
        raise UsageError(
            f"{', '.join(map(str, paths))}: there is no score to judge"
            + (f" ({found.remarks[0].removeprefix('left out: ')})" if found.remarks else "")
        )
    return found


def _wishes(path: Path, wanted: str | None, given: Given) -> Iterator[Wish]:
    if is_book(path):
        if wanted is not None or given != NOTHING_GIVEN:
            raise UsageError(
                f"{path}: a book names its parts, and says metre and key itself; leave out --part, "
                "--metre and --key"
            )
        once = dict.fromkeys(
            Wish(one.path, one.part, one.given, one.tempo) for one in read_book(path).parts
        )
        yield from once
    else:
        scores = scores_in(path) if path.is_dir() else [path]
        yield from (Wish(score, wanted, given) for score in scores)


@dataclass(frozen=True, slots=True)
class Row:
    """A hard spot with the part it stands in."""

    found: FoundPart
    judged: VoiceDemand
    spot: HardSpot


@dataclass(frozen=True, slots=True)
class ProjectRanking:
    """The hard spots of several parts."""

    title: str
    """What was ranked, in words: the folder, or how many files."""
    rankings: tuple[Ranking, ...]
    rows: tuple[Row, ...]
    """The hardest first."""
    remarks: tuple[str, ...]
    """Which files and parts were left out, and why; what was assumed of each part."""


def rank_project(
    project: Found,
    how: Judging,
    *,
    title: str,
    top: int | None = TOP,
    tell: Tell = say_nothing,
) -> ProjectRanking:
    """The ``top`` hardest spots over all parts; of equals the one of the earlier part first.

    A part without the voice that is asked for is left out with a remark.
    """
    rankings: list[Ranking] = []
    rows: list[Row] = []
    remarks = list(project.remarks)
    tempos = project.tempos or (None,) * len(project.parts)
    for found, part, tempo in zip(project.parts, project.music, tempos, strict=True):
        where = f"{found.file}, {part.name}" if part.name else found.file
        tell(f"judging {where}")
        try:
            ranking = rank(part, _at(how, tempo), top=top)
        except PlaceError as error:
            remarks.append(f"left out: {where}: {error}")
            continue
        rankings.append(ranking)
        rows += [Row(found, ranking.judged, spot) for spot in ranking.spots]
        remarks += [f"{where}: {remark}" for remark in ranking.judged.remarks]
    rows.sort(key=lambda row: -row.spot.hardness)
    return ProjectRanking(title, tuple(rankings), tuple(rows[:top]), tuple(remarks))


def _at(how: Judging, tempo: Fraction | None) -> Judging:
    """The tempo that a book gives for a part, where the player asks for none."""
    if tempo is None or how.tempo is not None:
        return how
    return replace(how, tempo=AskedTempo(tempo, None, "the book"))


def found_spot(judged: VoiceDemand, spot: HardSpot) -> FoundSpot:
    """A hard spot as a book lists it: the heart of the passage, with the reason as a note."""
    reason = why(judged, spot)
    words = passage_words(judged, spot)
    if spot.heart != spot.span:
        of = "" if words.startswith("from ") else "of "
        reason = f"the hardest {of}{words}: {reason}"
    return FoundSpot(spot.heart.asked, words, reason)


def with_hardest(found: Found, how: Judging, count: int, tell: Tell = say_nothing) -> Found:
    """The same parts, each with its ``count`` hardest passages beside what its score marks."""
    parts = []
    for one, part in zip(found.parts, found.music, strict=True):
        tell(f"judging {one.file}, {part.name}" if part.name else f"judging {one.file}")
        theirs = [find_span(part, spot.at) for spot in one.spots]
        ranking = rank(part, how, top=count, marked=theirs)
        proposed = (found_spot(ranking.judged, spot) for spot in ranking.spots)
        parts.append(replace(one, spots=(*one.spots, *proposed)))
    return replace(found, parts=tuple(parts))


def marked_book(rows: Sequence[Row], path: Path) -> str:
    """The text of a book with these spots: that at ``path`` with what it does not name yet,
    or a new one.

    Raises BookError where the book cannot be added to.
    """
    by_part: dict[tuple[str, str | None], FoundPart] = {}
    for row in rows:
        key = (row.found.file, row.found.part)
        part = by_part.get(key) or replace(row.found, spots=())
        by_part[key] = replace(part, spots=(*part.spots, found_spot(row.judged, row.spot)))
    found = tuple(by_part.values())
    if path.is_file():
        return extended(read_content(path), path, found, again=True)
    return new_book(path.resolve().parent.name, found)


def chosen(count: int, numbers: Sequence[int] | None) -> tuple[int, ...]:
    """The ranks that are shown and marked, of so many; raises UsageError for one too many."""
    if numbers is None:
        return tuple(range(1, count + 1))
    beyond = [number for number in numbers if number > count]
    if beyond:
        raise UsageError(f"--ranks: there is no rank {beyond[0]}; the list has {count}")
    return tuple(numbers)
