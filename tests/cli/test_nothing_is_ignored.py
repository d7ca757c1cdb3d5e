"""What a player asks for happens, or the answer says why it does not: nothing is left out silently.

The music is four bars of sixteenths for two clarinets, at quarter = 120.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from drills.cli import run
from tests.cli.music import score


@pytest.fixture(autouse=True)
def _march(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    text = score(parts=("Clarinet 1", "Clarinet 2"), bars=5)
    (tmp_path / "march.musicxml").write_text(text, encoding="utf-8")


def answer(capsys: pytest.CaptureFixture[str], *words: str, code: int) -> str:
    """What the program says on standard error, in one line."""
    assert run(words) == code
    told = capsys.readouterr()
    assert told.out == ""
    (line,) = told.err.splitlines()
    return line


@pytest.mark.parametrize("command", [("sheet", "--part", "2"), ("section",)])
def test_a_chord_outside_the_spot_is_an_error_that_names_the_spot(
    capsys: pytest.CaptureFixture[str], command: tuple[str, ...]
) -> None:
    name, *more = command
    words = (name, "march.musicxml", *more, "--at", "2")
    line = answer(capsys, *words, "--chord", "4=C7", "--json", code=4)
    assert "the chord that is said for 4 lies outside the spot, which is bar 2" in line
    for inside in ("2=C7", "2@3=C7", "3@1=C7", "1-2=C7"):  # 3@1 is the landing note's
        assert run([*words, "--chord", inside, "--json"]) == 0, inside


def test_a_chord_in_one_of_several_spots_is_none_outside(
    capsys: pytest.CaptureFixture[str],
) -> None:
    words = ("sheet", "march.musicxml", "--part", "2", "--at", "1,4")
    assert run([*words, "--chord", "4=C7", "--json"]) == 0
    capsys.readouterr()
    line = answer(capsys, *words, "--chord", "3=C7", "--json", code=4)
    assert "bar 1; bar 4" in line


CLICK = ("click", "march.musicxml", "--part", "2", "--at", "2")


def test_no_click_alone_is_refused_with_a_word(capsys: pytest.CaptureFixture[str]) -> None:
    line = answer(capsys, *CLICK, "--click", "none", code=2)
    assert "with --click none alone only the count-in would sound" in line
    assert "--groove" in line
    assert "--with" in line
    for more in (("--groove", "swing"), ("--with", "line"), ("--click", "beats")):
        assert run([*CLICK, "--click", "none", *more, "--json"]) == 0


def test_one_rung_has_no_slower_start_and_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    line = answer(
        capsys, *CLICK, "--rungs", "1", "--start", "160", "--tempo", "160", "--json", code=2
    )
    assert "one rung is the performing tempo alone" in line
    assert "leave out --start" in line


def stages(capsys: pytest.CaptureFixture[str], *more: str) -> list[dict[str, Any]]:
    assert run([*CLICK, *more, "--json"]) == 0
    (file,) = json.loads(capsys.readouterr().out)["spots"][0]["files"]
    return list(file["stages"])


def sounding(capsys: pytest.CaptureFixture[str], *more: str) -> list[tuple[int, str, int]]:
    """For each stage its tempo, what clicks, and how many times through."""
    return [
        (int(stage["tempo"]["number"]), stage["click"]["words"], len(stage["times"]))
        for stage in stages(capsys, *more)
    ]


BEATS = "clicks on every beat"
TWO_AND_FOUR = "clicks on beats 2 and 4 only"
FOUR = "clicks on beat 4 only"
THREE = ("--click", "beats", "--click", "2,4", "--click", "4")


def test_two_clicks_on_one_rung_both_sound(capsys: pytest.CaptureFixture[str]) -> None:
    found = sounding(capsys, "--click", "beats", "--click", "4", "--rungs", "1", "--times", "3")
    assert found == [(120, BEATS, 3), (120, FOUR, 3)]


def test_three_clicks_on_two_rungs_all_sound(capsys: pytest.CaptureFixture[str]) -> None:
    found = sounding(capsys, *THREE, "--rungs", "2", "--start", "60")
    assert found == [(60, BEATS, 4), (120, TWO_AND_FOUR, 4), (120, FOUR, 4)]


def test_the_last_click_stays_on_the_rungs_that_are_left(
    capsys: pytest.CaptureFixture[str],
) -> None:
    found = sounding(capsys, *THREE, "--rungs", "4")
    assert [words for _, words, _ in found] == [BEATS, TWO_AND_FOUR, FOUR, FOUR]


def test_a_fading_click_fades_to_its_end_on_few_rungs(capsys: pytest.CaptureFixture[str]) -> None:
    """Parts of parts of the beat, parts of it, beats, bars: four steps, however many rungs."""
    few = sounding(capsys, "--click", "fading", "--rungs", "2", "--start", "60")
    many = sounding(capsys, "--click", "fading", "--rungs", "4", "--start", "60")
    assert [words for _, words, _ in few] == [words for _, words, _ in many]
    assert [tempo for tempo, _, _ in few] == [60, 120, 120, 120]


def test_clicks_that_are_left_over_sound_in_a_file_of_so_many_minutes_too(
    capsys: pytest.CaptureFixture[str],
) -> None:
    found = sounding(capsys, *THREE, "--rungs", "2", "--minutes", "2")
    assert [words for _, words, _ in found] == [BEATS, TWO_AND_FOUR, FOUR]


def test_the_cost_of_a_move_at_a_tempo(capsys: pytest.CaptureFixture[str]) -> None:
    """The cost in fingers, and at so many notes a minute the fingers a second."""
    words = ("spots", "--move", "D4 D5", "--instrument", "clarinet")
    assert run([*words, "--json"]) == 0
    (plain,) = json.loads(capsys.readouterr().out)["moves"]
    assert "effort" not in plain
    for tempo, notes in (("120", 120), ("eighth=240", 240)):
        assert run([*words, "--tempo", tempo, "--json"]) == 0
        (move,) = json.loads(capsys.readouterr().out)["moves"]
        assert move["effort"] == pytest.approx(plain["cost"] * notes / 60, abs=0.001)
    assert run([*words, "--tempo", "eighth=240"]) == 0
    told = capsys.readouterr().out
    assert "eighth = 240, a note to the beat" in told
    assert f"{plain['cost'] * 4:.1f} fingers a second" in told
