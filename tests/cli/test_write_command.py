"""``drills write`` and ``--notes``: bars typed by hand, from the command line to a file."""

from __future__ import annotations

import io
import sys

import pytest
from PIL import Image

from drills.cli.typing_in import typed_at_terminal
from drills.output.lilypond.document import sheets_text
from drills.output.lilypond.page import Page
from drills.places.finding import find_span
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_part
from drills.reading.source import Typed
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from drills.sheets.sheet import bars_alone
from tests.cli.music import Player

BAR = "4/4 F major: 16ths c5 bb4 c5 e5 c5 bb4 a4 g4 half f4"


def test_written_bars_are_a_score(player: Player) -> None:
    done = player.run("write", "bar.musicxml", "--notes", BAR, "--instrument", "clarinet")
    assert done.returncode == 0, done.stderr
    assert "bar 1: 4/4 F major: 16th c5 bb4 c5 e5 c5 bb4 a4 g4 half f4" in done.stdout
    part = read_part(open_score(player.folder / "bar.musicxml"))
    assert part.instrument.name == "Clarinet in B flat"
    assert len(part.bars[0].voices[0].events) == 9


@pytest.mark.parametrize(
    "words",
    [
        ("spots", "--notes", BAR, "--instrument", "clarinet", "--tempo", "120"),
        ("show", "--notes", BAR),
        ("sheet", "--notes", BAR, "--json"),
        ("section", "--notes", BAR, "--notes", BAR, "--instrument", "flute", "--json"),
        ("click", "--notes", BAR, "--rungs", "1", "--json"),
    ],
)
def test_notes_take_the_place_of_a_score(player: Player, words: tuple[str, ...]) -> None:
    done = player.run(*words)
    assert done.returncode == 0, done.stderr
    assert done.stdout


def test_what_is_typed_wrongly_is_pointed_at(player: Player) -> None:
    both = player.run("sheet", "march.musicxml", "--notes", BAR)
    assert both.returncode == 2
    assert "--notes takes the place of a score" in both.stderr
    wrong = player.run("sheet", "--notes", "4/4 c5 h5")
    assert wrong.returncode == 2
    assert 'bar 1, word 3, "h5"' in wrong.stderr


def test_at_a_terminal_it_asks_bar_by_bar(player: Player) -> None:
    told, seen = player.at_a_terminal(
        "2/4: c5 d5\ne5 f5\n\n", "write", "asked.musicxml", "--instrument", "flute"
    )
    assert "Bar 2:" in seen
    assert "asked.musicxml" in told
    assert len(read_part(open_score(player.folder / "asked.musicxml")).bars) == 2


def test_at_a_terminal_a_sheet_of_nothing_asks_for_its_bars(player: Player) -> None:
    told, seen = player.at_a_terminal("flute\n2/4: c5 d5\n\n", "show")
    assert "Instrument (Enter for none):" in seen
    assert "bar 1: 2/4 quarter c5 d5" in seen
    assert "1 Flute" in told
    refused = player.run("show")
    assert refused.returncode == 2
    assert "name a score, or type the bar" in refused.stderr


def test_bars_are_asked_for_one_by_one(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = "theremin\nflute\n2/4: c5 d5\nc5 zz\ne5 f5\n\n"
    monkeypatch.setattr(sys, "stdin", io.StringIO(answers))
    typed = typed_at_terminal(None, Limits())
    assert typed is not None
    assert (typed.text, typed.instrument) == ("2/4: c5 d5\ne5 f5", "Flute")
    told = capsys.readouterr().err
    assert "'theremin' is no instrument" in told
    assert "bar 1: 2/4 quarter c5 d5" in told
    assert 'bar 2, word 2, "zz"' in told


def test_the_picture_is_of_the_bars_and_not_of_a_page(player: Player) -> None:
    words = ("--notes", BAR, "--instrument", "clarinet", "--also", "png", "--quiet")
    done = player.run("write", "bar.musicxml", *words)
    assert done.returncode == 0, done.stderr
    with Image.open(player.folder / "bar.png") as picture:
        assert picture.height < picture.width / 2


def test_what_is_drawn_is_the_printed_spot_alone() -> None:
    """Clef, key, metre, beams, marks and bar lines as on a sheet, and no drill."""
    part = read_part(
        open_score(Typed("2/4 Bb major: [E] eighths (c5 d5.) eb5> f5 | half f5", "horn"))
    )
    sheet = bars_alone(make_sheet(part, find_span(part, "1-2"), Choices()))
    text = sheets_text([sheet], Page(), "")
    for sign in (
        r'\clef "treble" \key bes \major \time 2/4',
        r"c''8[\=1( d''8\=1)-. ees''8-> f''8] |",
        r"\box " + '"E"',
        " |\n",
    ):
        assert sign in text, sign
    assert "assumed" not in text
    assert r"\grid #" not in text.split(r"\bookpart")[1]
