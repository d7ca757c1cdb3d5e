"""No serious fault of accessibility on any screen, by axe-core (Deque Systems, MPL 2.0).

It is fetched by ``.ci/run`` (npm) and only ever runs here.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.stand.standing import ROOT, Standing

if TYPE_CHECKING:  # an extra of the tests
    from playwright.sync_api import Page

AXE = Path(os.environ.get("AXE", ROOT / "node_modules/axe-core/axe.min.js"))
SHOWN = {
    "": "li.scores, .scores a",
    "part": "#card.chosen",
    "sheet": "img.page",
    "play": "#go:not([disabled])",
    "take": "#go:not([disabled])",
    "section": "#players input",
    "tonight": "#title:not(:text('…'))",
}

RUN = """(light) => {
  const button = document.getElementById("light");
  if ((button.getAttribute("aria-pressed") === "true") !== (light === "pit")) button.click();
  return axe.run({ resultTypes: ["violations"] });
}"""


@pytest.mark.skipif(not AXE.is_file(), reason="no axe-core: npm install --no-save axe-core@4")
def test_no_serious_fault(page: Page, shown: Standing) -> None:
    """Each screen once, on paper and by the pit light, which changes its colours only."""
    for screen, ready in SHOWN.items():
        page.goto(shown.at(screen) if screen else shown.origin)
        page.wait_for_selector(ready)
        page.evaluate(AXE.read_text("utf-8"))
        for light in ("paper", "pit"):
            found = page.evaluate(RUN, light)
            serious = [
                (one["id"], one["nodes"][0]["html"][:200], one["nodes"][0]["failureSummary"][:300])
                for one in found["violations"]
                if one["impact"] in ("serious", "critical")
            ]
            assert serious == [], (screen, light)
