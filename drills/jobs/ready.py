"""A project and its plan -> whether each passage is ready, in numbers and as a picture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from drills.jobs.project import Project
from drills.output.plot.readiness import Way, readiness_page
from drills.output.plot.shapes import Picture
from drills.project.forecast import Forecast, forecasts
from drills.project.history import History
from drills.project.passages import Passage, State
from drills.project.plan import Plan


@dataclass(frozen=True, slots=True)
class Readiness:
    """One passage: how far it is, and how far it may get."""

    passage: Passage
    history: History
    forecast: Forecast | None
    """None where the log has too few entries to say."""

    @property
    def reached(self) -> Fraction | None:
        """The number where it stands, None where it was never played."""
        return self.history.reached

    @property
    def is_ready(self) -> bool:
        """At its tempo, by the log or by the player's own word."""
        return self.passage.state is State.READY or (self.reached or 0) >= self.passage.goal

    @property
    def shares(self) -> tuple[tuple[date, float], ...]:
        """What was reached on each day, as a share of the goal."""
        return tuple(
            (day.day, float(day.number / self.passage.goal))
            for day in self.history.numbered
            if day.number is not None
        )


def readiness(project: Project, plan: Plan) -> tuple[Readiness, ...]:
    """Every passage that is not left, in the order of the programme."""
    known = project.known()
    more = {one.passage.id: len(one.timetable.contacts) for one in plan.outlooks}
    ahead = forecasts(known, more)
    return tuple(
        Readiness(spot.passage, known.get(spot.passage.id, History()), ahead.get(spot.passage.id))
        for spot in project.spots
        if spot.passage.state is not State.LEFT
    )


def readiness_picture(rows: Sequence[Readiness], plan: Plan, title: str) -> Picture:
    """The picture of ``drills ready --plot``."""
    ways = [
        Way(
            row.passage.name,
            row.shares,
            None
            if row.forecast is None
            else (
                float(row.forecast.low / row.passage.goal),
                float(min(row.forecast.high, row.passage.goal) / row.passage.goal),
            ),
        )
        for row in rows
    ]
    return readiness_page(ways, plan.today, plan.rehearsal, title)
