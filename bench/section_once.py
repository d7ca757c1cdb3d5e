"""The text of a whole section in one piece, and how long its score takes to read.

    python bench/section_once.py section.musicxml 80-87 text.ly

Writes all players' sheets and the section's page, each once, as one LilyPond text, and
prints the seconds that reading the score took in this fresh process.
"""

from __future__ import annotations

import gc
import sys
from pathlib import Path
from time import perf_counter

from drills.output.lilypond import Page
from drills.output.lilypond.document import leaves_text
from drills.reading.musicxml import open_score, read_all
from drills.section.making import make_section
from drills.section.players import PlayerPage
from drills.sheets.choices import Choices


def main() -> None:
    """Read, make, write; tidying up as seldom as the program itself does."""
    gc.set_threshold(100_000)
    score, place, target = sys.argv[1:]
    began = perf_counter()
    parts = read_all(open_score(Path(score)))
    reading = perf_counter() - began
    pages: list[PlayerPage] = []
    section = make_section(parts, range(len(parts)), place, Choices(), ready=pages.append)
    text = leaves_text([*pages, section], Page(), "measured")
    Path(target).write_text(text, encoding="utf-8")
    print(reading)


if __name__ == "__main__":
    main()
