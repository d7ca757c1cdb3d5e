"""What the program costs, as ratios measured in one run.

    python bench/speed.py [--runs 5]

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
                    sheets and the section's page once; printed below the table: how much
                    of it the reading takes, and the memory of the largest process
    300 bars ranked ranking the hard spots of a part of 300 bars of sixteenths
                    against reading that part, both in one fresh process
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


def sheet_rows(folder: Path) -> list[Row]:
    """Whole commands against LilyPond alone on the same text."""
    rows = []
    for name, bars, limit, places in (
        ("one spot", 64, 2.0, "20"),
        ("100 spots", 200, 0.75, ",".join(str(bar) for bar in range(1, 200, 2))),
    ):
        score = write_score(folder / f"{bars}.musicxml", bars=bars)
        drills = (sys.executable, "-m", "drills", "sheet", score, "--quiet", "--force")
        target = folder / f"{name.replace(' ', '-')}.pdf"
        run(*drills, "--at", places, "-o", target, "--also", "ly")
        text = target.with_suffix(".ly")
        alone = (
            find_lilypond(),
            "-dbackend=cairo",
            "-dno-point-and-click",
            "-o",
            folder / name,
        )
        rows.append(
            Row(
                name,
                limit,
                in_turn(
                    lambda drills=drills, places=places, target=target: run(
                        *drills, "--at", places, "-o", target
                    ),
                    lambda text=text, alone=alone: run(*alone, text),
                ),
            )
        )
    return rows


def reading_row(folder: Path) -> Row:
    """One part of a full score against the same part alone."""
    full = write_score(folder / "full.musicxml", bars=150, parts=17)
    alone = write_score(folder / "alone.musicxml", bars=150)
    limits = Limits()

    def read(path: Path) -> object:
        return read_part(open_score(path, limits), "1")

    read(alone)
    return Row("one of 17", 1.3, in_turn(lambda: read(full), lambda: read(alone)))


SECTION_PLACE = "80-87"
"""Eight bars in which all seventeen play, the first violin's voice in runs."""


def section_row(folder: Path) -> tuple[Row, Callable[[float], str]]:
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

    row = Row("section of 17", 0.6, in_turn(ours, lambda: run(*alone, text)))

    def told(seconds_of_ours: float) -> str:
        largest = f"{memory[0] / 1024:.0f} MB" if memory[0] else "no more than the rows above"
        return (
            f"section of 17: reading takes {reading:.2f} s of {seconds_of_ours:.2f} s "
            f"({reading / seconds_of_ours:.0%}); the largest process has {largest}"
        )

    return row, told


def ranking_row(folder: Path) -> Row:
    """Finding the hard spots against reading the part."""
    score = write_score(folder / "long.musicxml", bars=300)
    command = [sys.executable, Path(__file__).with_name("rank_once.py"), score]

    def measure() -> tuple[float, float]:
        done = subprocess.run(command, check=True, capture_output=True, text=True)
        read, ranked = map(float, done.stdout.split())
        return ranked, read

    return Row("300 bars ranked", 0.5, measure)


def main() -> None:
    """Measure every row and print the table."""
    asked = argparse.ArgumentParser(description="Ratios of one run.")
    asked.add_argument("--runs", type=int, default=5)
    runs = asked.parse_args().runs
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        section, told = section_row(folder)
        rows = [
            section,
            *sheet_rows(folder),
            Row(
                "drills --help",
                2.0,
                in_turn(
                    lambda: run(sys.executable, "-m", "drills", "--help"),
                    lambda: run(sys.executable, "-c", "import click"),
                ),
            ),
            reading_row(folder),
            ranking_row(folder),
        ]
        print(f"{'':15} {'median':>7} {'lowest':>7} {'highest':>8} {'allowed':>8}")
        for row in rows:
            pairs = [row.measure() for _ in range(runs)]
            ratios = sorted(ours / theirs for ours, theirs in pairs)
            print(
                f"{row.name:15} {statistics.median(ratios):7.2f} {ratios[0]:7.2f} "
                f"{ratios[-1]:8.2f} {row.limit:8.2f}"
            )
            if row is section:
                notes = told(statistics.median(ours for ours, _ in pairs))
        print(notes)


if __name__ == "__main__":
    main()
