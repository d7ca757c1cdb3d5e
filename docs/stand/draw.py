"""Pictures of the screens: six of them beside this file, or all at three sizes.

    python docs/stand/draw.py               the six of the documentation
    python docs/stand/draw.py FOLDER        every screen at 768, 1024 and 1280 pixels, into FOLDER

Needs Chromium and the packages of the tests.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any, Final

ROOT: Final = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.stand.standing import Standing, chromium, standing  # noqa: E402

PLACE: Final = "33"
SCREENS: Final = {
    "shelf": "li >> text=Clarinet 1",
    "part": "#list li.spot",
    "sheet": "img.page",
    "play": "#go:not([disabled])",
    "take": "#go:not([disabled])",
    "section": "#pages img",
    "tonight": "#ready img",
}
SIZES: Final = ((768, 1024), (1024, 768), (1280, 900))
DOCUMENTED: Final = ("shelf", "part", "sheet", "play", "section", "tonight")


def shown(page: Any, stand: Standing, screen: str) -> None:  # noqa: ANN401 - playwright's own
    """Bring a screen up, with something on it."""
    page.goto(stand.origin if screen == "shelf" else stand.at(screen, PLACE))
    if screen == "section":
        page.wait_for_selector("#players input")
        page.click("#show")
    if screen == "tonight":
        page.fill("#meeting", "2099-03-01")
        page.dispatch_event("#meeting", "change")
    page.wait_for_selector(SCREENS[screen], timeout=60_000)
    page.wait_for_timeout(1200)


def _made(folder: Path) -> Path:
    folder.mkdir()
    return folder


def main(folder: Path | None) -> None:
    """Draw."""
    with (
        tempfile.TemporaryDirectory() as place,
        standing(_made(Path(place) / "spring")) as stand,
        chromium() as browser,
    ):
        for width, height in SIZES if folder else SIZES[-1:]:
            page = browser.new_page(viewport={"width": width, "height": height})
            page.goto(stand.address)
            page.goto(stand.at("part", PLACE))
            page.wait_for_selector("#card.chosen", timeout=60_000)
            if not page.locator("li.spot").count():
                page.click("#add")
                page.wait_for_selector("li.spot")
            for screen in SCREENS if folder else DOCUMENTED:
                shown(page, stand, screen)
                name = f"{screen}-{width}.png" if folder else f"{screen}.png"
                page.screenshot(path=(folder or Path(__file__).parent) / name)
            page.close()


if __name__ == "__main__":
    named = Path(sys.argv[1]) if len(sys.argv) > 1 else None
    if named is not None:
        named.mkdir(parents=True, exist_ok=True)
    main(named)
