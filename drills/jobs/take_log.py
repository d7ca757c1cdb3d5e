"""What a take reached, put into the log of a player's book."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from drills.errors import UsageError
from drills.jobs.day import logged, spot_entry
from drills.jobs.judged_take import JudgedTake, reached
from drills.jobs.project import Project, Spot, open_project
from drills.jobs.request import Settings
from drills.jobs.take_material import SPOT, Asked
from drills.listening.repeats import clean_at_the_end
from drills.project.entries import NewEntry, Origin
from drills.sheets.drill import DrillKind


def log_take(
    book: Path, score: Path, asked: Asked, takes: Sequence[JudgedTake], settings: Settings
) -> tuple[str, ...]:
    """Log every take that could be judged, at the time at which it was recorded; the remarks.

    A take that is in the log already is not logged again.  Raises UsageError where the book
    has no spot at that place, BookError and LogError.
    """
    project = open_project(book, Settings(limits=settings.limits))
    known = {(one.said.passage, one.said.at) for one in project.entries}
    entries = list(_entries(project, score, asked, takes))
    fresh = [one for one in entries if (one.passage, one.at) not in known]
    if not fresh:
        why = "it is there already" if entries else "no take could be judged"
        return (f"nothing was logged: {why}",)
    ids, remarks = logged(project, fresh)
    return (f"logged in {book} as {', '.join(map(str, ids))}", *remarks)


def _entries(
    project: Project, score: Path, asked: Asked, takes: Sequence[JudgedTake]
) -> Iterator[NewEntry]:
    for take in takes:
        row = reached(take)
        if row is None or take.best.bars is not None:
            continue
        spot = _spot_of(project, score, asked, take)
        beat = spot.sheet.tempo.beat.quarters
        entry = spot_entry(
            spot,
            "" if row.block == SPOT else row.block,
            Fraction(round(row.number / float(beat))),
            whole=take.material.drill is None or take.material.drill.kind is DrillKind.LINE,
            right=clean_at_the_end(take.verdicts),
            origin=Origin.TAKE,
        )
        when = take.recorded
        yield entry if when is None else replace(entry, at=when, day=when.date())


def _spot_of(project: Project, score: Path, asked: Asked, take: JudgedTake) -> Spot:
    """The spot of the book at the place of a take."""
    own = take.sheet.spot.span
    for spot in project.spots:
        span = spot.sheet.spot.span
        same = span.asked == asked.place or (span.first, span.end) == (own.first, own.end)
        if same and spot.sheet.part == take.sheet.part and _from(project, spot, score):
            return spot
    raise UsageError(
        f"--log: {project.book.path} has no spot at {asked.place} of {take.sheet.part} in "
        f"{score.name}; add it to the book first (drills spots --mark, or by hand)"
    )


def _from(project: Project, spot: Spot, score: Path) -> bool:
    """Whether a spot stands in a score; one that the score marks itself is taken to."""
    if spot.place is None:
        return True
    return project.book.parts[spot.place[0]].path.resolve() == score.resolve()
