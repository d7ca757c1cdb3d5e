"""The whole job in the browser, and the same found by the command line's own readers."""

from __future__ import annotations

import json
import re
import shutil
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

from drills.cli import drills
from drills.jobs.asked.values import read_number
from drills.project.book import read_book
from drills.project.log import log_path, read_entries
from drills.resources import scores_folder
from drills.stand.shelf import id_of
from tests.stand.conftest import BY, LATE, NUMBER, PLACE
from tests.stand.standing import MARCH, Standing

if TYPE_CHECKING:  # an extra of the tests
    from playwright.sync_api import Browser, Page

BAR = "33"
"""Index of printed bar 33 of the march, whose pickup has the index 0."""
QUAY, AIR = "quay.musicxml", "air.musicxml"


def notes_of(page: Page, bar: str) -> list[list[float]]:
    """The middle of every note of a bar, once it is on the screen."""
    page.wait_for_selector("#music svg g.note")
    page.evaluate(f"document.getElementById('b{bar}').scrollIntoView({{block: 'center'}})")
    found: list[list[float]] = page.evaluate(
        f"""[...document.querySelectorAll('g.note[id^="n{bar}-"] g.notehead')].map((head) => {{
          const box = head.getBoundingClientRect();
          return [box.x + box.width / 2, box.y + box.height / 2];
        }})"""
    )
    return found


def until(page: Page, true: str, given: object = None, seconds: float = 45) -> None:
    """Wait for something in the page; asked from outside, since the page may evaluate nothing."""
    end = time.monotonic() + seconds
    while not page.evaluate(true, given):
        assert time.monotonic() < end, f"never came true: {true}"
        page.wait_for_timeout(50)


def told(page: Page, words: str) -> None:
    """Wait until the page says it."""
    until(page, "(words) => document.getElementById('told').textContent.includes(words)", words)


def drag(page: Page, bar: str) -> str:
    """Drag over the notes of a bar; what the card says then."""
    notes = notes_of(page, bar)
    (x, y), (to_x, to_y) = notes[0], notes[-1]
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move((x + to_x) / 2, y, steps=3)
    page.mouse.move(to_x, to_y, steps=3)
    page.mouse.up()
    page.wait_for_selector("#card.chosen")
    text: str = page.inner_text("#place")
    return text


def test_by_mouse_from_the_score_to_the_log(page: Page, shown: Standing, tmp_path: Path) -> None:
    """The microphone hears a player whose ninth note comes 80 ms late (conftest.py)."""
    dropped = tmp_path / QUAY
    shutil.copy(scores_folder() / MARCH, dropped)
    page.goto(shown.origin)
    page.set_input_files("#file", str(dropped))
    told(page, "on the shelf")
    page.locator("li", has_text=QUAY).get_by_text("Clarinet 1").first.click()

    assert drag(page, BAR).startswith("bar 33")
    page.fill("#note", "left hand first")
    page.click("#add")
    told(page, "on the list")
    page.click("#card >> text=Print")
    page.wait_for_selector("img.page")
    assert page.evaluate(
        "[...document.images].every((one) => one.complete && one.naturalWidth > 0)"
    )
    with page.expect_download() as download:
        page.click("text=Save PDF")
    assert download.value.suggested_filename.endswith("33.pdf")
    assert Path(download.value.path()).read_bytes().startswith(b"%PDF")

    reached = plays(page)
    words = records(page)

    book = read_book(shown.folder / "book.toml")
    (part,) = [one for one in book.parts if one.file == QUAY]
    (spot,) = part.spots
    assert (spot.at, spot.note) == (PLACE, "left hand first")
    (entry,) = read_entries(log_path(shown.folder / "book.toml"))
    assert entry.said.passage == spot.id
    assert entry.said.number == read_number(reached)
    assert entry.said.right == 1
    (take,) = (shown.folder / "takes").glob("*.wav")
    where = ["--part", "2", "--at", PLACE]
    done = CliRunner().invoke(drills, ["take", str(take), str(shown.folder / QUAY), *where])
    assert words in " ".join(done.output.split()), "the command line says the same"


def plays(page: Page) -> str:
    """Play, faster while it sounds, and right; the number that was judged."""
    page.click("nav >> text=Play")
    page.wait_for_selector("#go:not([disabled])")
    first = page.inner_text("#number")
    page.click("#go")
    page.wait_for_selector("#music .sounds")
    tempo = page.evaluate("standPlaying.engine.loop.tempo")
    page.click("#faster")
    until(page, f"standPlaying.engine.loop.tempo !== '{tempo}'")
    assert page.evaluate("standPlaying.sounding"), "changed while it sounds"
    assert page.inner_text("#number") != first
    reached: str = page.inner_text("#number").rpartition(" = ")[2]
    page.click("#right")
    told(page, "in the log")
    second = page.locator("#blocks button").nth(1)
    music = page.inner_html("#music")
    for pressed in ("true", "false"):
        second.click()
        page.wait_for_selector(f"#blocks li:nth-child(2) [aria-pressed={pressed}]")
        assert page.evaluate("standPlaying.sounding") is (pressed == "true")
    assert page.inner_html("#music") != music, "each block plays, with its own music on the stand"
    return reached


def records(page: Page) -> str:
    """A take: the late note is marked, its bar is heard again with the click; what is said."""
    page.click("nav >> text=Take")
    page.wait_for_selector("#go:not([disabled])")
    page.select_option("#number", value=NUMBER)
    page.click("#go")
    page.wait_for_selector(".verdict", timeout=120_000)
    assert page.locator("#takes > li").count() == 1
    words: str = page.inner_text(".verdict")
    (button,) = page.locator("#takes .faults button").all_inner_texts()
    late = re.fullmatch(r"note (\d+): right, (\d+) ms late", button)
    assert late is not None, button
    assert int(late[1]) == LATE + 1
    assert int(late[2]) == pytest.approx(1000 * BY, abs=10)
    assert "late" in words
    page.check("text=with a click")
    page.get_by_role("button", name=f"Bar {PLACE}", exact=True).click()
    until(page, "standReplay.sources.length > 3")
    until(page, "document.querySelector('audio').play().then(() => true)")
    return words


def test_tonight_with_the_pedal_alone(page: Page, shown: Standing) -> None:
    put_on_the_list(page, shown, "40", part=4)
    page.goto(f"{shown.origin}/tonight")
    page.fill("#meeting", "2099-03-01")
    page.dispatch_event("#meeting", "change")
    page.wait_for_selector("#items li.current")
    log = log_path(shown.folder / "book.toml")
    before = len(read_entries(log)) if log.exists() else 0
    numbers = page.evaluate("standTonight.items[0].numbers.map(([, shown]) => shown)")
    page.keyboard.press("PageDown")  # begins
    says(page, "number", f"at {numbers[0]}")
    page.keyboard.press("PageUp")  # not yet, and there is no number below
    says(page, "number", f"at {numbers[0]}")
    for number in numbers[1:]:
        page.keyboard.press("PageDown")
        says(page, "number", f"at {number}")
    page.keyboard.press("PageDown")
    told(page, "in the log")
    until(
        page,
        "[...document.querySelectorAll('#items .done')].some((one) => one.textContent)",
    )
    (entry,) = read_entries(log)[before:]
    assert entry.said.number == read_number(numbers[-1])
    assert entry.said.right == 1
    assert page.inner_text("#what").startswith("2.") or "Rest" in page.inner_text("#what")
    page.wait_for_selector("#ready img")
    page.goto(shown.origin)
    page.click("#daylist >> text=Tonight")
    page.wait_for_selector("#items li.current")


def test_a_section_and_a_lesson(page: Page, shown: Standing) -> None:
    page.goto(f"{shown.origin}/section?score={id_of(AIR)}&part=1&at=5")
    page.wait_for_selector("#players input")
    page.get_by_role("checkbox", name="Tenor Saxophone").uncheck()
    page.click("#show")
    page.wait_for_selector("#pages img")
    page.locator("#chords button").first.click()
    assert page.inner_text("#chords button").startswith("bar 5, beat 1: ")
    assert page.locator("#files a").count() == 4, "the leader's page and three players'"
    page.fill("[name=student]", "Mia")
    page.fill("[name=instrument]", "horn")
    page.click("#handout")
    page.wait_for_selector("#made a")
    with page.expect_download() as download:
        page.click("#made >> text=.zip")
    (kept,) = (shown.folder / "hand-outs" / "Mia").iterdir()
    assert kept.read_bytes() == Path(download.value.path()).read_bytes()
    assert page.locator("#students option").first.get_attribute("value") == "Mia"


def says(page: Page, id_: str, words: str) -> None:
    """Wait until an element says just that."""
    until(page, "([id, words]) => document.getElementById(id).textContent === words", [id_, words])


def put_on_the_list(page: Page, shown: Standing, place: str, part: int = 2) -> None:
    page.goto(shown.at("part", place, part))
    page.wait_for_selector("#card.chosen")
    page.click("#add")
    until(
        page,
        f"[...document.querySelectorAll('li.spot a')].some((a) => a.href.includes('at={place}'))",
    )


def test_by_keyboard_alone(page: Page, shown: Standing) -> None:
    page.goto(f"{shown.origin}/part?score={id_of(MARCH)}&part=3")
    page.wait_for_selector("#music svg g.note")
    page.focus("#music")
    for key in ("ArrowRight", "ArrowRight", "Shift+ArrowRight", "Shift+ArrowRight"):
        page.keyboard.press(key)
    page.wait_for_selector("#card.chosen")
    place = page.inner_text("#place")
    assert place.startswith("from ")
    page.keyboard.press("Enter")
    told(page, "on the list")
    page.locator("li.spot a", has_text=place).first.focus()
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile("at="))
    page.wait_for_load_state("networkidle")
    page.goto(shown.at("play"))
    page.wait_for_selector("#go:not([disabled])")
    page.keyboard.press("Space")
    until(page, "standPlaying.sounding")
    page.keyboard.press("Space")
    until(page, "!standPlaying.sounding")
    for screen, ready, begun in (("sheet", "#print", "img.page"), ("take", "#go", "#takes > li")):
        page.locator(f"nav a[href^='/{screen}?']").focus()
        page.keyboard.press("Enter")
        page.wait_for_selector(f"{ready}:not([disabled])")
        page.focus(ready)
        if screen == "take":
            page.keyboard.press("Enter")
            until(page, "document.getElementById('go').textContent === 'Stop'")
            page.keyboard.press("Enter")
        page.wait_for_selector(begun)


def test_by_touch_on_a_tablet(browser: Browser, shown: Standing) -> None:
    context = browser.new_context(viewport={"width": 768, "height": 1024}, has_touch=True)
    context.add_cookies([shown.cookie])
    page = context.new_page()
    page.goto(f"{shown.origin}/part?score={id_of(MARCH)}&part=2")
    notes = notes_of(page, BAR)
    page.touchscreen.tap(*notes[3])
    page.wait_for_selector("#card.chosen")
    assert "bar 33" in page.inner_text("#place")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    small = page.evaluate(
        """[...document.querySelectorAll('button, .button, a.small')]
          .filter((one) => one.offsetParent && one.getBoundingClientRect().height < 44)
          .map((one) => one.textContent)"""
    )
    assert small == [], "targets are 44 px high (WCAG 2.2, target size enhanced)"

    finger = Finger(page)
    finger.drag(notes[0], notes[7])
    marked(page, "33@1-33@2#4")
    (grip,) = page.locator("rect.grip").all()[1:]
    box = grip.bounding_box()
    assert box is not None
    last = notes_of(page, BAR)[-1]
    finger.drag([box["x"] + box["width"] / 2, box["y"] + box["height"] / 2], last)
    marked(page, "33")
    x, y = notes_of(page, BAR)[5]
    above = page.evaluate("scrollY")
    finger.drag([x, y], [x, y - 300])
    until(page, "(above) => scrollY !== above", above, 9)
    marked(page, "33")
    context.close()


class Finger:
    """One finger on the glass (Chrome DevTools Protocol, Input.dispatchTouchEvent)."""

    def __init__(self, page: Page) -> None:
        self._line = page.context.new_cdp_session(page)

    def _touch(self, kind: str, *at: float) -> None:
        points = [{"x": at[0], "y": at[1]}] if at else []
        self._line.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    def drag(self, begin: list[float], end: list[float]) -> None:
        """From one point of the window to another, in steps."""
        (x, y), (to_x, to_y) = begin, end
        self._touch("touchStart", x, y)
        for step in range(1, 9):
            self._touch("touchMove", x + (to_x - x) * step / 8, y + (to_y - y) * step / 8)
        self._touch("touchEnd")


def marked(page: Page, at: str) -> None:
    """Wait until that is the place which is marked, as it would be typed."""
    until(page, "(at) => document.getElementById('card').dataset.at === at", at, 9)


def test_two_windows_and_an_editor_agree(page: Page, shown: Standing) -> None:
    put_on_the_list(page, shown, "24")
    other = page.context.new_page()
    other.goto(shown.at("part", "24"))
    other.wait_for_selector("li.spot")
    before = other.locator("li.spot").count()
    page.locator("li.spot", has_text="bar 24").get_by_label("off the list").click()
    until(page, f"document.querySelectorAll('li.spot').length === {before - 1}", seconds=9)
    until(other, f"document.querySelectorAll('li.spot').length === {before - 1}", seconds=9)
    page.click("#undo")
    until(other, f"document.querySelectorAll('li.spot').length === {before}")
    book = shown.folder / "book.toml"
    book.write_text(book.read_text().replace('at = "24"', 'at = "25"'))
    page.wait_for_selector("li.spot >> text=bar 25")
    other.wait_for_selector("li.spot >> text=bar 25")


HOSTILE = (
    "<script>window.hurt=1</script>",
    "<img src=x onerror=window.hurt=1>",
    '"><svg onload=window.hurt=1>',
    "'-window.hurt=1-'",
    "javascript:window.hurt=1",
    "{{7*7}}<% window.hurt=1 %>",
    "</title><script>window.hurt=1</script>",
    "&lt;script&gt;window.hurt=1&lt;/script&gt;",
)


def escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")


@pytest.fixture(name="poisoned")
def _poisoned(shown: Standing) -> str:
    """A score whose title, players, words and rights are scripts, and its name too."""
    text = (scores_folder() / "air.musicxml").read_text("utf-8")
    title, first, second, words, rights, *_ = map(escaped, HOSTILE)
    text = re.sub(
        r"<work-title>.*?</work-title>", lambda _: f"<work-title>{title}</work-title>", text
    )
    names = iter([first, second] * 20)
    text = re.sub(
        r"<part-name>.*?</part-name>", lambda _: f"<part-name>{next(names)}</part-name>", text
    )
    text = re.sub(r"<words([^>]*)>.*?</words>", lambda m: f"<words{m[1]}>{words}</words>", text)
    text = re.sub(r"<rights>.*?</rights>", lambda _: f"<rights>{rights}</rights>", text)
    name = "a<img src=x onerror=hurt=1>'\".musicxml"
    (shown.folder / name).write_text(text, "utf-8")
    (shown.folder / "hand-outs" / HOSTILE[1].replace("/", "-")).mkdir(parents=True, exist_ok=True)
    (shown.folder / "takes").mkdir(exist_ok=True)
    take = {"score": name, "number": 1, "at": "5", "tempo": HOSTILE[1], "recorded": HOSTILE[2]}
    beside = shown.folder / "takes" / "poisoned.json"
    beside.write_text(json.dumps({**take, "sound": "<b>.wav"}))
    return name


def test_scripts_in_a_score_do_nothing_on_any_screen(
    page: Page, shown: Standing, poisoned: str
) -> None:
    score = id_of(poisoned)
    page.goto(f"{shown.origin}/part?score={score}&part=1&at=5")
    page.wait_for_selector("#card.chosen")
    assert HOSTILE[0] in page.inner_text("#title")
    for text in HOSTILE:
        page.fill("#note", text)
        page.click("#add")
        page.wait_for_timeout(50)
    page.wait_for_selector("li.spot")
    ready: dict[str, Callable[[], object]] = {
        "": lambda: page.wait_for_selector("text=onerror"),
        "part": lambda: page.wait_for_selector("#music svg g.note"),
        "sheet": lambda: page.wait_for_selector("img.page"),
        "play": lambda: page.wait_for_selector("#go:not([disabled])"),
        "take": lambda: page.wait_for_selector("#takes > li"),
        "section": lambda: page.wait_for_selector("#players input"),
        "tonight": lambda: page.wait_for_selector("#title:not(:text('…'))"),
    }
    for screen, shows in ready.items():
        page.goto(f"{shown.origin}/{screen}?score={score}&part=1&at=5")
        shows()
        assert page.evaluate("window.hurt === undefined"), screen
        assert page.evaluate("document.querySelectorAll('main script, main iframe').length") == 0
    (shown.folder / poisoned).unlink()
    (shown.folder / "takes" / "poisoned.json").unlink()
    book = shown.folder / "book.toml"
    version = page.evaluate("fetch('/api/list').then((a) => a.json())")
    index = next(p["index"] for p in version["parts"] if p["file"] == poisoned)
    for _ in version["parts"][index]["spots"]:
        page.evaluate(
            """async (part) => { const { version } = await (await fetch('/api/list')).json();
              const body = JSON.stringify({version, part, spot: 0});
              await fetch('/api/list/take', {method: 'POST', body}); }""",
            index,
        )
    assert read_book(book).parts[index].spots == ()


def test_pages_from_elsewhere_cannot_post_to_it(browser: Browser, shown: Standing) -> None:
    """Another site, in the browser that is let in."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(shown.address)  # as the player does, so that the cookie is the very one
    page.route(
        "http://evil.example/",
        lambda route: route.fulfill(body="<p>evil", content_type="text/html"),
    )
    page.goto("http://evil.example/")
    before = sorted(path.name for path in shown.folder.iterdir())
    answer = page.evaluate(
        """async (to) => { try { await fetch(`${to}/api/scores?name=evil.musicxml`,
          {method: 'POST', body: 'x', mode: 'no-cors', credentials: 'include'}); } catch {}
          try { return (await fetch(`${to}/api/shelf`, {credentials: 'include'})).status; }
          catch { return 'refused'; } }""",
        shown.origin,
    )
    assert answer == "refused"
    assert sorted(path.name for path in shown.folder.iterdir()) == before
    context.close()
