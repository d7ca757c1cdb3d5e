"""What ``drills spots`` does, once its options are read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from drills.cli.options import session
from drills.cli.ranked import moves_told, ranked, ranked_project
from drills.cli.screen import Progress, complain, say, say_data
from drills.cli.work import asking_silent
from drills.errors import UsageError
from drills.jobs.project_spots import Row, chosen, marked_book, project_parts, rank_project
from drills.jobs.spots import Judging, Ranking, cost_of_notes, plotted, rank_part
from drills.music.tempo import Tempo
from drills.music.time import NoteValue
from drills.output.files import OutputFile, write_files
from drills.places.tempos import AskedTempo
from drills.project.book import is_book
from drills.reading.given import NOTHING_GIVEN, Given
from drills.reading.limits import Limits
from drills.reading.source import ScoreSource, paths_of


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be shown of a ranking, and what is to be done with it."""

    top: int
    ranks: tuple[int, ...] | None
    """Only these; all of the list if None."""
    as_data: bool
    plot: Path | None
    mark: Path | None
    """A book that the spots are written into."""
    force: bool
    given: Given = NOTHING_GIVEN
    """Metre and key, where a file gives none."""


def show_spots(
    scores: Sequence[ScoreSource],
    part: str | None,
    how: Judging,
    wish: Wish,
    limits: Mapping[str, str],
) -> None:
    """Print the hard spots of one part, or of all parts of a project."""
    within, files = Limits().with_values(limits), paths_of(*scores)
    one = scores[0] if len(scores) == 1 else None
    if one is not None and not (files and (files[0].is_dir() or is_book(files[0]))):
        _show_part(one, part, how, wish, within)
    else:
        _show_project(files, part, how, wish, within)


def _show_part(
    score: ScoreSource,
    part: str | None,
    how: Judging,
    wish: Wish,
    limits: Limits,
) -> None:
    with Progress(session()) as tell:
        known = asking_silent(wish.given, tell, as_data=wish.as_data)
        ranking = rank_part(score, part, how, top=wish.top, limits=limits, given=known, tell=tell)
        numbers = chosen(len(ranking.spots), wish.ranks)
        if wish.plot is not None:
            tell(f"drawing {wish.plot}")
            write_files(
                [plotted(ranking, wish.plot, force=wish.force)], wish.force, paths_of(score)
            )
        if wish.mark is not None:
            name = ranking.judged.part.name or None
            found = project_parts(paths_of(score), wish.mark.parent, part or name, limits).parts[0]
            rows = [Row(found, ranking.judged, ranking.spots[number - 1]) for number in numbers]
            _mark(rows, wish.mark)
        text = _data(ranking, numbers) if wish.as_data else ranked(ranking, numbers)
    _tell((*ranking.judged.part.remarks, *ranking.judged.remarks), text, wish)


def _show_project(
    scores: Sequence[Path],
    part: str | None,
    how: Judging,
    wish: Wish,
    limits: Limits,
) -> None:
    if wish.plot is not None:
        raise UsageError("--plot draws one part; name one score, and --part where it has several")
    base = Path() if wish.mark is None else wish.mark.parent
    title = str(scores[0]) if len(scores) == 1 else f"{len(scores)} files"
    with Progress(session()) as tell:
        known = asking_silent(wish.given, tell, as_data=wish.as_data)
        found = project_parts(scores, base, part, limits, tell, given=known)
        project = rank_project(found, how, title=title, top=wish.top, tell=tell)
        numbers = chosen(len(project.rows), wish.ranks)
        if wish.mark is not None:
            _mark([project.rows[number - 1] for number in numbers], wish.mark)
        if wish.as_data:
            from drills.output.data import json_text, project_data  # noqa: PLC0415 - only for --json

            rows = [(n, project.rows[n - 1]) for n in numbers]
            text = json_text(
                project_data([(n, r.found.file, r.found.name, r.judged, r.spot) for n, r in rows])
            )
        else:
            text = ranked_project(project, numbers)
    _tell(project.remarks, text, wish)


def _mark(rows: Sequence[Row], book: Path) -> None:
    """Write spots into a book: the player's own lines stay, so it is always replaced."""
    if rows:
        write_files([OutputFile(book, marked_book(rows, book).encode())], force=True)


def _tell(remarks: Sequence[str], text: str, wish: Wish) -> None:
    if not session().quiet:
        for remark in remarks:
            complain(remark)
    (say_data if wish.as_data else say)(text)


def show_moves(notes: str, instrument: str, as_data: bool, asked: AskedTempo | None) -> None:
    """Print what it costs to go from note to note, in words or as data.

    ``asked``: at which tempo, a note to each beat, quarters unless it names another note.
    """
    tempo = None
    if asked is not None:
        beat = NoteValue("quarter") if asked.beat is None else asked.beat
        tempo = Tempo(asked.number, beat.length, asked.source)
    found, moves = cost_of_notes(notes, instrument)
    if not as_data and not session().quiet:
        for remark in found.assumptions:
            complain(remark)
    if as_data:
        from drills.output.data import json_text, moves_data  # noqa: PLC0415 - only for --json

        say_data(json_text(moves_data(found, moves, tempo)))
    else:
        say(moves_told(found, moves, tempo))


def _data(ranking: Ranking, numbers: Sequence[int]) -> str:
    from drills.output.data import json_text, spots_data  # noqa: PLC0415 - only for --json

    return json_text(spots_data(ranking.judged, [(n, ranking.spots[n - 1]) for n in numbers]))
