"""A score that gives its tempo in words: asked for at a terminal, told anywhere else."""

from __future__ import annotations

import re

import pytest

from tests.cli.music import Player, score

SHEET = ("sheet", "air.musicxml", "--at", "1", "-o", "x.mid")
QUESTION = (
    'The score gives no tempo in numbers (it says "Slowly, with a long breath").\n'
    "Performing tempo, quarters a minute [63]: "
)
REMARK = (
    "drills: air.musicxml: the score gives no tempo in numbers (it says “Slowly, with a long "
    "breath”), so 63 quarters a minute are assumed; give --tempo for another\n"
)


@pytest.fixture(name="air")
def _air(player: Player) -> Player:
    player.write("air.musicxml", score(words="Slowly, with a long breath"))
    return player


def tempos(player: Player) -> set[str]:
    """Every tempo in the MIDI file, as the bytes of its event (Standard MIDI Files 1.0)."""
    content = (player.folder / "x.mid").read_bytes()
    return {found.hex() for found in re.findall(rb"\xff\x51\x03(...)", content, re.DOTALL)}


@pytest.mark.parametrize(
    ("typed", "tempo"),
    [
        ("60\n", "0f4240"),  # 1,000,000 microseconds a quarter
        ("half=30\n", "0f4240"),
        ("\n", "0e883d"),  # 63: 952,381
    ],
)
def test_at_a_terminal_the_tempo_is_asked_for(air: Player, typed: str, tempo: str) -> None:
    told, seen = air.at_a_terminal(typed, *SHEET)
    assert told == "x.mid\n"
    assert QUESTION in seen
    assert seen.count("[63]") == 1
    assert "assumed" not in seen
    assert tempos(air) == {tempo}


def test_what_is_no_tempo_is_asked_for_again(air: Player) -> None:
    _, seen = air.at_a_terminal("quick\n120\n", *SHEET)
    assert seen.count("[63]") == 2
    assert "drills: 'quick' is not a metronome number; write one from 5 to 1000" in seen
    assert tempos(air) == {"07a120"}  # 500,000


def test_it_is_asked_once_for_all_spots(air: Player) -> None:
    _, seen = air.at_a_terminal("60\n", *SHEET, "--at", "2", "--at", "3@2")
    assert seen.count("Performing tempo") == 1
    assert tempos(air) == {"0f4240"}


def test_an_end_of_input_leaves_the_tempo_assumed(air: Player) -> None:
    _, seen = air.at_a_terminal("\x04", *SHEET)
    assert REMARK in seen
    assert tempos(air) == {"0e883d"}


@pytest.mark.parametrize("options", [("--tempo", "60"), ("--quiet",)])
def test_it_is_not_asked_for_in_vain(air: Player, options: tuple[str, ...]) -> None:
    told, seen = air.at_a_terminal("", *SHEET, *options)
    assert "tempo" not in seen
    assert told == ("" if "--quiet" in options else "x.mid\n")


def test_data_are_not_kept_waiting(air: Player) -> None:
    told, seen = air.at_a_terminal("", "sheet", "air.musicxml", "--at", "1", "--json")
    assert told.startswith("{")
    assert "Performing tempo" not in seen
    assert REMARK in seen


def test_a_score_with_a_number_is_not_asked_about(player: Player) -> None:
    _, seen = player.at_a_terminal("", "sheet", "march.musicxml", "--at", "1", "-o", "x.mid")
    assert "tempo" not in seen


def test_without_a_terminal_the_assumed_tempo_is_told(air: Player) -> None:
    done = air.run(*SHEET)
    assert (done.returncode, done.stdout, done.stderr) == (0, "x.mid\n", REMARK)
    assert tempos(air) == {"0e883d"}
    assert air.run(*SHEET, "--quiet").stderr == ""


def test_a_score_without_a_word(player: Player) -> None:
    player.write("air.musicxml", score(tempo=False))
    done = player.run(*SHEET)
    assert done.stderr == (
        "drills: air.musicxml: the score gives no tempo in numbers, so 96 quarters a minute are "
        "assumed; give --tempo for another\n"
    )


def test_in_a_book_the_entry_is_named(air: Player) -> None:
    entry = '[[part]]\nfile = "air.musicxml"\n[[part.spot]]\nat = "1"\n'
    air.write("b.toml", entry)
    done = air.run("book", "b.toml", "-o", "x.mid")
    assert done.stderr == REMARK.replace("give --tempo", "write tempo = 120 under the part")
    air.write("b.toml", entry.replace("[[part.spot]]", "tempo = 60\n[[part.spot]]"))
    assert air.run("book", "b.toml", "-o", "x.mid").stderr == ""
    assert tempos(air) == {"0f4240"}
