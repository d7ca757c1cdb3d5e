"""One stand and one browser for all tests that look at the screens."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.stand.standing import Standing, chromium, standing, why_no_browser
from tests.stand.take_sound import late_note, tones_of

if TYPE_CHECKING:  # an extra of the tests
    from playwright.sync_api import Browser, Page

PLACE, NUMBER = "33", "96"
LATE, BY = 8, 0.08
"""What the player of the tests plays, and the note (from 0) that comes so many seconds late."""


@pytest.fixture(name="shown", scope="session")
def _shown(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Standing]:
    """A stand for the browser."""
    with standing(tmp_path_factory.mktemp("harbour")) as found:
        yield found


@pytest.fixture(name="browser", scope="session")
def _browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """Chromium, with a microphone that hears a file of ours."""
    if missing := why_no_browser():
        pytest.skip(missing)
    heard: Path = tmp_path_factory.mktemp("microphone") / "heard.wav"
    heard.write_bytes(late_note(tones_of(PLACE, NUMBER), LATE, BY, after=8.0))
    flags = (
        "--use-fake-ui-for-media-stream",
        "--use-fake-device-for-media-stream",
        f"--use-file-for-fake-audio-capture={heard}%noloop",
    )
    with chromium(*flags) as browser:
        yield browser


@pytest.fixture(name="page")
def _page(browser: Browser, shown: Standing) -> Iterator[Page]:
    """A page of the stand, let in; a fault in its script fails the test."""
    context = browser.new_context(viewport={"width": 1280, "height": 900}, accept_downloads=True)
    context.add_cookies([shown.cookie])
    page = context.new_page()
    page.set_default_timeout(45_000)
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on(
        "console",
        lambda told: (
            faults.append(told.text)
            if told.type == "error" and "Failed to load resource" not in told.text
            else None
        ),
    )
    yield page
    context.close()
    assert faults == []
