"""The loaded schema accepts and refuses what the MusicXML 4.0 schema does."""

from __future__ import annotations

import pytest

from tests.schema import complaints

DOCUMENT = """<score-partwise version="4.0">
  <work><opus xmlns:xlink="http://www.w3.org/1999/xlink" xlink:href="all.xml" {link}/></work>
  <part-list><score-part id="P1"><part-name>Oboe</part-name></score-part></part-list>
  <part id="P1"><measure number="1">
    <harmony><root><root-step>G</root-step></root><kind>{kind}</kind></harmony>
    <direction><direction-type><words xml:lang="{lang}">dolce</words></direction-type></direction>
    <note><rest measure="yes"/><duration>4</duration></note>
  </measure></part>
</score-partwise>"""
GOOD = {"link": 'xlink:show="new"', "kind": "dominant", "lang": "it"}


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({}, ""),
        ({"kind": "dominant-seventh"}, "kind"),
        ({"link": 'xlink:show="loud"'}, "show"),
        ({"link": 'xlink:nonsense="x"'}, "nonsense"),
        ({"lang": "?"}, "lang"),
    ],
)
def test_valid_and_invalid_documents(change: dict[str, str], word: str) -> None:
    """Type ``kind-value`` has no "dominant-seventh"; the stand-ins check their attributes."""
    found = complaints(DOCUMENT.format(**(GOOD | change)).encode())
    assert bool(found) == bool(word)
    assert all(word in line for line in found)
