"""How fast the page in the browser answers, and whether it gives what the command line writes.

python bench/stand.py            ratios and medians
python bench/stand.py equal      twenty spots: PDF and WAV byte for byte
python bench/stand.py load 60    eight clients at once, for so many seconds
"""

from __future__ import annotations

import contextlib
import os
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import httpx
from click.testing import CliRunner

sys.path.insert(0, str(Path(__file__).parents[1]))

from drills.cli import drills
from drills.jobs.sheets import build_sheets
from drills.output.engrave import Engraving, engrave
from drills.output.lilypond.document import sheets_text
from drills.stand import sheet_tasks
from drills.stand.shelf import id_of
from drills.stand.wishes import settings_of
from tests.stand.standing import MARCH, Standing, standing

SPOTS = [("2", bar) for bar in (9, 11, 18, 23, 25, 27, 28, 29, 31, 32, 33, 35)] + [
    ("4", bar) for bar in (9, 11, 18, 25, 28, 29, 31, 33)
]
SCORE = id_of(MARCH)


@contextlib.contextmanager
def a_stand() -> Iterator[Standing]:
    """On a folder of its own."""
    with tempfile.TemporaryDirectory() as place, standing(Path(place)) as found:
        yield found


def took(work: Callable[[], object]) -> float:
    """Seconds."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def pages(client: httpx.Client, place: str, **choices: str) -> None:
    """A preview."""
    asked = {"score": SCORE, "part": 2, "at": [place], "kind": "svg", "choices": choices}
    assert "event: done" in client.post("/api/sheet", json=asked).text


def loop(client: httpx.Client, number: str = "80") -> None:
    """What a press on Play asks for."""
    asked: dict[str, Any] = {
        **{"score": SCORE, "part": 2, "at": "33", "block": 1, "item": 0, "number": number},
        **{"click": "", "groove": "", "voices": [], "count_in": 1, "first": 0, "rounds": 16},
    }
    assert client.post("/api/loop", json=asked).status_code == 200


def part(client: httpx.Client, width: int) -> None:
    """The part on the screen."""
    query = {"score": SCORE, "part": 2, "width": width, "scale": 45}
    assert client.get("/api/part", params=query).status_code == 200


def lilypond(folder: Path, place: str) -> float:
    """LilyPond's own time for the text of a page, as a picture."""
    settings, style = settings_of({})
    made = build_sheets(folder / MARCH, [place], "2", settings)
    text = sheets_text(made.sheets, style.page, made.mark)
    return took(lambda: engrave([text], ("svg",), Engraving()))


def speed() -> None:
    """Medians of five, and the preview against LilyPond's own time."""
    with a_stand() as stand, stand.client() as client:
        part(client, 800)
        part(client, 801)
        drawn = statistics.median(took(lambda w=w: part(client, w)) for w in range(802, 807))  # type: ignore[misc]
        pages(client, "11")
        bars = ("29", "31", "32", "33", "35")
        ratios = [took(lambda b=b: pages(client, b)) / lilypond(stand.folder, b) for b in bars]  # type: ignore[misc]
        again = took(lambda: pages(client, "33"))
        redrawn = took(lambda: pages(client, "33", staff_size="18"))
        loop(client)
        heard = statistics.median(took(lambda: loop(client)) for _ in range(5))
    print(f"part of 60 bars, warm: {drawn:.2f} s")
    print(f"preview against LilyPond's own time: {statistics.median(ratios):.2f}")
    print(f"the same page again: {again:.3f} s; redrawn after a choice: {redrawn:.2f} s")
    print(f"what a press on Play asks for: {1000 * heard:.0f} ms")


def equal() -> None:
    """Page and command line side by side."""
    with tempfile.TemporaryDirectory() as place, standing(Path(place)):
        os.chdir(place)
        same = 0
        for number, bar in SPOTS:
            for command, made in (
                ("sheet", sheet_tasks.sheet((MARCH, number), (str(bar),), {}, "pdf", print)),
                ("click", sheet_tasks.climb(MARCH, number, str(bar))),
            ):
                ((name, content),) = made["files"]
                words = [command, MARCH, "--part", number, "--at", str(bar), "--quiet"]
                assert CliRunner().invoke(drills, words).exit_code == 0
                same += Path(name).read_bytes() == content
                for path in Path().glob(f"{Path(name).stem}*"):
                    path.unlink()
    print(f"{same} of {2 * len(SPOTS)} files are the same, byte for byte")


def load(seconds: float) -> None:
    """Eight clients; every answer must be one."""
    times: list[float] = []
    faults: list[str] = []

    def one(stand: Standing, until: float, turn: int) -> None:
        with stand.client() as client:
            while time.monotonic() < until:
                turn += 1
                try:
                    began = time.perf_counter()
                    if turn % 2:
                        loop(client)
                    else:
                        part(client, 700 + turn % 300)
                    times.append(time.perf_counter() - began)
                except (AssertionError, httpx.HTTPError) as error:
                    faults.append(repr(error))

    with a_stand() as stand:
        until = time.monotonic() + seconds
        threads = [threading.Thread(target=one, args=(stand, until, n)) for n in range(8)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        memory = Path(f"/proc/{stand.process.pid}/status").read_text()
        held = next(line for line in memory.splitlines() if line.startswith("VmHWM"))
    print(
        f"{len(times)} answers, median {1000 * statistics.median(times):.0f} ms, "
        f"longest {1000 * max(times):.0f} ms, faults: {len(faults)}; server {held.split()[1]} kB"
    )


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["equal"]:
            equal()
        case ["load", given]:
            load(float(given))
        case _:
            speed()
