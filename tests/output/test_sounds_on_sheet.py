"""Which sound file belongs to which heading: counted and named as on the page."""

from __future__ import annotations

import pytest

from drills.jobs.request import Settings
from drills.jobs.sheets import build_sheets
from drills.output.lilypond.sounds import asides, sound_lines
from drills.resources import scores_folder
from drills.sheets.choices import Choices
from drills.sheets.sheet import Sheet
from drills.sound.practice.headings import headings_of

EACH = ("Oboe-E.3-1-excerpt.wav", "Oboe-E.3-2-two-notes-at-a-time.wav", "", "Oboe-E.3-4-even.wav")


def test_a_whole_name_once_and_then_what_is_different() -> None:
    assert sound_lines(EACH) == ("Sound: Oboe-E.3-1-excerpt.wav",)
    assert asides(EACH)[1:] == ("…2-two-notes-at-a-time.wav", "", "…4-even.wav")
    assert sound_lines(("", *EACH[1:])) == ("Sound: Oboe-E.3-…",)
    assert sound_lines(("mine.wav",)) == ("Sound: mine.wav",)
    assert sound_lines(()) == sound_lines(("", "")) == ()


def test_numbers_that_begin_alike_stay_whole() -> None:
    assert asides(("", "a-10-even.wav", "a-11-dotted.wav"))[1:] == (
        "…10-even.wav",
        "…11-dotted.wav",
    )


@pytest.mark.parametrize(
    ("score", "part", "at", "choices"),
    [
        ("march", "2", "33", Choices()),
        ("march", "3", "D:1-D:3", Choices(rhythms=("all",))),
        ("swing", "2", "8-11", Choices(cell_rhythms=("dotted",))),
        ("air", "1", "5-8", Choices(sizes=())),
    ],
)
def test_headings_are_those_of_the_page(score: str, part: str, at: str, choices: Choices) -> None:
    """The spot, then every block with music of its own; a line is heard run by run."""
    headings = headings_of(sheet_of(score, part, at, choices))
    titles = [
        block.title
        for block in sheet_of(score, part, at, choices).blocks
        if block.printed
        for _ in ((None,) if block.drills_in_one_file else block.drills)
    ]
    assert [heading.number for heading in headings] == list(range(1, len(titles) + 2))
    for title, heading in zip(titles, headings[1:], strict=True):
        assert heading.words.partition(",")[0] in title


def sheet_of(score: str, part: str, at: str, choices: Choices) -> Sheet:
    (sheet,) = build_sheets(
        scores_folder() / f"{score}.musicxml", [at], part, Settings(choices)
    ).sheets
    return sheet
