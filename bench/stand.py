"""How fast the page in the browser answers, and whether it gives what the command line writes.

python bench/stand.py            ratios and medians
python bench/stand.py screen     a part of 100 bars on the screen, and the sound after a press
python bench/stand.py equal      twenty spots: PDF, WAV and verdict byte for byte
python bench/stand.py load 60    eight clients at once, for so many seconds
"""

from __future__ import annotations

import contextlib
import os
import shutil
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import httpx
from click.testing import CliRunner
from lxml import etree

sys.path.insert(0, str(Path(__file__).parents[1]))

from drills.cli import drills
from drills.jobs.sheets import build_sheets
from drills.output.engrave import Engraving, engrave
from drills.output.lilypond.document import sheets_text
from drills.resources import scores_folder
from drills.stand import sheet_tasks, take_tasks
from drills.stand.bounds import TAKES
from drills.stand.shelf import id_of
from drills.stand.wishes import settings_of
from tests.stand.standing import MARCH, Standing, below, chromium, standing
from tests.stand.take_sound import late_note, tones_of

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


PRESSED = """async () => {
  const context = standPlaying.context;
  await context.resume();
  const pressed = performance.now();
  const before = context.currentTime;
  document.getElementById("go").click();
  while (!standPlaying.sounding) await new Promise((after) => setTimeout(after, 1));
  const { origin, loop } = standPlaying.engine;
  const first = origin - loop.count_in;
  const heard = first - before + (context.outputLatency || context.baseLatency);
  document.getElementById("go").click();
  return [1000 * heard, performance.now() - pressed];
}"""
"""Milliseconds by the audio clock from the press to the first click at the loudspeaker."""


def longer(path: Path, bars: int) -> Path:
    """The march with its bars over again until there are so many."""
    tree = etree.parse(str(path))
    for part in tree.iter("part"):
        own = list(part)
        for number in range(bars):
            measure = own[number] if number < len(own) else deepcopy(own[1 + number % 30])
            measure.set("number", str(number))
            if number >= len(own):
                part.append(measure)
        for measure in own[bars:]:
            part.remove(measure)
    target = path.with_name("longer.musicxml")
    tree.write(str(target), encoding="utf-8", xml_declaration=True)
    return target


def screen() -> None:
    """In the browser: medians of five."""
    with a_stand() as stand, chromium() as browser:
        score = id_of(longer(stand.folder / MARCH, 100).name)
        context = browser.new_context(viewport={"width": 1280, "height": 900})
        context.add_cookies([stand.cookie])
        page = context.new_page()

        def drawn() -> None:
            page.goto(f"{stand.origin}/part?score={score}&part=2")
            page.wait_for_selector("#music svg g.note")

        first, second = took(drawn), took(drawn)
        warm = statistics.median(took(drawn) for _ in range(5))
        page.goto(stand.at("play", "33"))
        page.wait_for_selector("#go:not([disabled])")
        page.wait_for_function("standPlaying.next")
        presses = [page.evaluate(PRESSED) for _ in range(6)][1:]
        heard = statistics.median(press[0] for press in presses)
    print(f"part of 100 bars on the screen: {first:.2f} s, again {second:.2f} s, warm {warm:.2f} s")
    print(f"from the press to the sound: {heard:.0f} ms by the clock of the audio context")


def equal() -> None:
    """Page and command line side by side."""
    with tempfile.TemporaryDirectory() as place:
        shutil.copy(scores_folder() / MARCH, place)
        os.chdir(place)
        same = files = 0
        for number, bar in SPOTS:
            at = str(bar)
            where = [MARCH, "--part", number, "--at", at, "--quiet"]
            sheet = sheet_tasks.sheet((MARCH, number), (at,), {}, "pdf", print)
            sound = sheet_tasks.climb(MARCH, number, at)
            for command, made in (("sheet", sheet), ("click", sound)):
                ((name, content),) = made["files"]
                assert CliRunner().invoke(drills, [command, *where]).exit_code == 0
                same += Path(name).read_bytes() == content
                for path in Path().glob(f"{Path(name).stem}*"):
                    path.unlink()
            played = late_note(tones_of(at, part=number), 2, 0.07)
            about = {"score": MARCH, "number": int(number), "part": "", "at": at, "tempo": ""}
            take = f"{TAKES}/{take_tasks.add(played, about)['name']}"
            files_of = take_tasks.verdict(Path(take).name, (MARCH, number), at, "")["files"]
            told = CliRunner().invoke(drills, ["take", take, *where, "--json"])
            same += told.stdout.encode() == dict(files_of)["take.json"]
            files += 3
    print(f"{same} of {files} files are the same, byte for byte")


def memory(process: str) -> int:
    """The most that it ever held, MB (VmHWM of proc_pid_status(5))."""
    lines = Path(f"/proc/{process}/status").read_text().splitlines()
    return int(next(line for line in lines if line.startswith("VmHWM")).split()[1]) // 1000


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
        with stand.client() as client:
            loop(client)
        until = time.monotonic() + seconds
        threads = [threading.Thread(target=one, args=(stand, until, n)) for n in range(8)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        held = [memory(process) for process in (str(stand.process.pid), *below(stand.process.pid))]
    print(
        f"{len(times)} answers, median {1000 * statistics.median(times):.0f} ms, "
        f"longest {1000 * max(times):.0f} ms, faults: {len(faults)}; "
        f"at most {held[0]} MB in the server, {max(held[1:])} MB in a process of it"
    )


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["equal"]:
            equal()
        case ["screen"]:
            screen()
        case ["load", given]:
            load(float(given))
        case _:
            speed()
