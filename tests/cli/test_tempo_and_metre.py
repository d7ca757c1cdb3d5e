"""What a plain ``--tempo 120`` means where the metre changes: the same in every command."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from drills.cli import run

HEAD = (
    "<attributes><divisions>4</divisions><key><fifths>0</fifths></key>{time}"
    "<clef><sign>G</sign><line>2</line></clef></attributes>"
)
RELATION = (
    "<direction><direction-type><metronome><beat-unit>quarter</beat-unit>"
    "<beat-unit>{kind}</beat-unit>{dot}</metronome></direction-type></direction>"
)
NAMES = {"7/8": "eighth", "2/2": "half", "6/8": "dotted quarter", "3/8": "eighth"}
"""What a player counts in each metre."""
KEPT = {"7/8": 240, "2/2": 60, "6/8": 80, "3/8": 240}
"""120 quarters a minute, in beats of each metre."""


def time(text: str) -> str:
    beats, kind = text.split("/")
    return f"<time><beats>{beats}</beats><beat-type>{kind}</beat-type></time>"


def eighths(count: int, first: int) -> str:
    steps = ["CDEFGABC"[(first + n) % 7] for n in range(count)]
    return "".join(
        f"<note><pitch><step>{step}</step><octave>5</octave></pitch><duration>2</duration>"
        "<type>eighth</type></note>"
        for step in steps
    )


def bars(metre: str, mark: str) -> str:
    beats, kind = map(int, metre.split("/"))
    count = beats * 8 // kind
    inner = (
        HEAD.format(time=time("4/4")) + eighths(8, 0),
        eighths(8, 2),
        f"<attributes>{time(metre)}</attributes>{mark}{eighths(count, 1)}",
        eighths(count, 3),
    )
    return "".join(f'<measure number="{n}">{one}</measure>' for n, one in enumerate(inner, 1))


@pytest.fixture(name="music")
def _music(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def write(folder: Path, metre: str, mark: str = "") -> None:
    """Two bars of 4/4 and two of another metre, for two oboes."""
    names = "".join(
        f'<score-part id="P{n}"><part-name>Oboe {n}</part-name></score-part>' for n in (1, 2)
    )
    parts = "".join(f'<part id="P{n}">{bars(metre, mark)}</part>' for n in (1, 2))
    (folder / "round.musicxml").write_text(
        f'<score-partwise version="4.0"><part-list>{names}</part-list>{parts}</score-partwise>'
    )


def said(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[Any, str]:
    """The data that a command prints, and what it tells the player."""
    capsys.readouterr()
    assert run([words[0], "round.musicxml", *words[1:], "--json"]) == 0
    told = capsys.readouterr()
    return json.loads(told.out), told.err


def quarters(tempo: dict[str, str]) -> Fraction:
    return Fraction(tempo["number"]) * Fraction(tempo["beat"])


def heard(
    capsys: pytest.CaptureFixture[str], metre: str, *more: str
) -> tuple[dict[str, Fraction], set[str]]:
    """Quarters a minute in the last bar as each command has it for bars 2 to 4, and remarks."""
    place = ("--at", "2-4", *more)
    sheet, sheet_told = said(capsys, "sheet", "--part", "1", *place)
    click, click_told = said(capsys, "click", "--part", "1", "--rungs", "1", *place)
    section, section_told = said(capsys, "section", *place)
    spots, spots_told = said(capsys, "spots", "--part", "1", *more)
    steps = click["spots"][0]["files"][0]["tempos"]
    (last,) = {step["seconds_per_quarter"] for step in steps if step["time"] == metre}
    assert quarters(sheet["sheets"][0]["tempo"]) == quarters(section[0]["tempo"])
    ways = {
        "click": 60 / Fraction(last),
        "spots": quarters(spots["tempos"][-1]),
    }
    told = {
        line.partition("notes keep")[2]
        for text in (sheet_told, click_told, section_told, spots_told)
        for line in text.splitlines()
        if "notes keep their length" in line
    }
    everywhere = all(
        "notes keep their length" in text
        for text in (sheet_told, click_told, section_told, spots_told)
    )
    assert everywhere == bool(told), "every command tells, or none"
    return ways, told


@pytest.mark.parametrize("metre", NAMES)
def test_a_plain_number_goes_on_in_the_same_notes_and_both_readings_are_told(
    music: Path, capsys: pytest.CaptureFixture[str], metre: str
) -> None:
    write(music, metre)
    ways, told = heard(capsys, metre, "--tempo", "120")
    assert ways == {"click": 120, "spots": 120}
    (words,) = told
    assert f"{NAMES[metre]} = {KEPT[metre]} (" in words
    assert f"beat for beat it would be {NAMES[metre]} = 120" in words


@pytest.mark.parametrize("metre", NAMES)
def test_an_assumed_number_goes_on_in_the_same_notes(
    music: Path, capsys: pytest.CaptureFixture[str], metre: str
) -> None:
    write(music, metre)
    ways, told = heard(capsys, metre)
    assert ways == {"click": 96, "spots": 96}
    assert len(told) == 1


@pytest.mark.parametrize(
    ("metre", "kind", "dot", "expected"),
    [
        ("7/8", "eighth", "", 60),
        ("2/2", "half", "", 240),
        ("6/8", "quarter", "<beat-unit-dot/>", 180),
        ("3/8", "quarter", "<beat-unit-dot/>", 180),
    ],
)
def test_where_the_score_says_what_lasts_as_long_nothing_is_open(
    music: Path,
    capsys: pytest.CaptureFixture[str],
    metre: str,
    kind: str,
    dot: str,
    expected: int,
) -> None:
    """The new note, on the right, lasts as long as a quarter did (common practice)."""
    write(music, metre, RELATION.format(kind=kind, dot=dot))
    ways, told = heard(capsys, metre, "--tempo", "120")
    assert ways == {"click": expected, "spots": expected}
    assert not told


@pytest.mark.parametrize("metre", NAMES)
def test_the_beat_is_that_of_the_place_where_the_tempo_is_asked_for(
    music: Path, capsys: pytest.CaptureFixture[str], metre: str
) -> None:
    write(music, metre)
    sheet, told = said(capsys, "sheet", "--part", "1", "--at", "4", "--tempo", "120")
    tempo = sheet["sheets"][0]["tempo"]
    assert tempo["number"] == "120"
    assert quarters(tempo) == Fraction(120 * 120, KEPT[metre])
    assert "notes keep" not in told


def test_the_hardest_spots_are_printed_at_the_tempo_at_which_they_were_judged(
    music: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whichever is the hardest, its sheet goes at 120 quarters, as ``spots`` says."""
    write(music, "2/2")
    sheets, _ = said(capsys, "sheet", "--part", "1", "--hardest", "2", "--tempo", "200")
    assert {quarters(sheet["tempo"]) for sheet in sheets["sheets"]} == {200}
