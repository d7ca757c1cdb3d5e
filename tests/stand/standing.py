"""A running stand, and a browser for it."""

from __future__ import annotations

import asyncio
import contextlib
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, TypeVar

import httpx
from starlette.applications import Starlette

from drills.resources import scores_folder
from drills.stand.door import COOKIE
from drills.stand.shelf import id_of

if TYPE_CHECKING:  # an extra of the tests
    from playwright.sync_api import Browser

ROOT: Final = Path(__file__).parents[2]
CHROMIUM: Final = Path("/usr/bin/chromium")
MARCH: Final = "march.musicxml"

Result = TypeVar("Result")


@dataclass(frozen=True)
class Standing:
    """A server on a folder."""

    folder: Path
    address: str
    """That is opened, with its key."""
    process: subprocess.Popen[str]

    @property
    def origin(self) -> str:
        return self.address.partition("/open")[0]

    @property
    def host(self) -> str:
        return self.origin.removeprefix("http://")

    @cached_property
    def cookie(self) -> Any:  # noqa: ANN401 - playwright's own table
        """What lets a browser in."""
        value = httpx.get(self.address).cookies[COOKIE]
        return {"name": COOKIE, "value": value, "url": self.origin}

    @contextlib.contextmanager
    def client(self) -> Iterator[httpx.Client]:
        """A client that was let in."""
        with httpx.Client(base_url=self.origin, timeout=60) as client:
            assert client.get(self.address).status_code == 303
            client.headers["Origin"] = self.origin
            yield client

    def at(self, page: str, place: str = "33", part: int = 2) -> str:
        """The address of a screen for a place of the march."""
        return f"{self.origin}/{page}?score={id_of(MARCH)}&part={part}&at={place}"


def to_its_end(work: Coroutine[object, object, Result]) -> Result:
    """What a coroutine returns.

    In a thread of its own: where a browser of the same run is open, the loop that drives it
    stands in this one, and a thread has room for one loop.
    """
    with ThreadPoolExecutor(1) as apart:
        return apart.submit(asyncio.run, work).result()


class Inside:
    """Requests to a program in this process, one at a time; cookies are kept."""

    def __init__(self, app: Starlette, host: str) -> None:
        self._app, self._base = app, f"http://{host}"
        self.cookies = httpx.Cookies()

    def get(self, path: str, **given: Any) -> httpx.Response:  # noqa: ANN401 - as httpx
        return to_its_end(self._sent("GET", path, given))

    def post(self, path: str, **given: Any) -> httpx.Response:  # noqa: ANN401 - as httpx
        return to_its_end(self._sent("POST", path, given))

    async def _sent(self, method: str, path: str, given: dict[str, Any]) -> httpx.Response:
        transport = httpx.ASGITransport(self._app)
        async with httpx.AsyncClient(
            transport=transport, base_url=self._base, cookies=self.cookies
        ) as client:
            answer = await client.request(method, path, **given)
            self.cookies.update(client.cookies)
            return answer


@contextlib.contextmanager
def standing(folder: Path, *options: str, scores: bool = True) -> Iterator[Standing]:
    """A server on a folder with the project's own scores in it."""
    if scores:
        for path in scores_folder().glob("*.musicxml"):
            shutil.copy(path, folder)
    before = [option for option in options if option == "--hasty"]
    after = [option for option in options if option != "--hasty"]
    command = [sys.executable, "-m", "tests.stand.serve", *before, str(folder), *after]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            yield Standing(folder, process.stdout.readline().strip(), process)
        finally:
            process.send_signal(signal.SIGINT)
            try:
                process.wait(10)
            except subprocess.TimeoutExpired:
                os.kill(process.pid, signal.SIGKILL)


def below(process: int) -> list[str]:
    """The processes that it has started, and those that these have (proc_pid_task(5))."""
    with contextlib.suppress(FileNotFoundError):
        threads = Path(f"/proc/{process}/task").glob("*/children")
        own = [child for thread in threads for child in thread.read_text().split()]
        return [*own, *(one for child in own for one in below(int(child)))]
    return []


def why_no_browser() -> str:
    """Empty where Chromium can be driven, else what is missing."""
    try:
        import playwright  # noqa: F401, PLC0415 - an extra of the tests
    except ImportError:
        return "playwright is not installed"
    return "" if CHROMIUM.is_file() else f"no browser at {CHROMIUM}: apt-get install chromium"


@contextlib.contextmanager
def chromium(*flags: str) -> Iterator[Browser]:
    """A browser."""
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - where it is installed

    with sync_playwright() as player:
        browser = player.chromium.launch(
            executable_path=str(CHROMIUM),
            args=["--no-sandbox", "--autoplay-policy=no-user-gesture-required", *flags],
        )
        try:
            yield browser
        finally:
            browser.close()
