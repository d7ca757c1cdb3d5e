"""The page for the phone in Chromium, opened from its file; skipped where no browser is."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from fractions import Fraction
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from drills.music.time import TimeSignature
from drills.output.audio import AudioSettings, Tags, audio_writer
from drills.output.phone_page import PhoneBlock, PhoneSheet, phone_page
from drills.sound.practice.events import Cue, Event, Strike, TempoStep

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
HOSTILE = '"><img src=x onerror=alert(1)></script><b>É & co'
SVG = (
    b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 210 297" width="210mm" height="297mm">'
    b'<script>window.evil=1</script><rect width="100" height="100"/></svg>'
)


class Clicks:
    """Four clicks in two seconds."""

    duration = Fraction(2)
    a4 = Fraction(440)
    cues = (Cue(Fraction(0), Fraction(0), "one"),)
    tempos = (TempoStep(Fraction(0), Fraction(0), Fraction(1, 2), TimeSignature((4,), 4)),)

    def events(self) -> Iterator[Event]:
        for n in range(4):
            yield Strike(Fraction(n, 2), Fraction(n), "click", "low-wood-block")


def page(sound: bytes = b"", kind: str = "ogg") -> bytes:
    block = PhoneBlock(
        1, "dotted " + HOSTILE, "a-1", ("56", "63", "112"), "quarter", sound, "x.ogg", kind
    )
    sheet = PhoneSheet("March " + HOSTILE, "Clarinet", "Bar 33", "quarter = 112", HOSTILE, (block,))
    return phone_page(HOSTILE, HOSTILE, [sheet], [SVG], cautions=["Rest often."], mark="mark")


def test_every_text_is_escaped_and_nothing_lies_outside() -> None:
    text = page().decode()
    assert HOSTILE not in text
    assert "<b>É" not in text
    for outside in ("http:", "https:", "//cdn", "url("):
        assert outside not in text.replace("http-equiv", "")
    assert "default-src 'none'" in unescape(text)


@pytest.fixture(name="browser", scope="module")
def _browser() -> Iterator[Browser]:
    sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    if BROWSER is None:
        pytest.skip("no chromium on this machine: the page for the phone is not tried")
    with sync_api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=BROWSER,
            args=["--no-sandbox", "--autoplay-policy=no-user-gesture-required"],
        )
        yield browser
        browser.close()


@pytest.fixture(name="opened", params=["ogg", "mp3"])
def _opened(browser: Browser, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Page]:
    sound = tmp_path / f"sound.{request.param}"
    sound.touch()
    audio_writer(Clicks(), Tags(title="x", mark="m"), AudioSettings(request.param))(sound)
    file = tmp_path / "open-me.html"
    file.write_bytes(page(sound.read_bytes(), request.param))
    context = browser.new_context(viewport={"width": 360, "height": 640}, offline=True)
    tab = context.new_page()
    told: list[str] = []
    tab.on("console", lambda message: told.append(message.text))
    tab.on("pageerror", lambda error: told.append(str(error)))
    tab.on("request", lambda asked: told.append(asked.url) if "http" in asked.url[:5] else None)
    tab.goto(file.as_uri())
    yield tab
    assert told == []
    context.close()


def test_it_plays(opened: Page) -> None:
    opened.evaluate("document.querySelector('audio').play()")
    for _ in range(100):  # the policy of the page allows no script of ours to wait in it
        if opened.evaluate("document.querySelector('audio').currentTime") > 0.2:
            break
        opened.wait_for_timeout(100)
    assert opened.evaluate("document.querySelector('audio').currentTime") > 0.2
    assert opened.evaluate("document.querySelector('audio').duration") == pytest.approx(3, abs=0.3)


def test_ticks_survive_reload(opened: Page) -> None:
    boxes = opened.locator("input[data-box]")
    assert boxes.count() == 3
    boxes.nth(1).check()
    opened.reload()
    assert [boxes.nth(n).is_checked() for n in range(3)] == [False, True, False]
    boxes.nth(1).uncheck()
    opened.reload()
    assert not boxes.nth(1).is_checked()


def test_it_fits_a_narrow_phone(opened: Page) -> None:
    assert opened.evaluate("document.documentElement.scrollWidth") <= 360
    for box in opened.locator(".ladder label").all():
        size = box.bounding_box()
        assert size is not None
        assert size["height"] >= 32


def test_what_is_hostile_is_only_text(opened: Page) -> None:
    assert opened.inner_text("h1") == HOSTILE
    assert opened.evaluate("window.evil") is None
    assert opened.locator("b").count() == 0


def test_it_prints(opened: Page) -> None:
    from pypdf import PdfReader  # noqa: PLC0415 - only here

    printed = PdfReader(io.BytesIO(opened.pdf(format="A4")))
    words = " ".join(one.extract_text() for one in printed.pages)
    assert "Rest often." in words
    assert "112" in words
