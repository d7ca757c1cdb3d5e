"""What ``drills ready`` does, once its options are read."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from drills.cli.screen import say
from drills.cli.work_project import When, opened
from drills.errors import WriteError
from drills.jobs.project import plan_project
from drills.jobs.ready import Readiness, readiness, readiness_picture
from drills.jobs.sessions import title_of
from drills.output.files import OutputFile, made_from, write_files
from drills.output.plot import png_bytes, svg_bytes
from drills.project.passages import State
from drills.project.telling import cut, shortage, spark
from drills.sheets.ladder import shown


def show_ready(
    book: Path | None, when: When, limits: dict[str, str], *, plot: Path | None, force: bool
) -> None:
    """Print how far each passage is, and draw it."""
    project = opened(book, when, limits)
    plan = plan_project(project, when.day, when.until)
    rows = readiness(project, plan)
    ready = sum(row.is_ready for row in rows)
    say(f"{title_of(project)}: {ready} of {len(rows)} passages at their tempo")
    for number, row in enumerate(rows, 1):
        for line in _ready_lines(number, row):
            say(line)
    say("\n".join(shortage(plan)))
    if plot is not None:
        picture = readiness_picture(rows, plan, title_of(project))
        kinds = {".svg": svg_bytes, ".png": png_bytes}
        if plot.suffix.lower() not in kinds:
            raise WriteError(f"--plot {plot}: end the name in .svg or .png")
        mark = made_from(str(project.book.path), "ready", [])
        content = kinds[plot.suffix.lower()](picture)
        write_files([OutputFile(plot, content, mark)], force)
        say(f"{plot}")


def _ready_lines(number: int, row: Readiness) -> Iterator[str]:
    goal = shown(row.passage.goal)
    reached = "-" if row.reached is None else shown(row.reached)
    last = "never played"
    if row.history.days:
        last = f"last on {row.history.days[-1].day}"
    trend = spark([share for _, share in row.shares[-12:]])
    yield f"{number:3}  {cut(row.passage.name, 44):44} {reached:>5} of {goal:>5}  {trend}"
    if row.is_ready:
        told = "ready" if row.passage.state is not State.READY else "ready, as you say"
    elif row.forecast is None:
        told = "not enough entries to say more (3 days with a number)"
    else:
        low, high = (
            shown(min(one, row.passage.goal)) for one in (row.forecast.low, row.forecast.high)
        )
        told = f"at the rehearsal {low} to {high}, in eight of ten cases"
    yield f"     {last}; {told}  ({row.passage.id})"
