"""What the program costs, as ratios measured in one run.

    python bench/speed.py [ROW ...] [--runs 3]

Machines are noisy and differ, so no time is quoted anywhere: each row compares
two things that are timed in turn (A B A B ...) on the machine at hand, and
gives the median of the ratios with their range.

    one spot        the whole command for one bar of sixteenths of a part of 64
                    bars against LilyPond alone on the very text that it engraves
    100 spots       the whole command for 100 bars of a part of 200 against a
                    single LilyPond process on the same text (two cores help)
    drills --help   against a Python that imports click and ends
    one of 17       reading one part out of a score of 17 parts and 150 bars
                    against reading that part from a file of its own
    section of 17   the whole command for eight bars of a score of 17 parts and 150 bars,
                    18 PDFs, against a single LilyPond process on the text of all
                    sheets and the section's page once; printed below: how much
                    of it the reading takes, and the memory of the largest process
    section of 27   the whole command for 27 parts against that for 17 of them: no more than
                    their numbers are to each other
    300 bars ranked ranking the hard spots of a part of 300 bars of sixteenths
                    against reading that part, both in one fresh process
    60 bars ranked  the same for a part of 60 bars
"""

from __future__ import annotations

import argparse
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from material import write_score

from drills.output.engrave import find_lilypond
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_part


@dataclass(frozen=True, slots=True)
class Row:
    """One comparison."""

    name: str
    limit: float
    """The ratio that the project allows itself."""
    measure: Callable[[], tuple[float, float]]
    """One run: seconds of ours and of theirs."""
    told: Callable[[float], str] | None = None
    """What else there is to say, given the median seconds of ours."""


def in_turn(
    ours: Callable[[], object], theirs: Callable[[], object]
) -> Callable[[], tuple[float, float]]:
    """Wall time of ours, then of theirs."""
    return lambda: (seconds(ours), seconds(theirs))


def run(*command: str | Path) -> None:
    """A command that must succeed, its output thrown away."""
    subprocess.run([str(part) for part in command], check=True, capture_output=True)


def seconds(work: Callable[[], object]) -> float:
    """Wall time of one call."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


ODD_BARS: Final = ",".join(str(bar) for bar in range(1, 200, 2))


def sheet_row(folder: Path, name: str, bars: int, limit: float, places: str) -> Row:
    """A whole command against LilyPond alone on the same text."""
    score = write_score(folder / f"{bars}.musicxml", bars=bars)
    drills = (sys.executable, "-m", "drills", "sheet", score, "--quiet", "--force")
    target = folder / "sheet.pdf"
    run(*drills, "--at", places, "-o", target, "--also", "ly")
    alone = (find_lilypond(), "-dbackend=cairo", "-dno-point-and-click", "-o", folder / "alone")
    return Row(
        name,
        limit,
        in_turn(
            lambda: run(*drills, "--at", places, "-o", target),
            lambda: run(*alone, target.with_suffix(".ly")),
        ),
    )


def reading_row(folder: Path) -> Row:
    """One part of a full score against the same part alone."""
    full = write_score(folder / "full.musicxml", bars=150, parts=17)
    alone = write_score(folder / "alone.musicxml", bars=150)
    limits = Limits()

    def read(path: Path) -> object:
        return read_part(open_score(path, limits), "1")

    read(alone)
    return Row("one of 17", 1.3, in_turn(lambda: read(full), lambda: read(alone)))


PARTS: Final = 17
SECTION_PLACE: Final = "80-87"
"""Eight bars in which all seventeen play, the first violin's voice in runs."""


def section_row(folder: Path) -> Row:
    """A whole section against LilyPond alone; and what to say about its reading and memory."""
    score, text = folder / "section.musicxml", folder / "section.ly"
    run(sys.executable, Path(__file__).with_name("section_material.py"), score)
    once = [sys.executable, str(Path(__file__).with_name("section_once.py"))]
    made = subprocess.run(
        [*once, str(score), SECTION_PLACE, str(text)], check=True, capture_output=True, text=True
    )
    reading = float(made.stdout)
    drills = (sys.executable, "-m", "drills", "section", score, "--at", SECTION_PLACE, "--quiet")
    alone = (find_lilypond(), "-dbackend=cairo", "-dno-point-and-click", "-o", folder / "alone")
    memory = [0]

    def ours() -> None:
        before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
        run(*drills, "-o", folder / "section", "--force")
        after = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
        memory[0] = max(memory[0], after if after > before else 0)

    def told(seconds_of_ours: float) -> str:
        largest = f"{memory[0] / 1024:.0f} MB" if memory[0] else "no more than the rows above"
        return (
            f"section of 17: reading takes {reading:.2f} s of {seconds_of_ours:.2f} s "
            f"({reading / seconds_of_ours:.0%}); the largest process has {largest}"
        )

    return Row("section of 17", 0.6, in_turn(ours, lambda: run(*alone, text)), told)


MORE_PARTS: Final = 27


def more_parts_row(folder: Path) -> Row:
    """A section of 27 parts against one of 17."""
    material = Path(__file__).with_name("section_material.py")

    def making(count: int) -> Callable[[], None]:
        score = folder / f"{count}.musicxml"
        run(sys.executable, material, score, str(count))
        drills = (sys.executable, "-m", "drills", "section", score, "--at", SECTION_PLACE)
        return lambda: run(*drills, "--quiet", "-o", folder / str(count), "--force")

    fewer = making(PARTS)
    return Row("section of 27", MORE_PARTS / PARTS, in_turn(making(MORE_PARTS), fewer))


def ranking_row(folder: Path, bars: int, limit: float) -> Row:
    """Finding the hard spots against reading the part."""
    score = write_score(folder / "long.musicxml", bars=bars)
    command = [sys.executable, Path(__file__).with_name("rank_once.py"), score]

    def measure() -> tuple[float, float]:
        done = subprocess.run(command, check=True, capture_output=True, text=True)
        read, ranked = map(float, done.stdout.split())
        return ranked, read

    return Row(f"{bars} bars ranked", limit, measure)


def help_row(_: Path) -> Row:
    """The start of the program against the start of its command line library."""
    ours = (sys.executable, "-m", "drills", "--help")
    theirs = (sys.executable, "-c", "import click")
    return Row("drills --help", 2.0, in_turn(lambda: run(*ours), lambda: run(*theirs)))


ROWS: Final[dict[str, Callable[[Path], Row]]] = {
    "drills --help": help_row,
    "one spot": lambda folder: sheet_row(folder, "one spot", 64, 2.0, "20"),
    "one of 17": reading_row,
    "300 bars ranked": lambda folder: ranking_row(folder, 300, 0.5),
    "60 bars ranked": lambda folder: ranking_row(folder, 60, 1.0),
    "100 spots": lambda folder: sheet_row(folder, "100 spots", 200, 0.75, ODD_BARS),
    "section of 17": section_row,
    "section of 27": more_parts_row,
}
"""The quick ones first, so that a reader sees something soon."""


def main() -> None:
    """Measure the rows that are asked for, or all, and print the table."""
    asked = argparse.ArgumentParser(description="Ratios of one run.")
    asked.add_argument("rows", nargs="*", metavar="ROW", help=f"of {', '.join(ROWS)}")
    asked.add_argument("--runs", type=int, default=3)
    given = asked.parse_args()
    unknown = [name for name in given.rows if name not in ROWS]
    if unknown:
        asked.error(f"there is no row {unknown[0]!r}; there are {', '.join(ROWS)}")
    print(f"{'':15} {'median':>7} {'lowest':>7} {'highest':>8} {'allowed':>8}")
    for name in given.rows or ROWS:
        with tempfile.TemporaryDirectory() as folder:
            row = ROWS[name](Path(folder))
            pairs = [row.measure() for _ in range(given.runs)]
        ratios = sorted(ours / theirs for ours, theirs in pairs)
        print(
            f"{row.name:15} {statistics.median(ratios):7.2f} {ratios[0]:7.2f} "
            f"{ratios[-1]:8.2f} {row.limit:8.2f}"
        )
        if row.told:
            print(row.told(statistics.median(ours for ours, _ in pairs)), flush=True)


if __name__ == "__main__":
    main()
