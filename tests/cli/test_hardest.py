"""``drills sheet --hardest``: from a part to pages without naming a place."""

from __future__ import annotations

import json

from tests.cli.music import Player, score


def asked(player: Player, *options: str) -> list[str]:
    """The places of the sheets, in order; no page is printed."""
    done = player.run("sheet", "march.musicxml", "--json", *options)
    assert done.returncode == 0, done.stderr
    return [sheet["spot"]["asked"] for sheet in json.loads(done.stdout)["sheets"]]


def test_the_hardest_spots_are_those_of_the_ranking(player: Player) -> None:
    ranking = json.loads(player.run("spots", "march.musicxml", "--json").stdout)
    assert asked(player, "--hardest", "2") == [spot["heart"] for spot in ranking["spots"][:2]]


def test_what_the_player_marks_comes_first_and_is_never_hidden(player: Player) -> None:
    """The three bars are one passage: what is marked in it is worked at by the player."""
    assert asked(player, "--hardest", "5", "--at", "2@4") == ["2@4"]
    assert asked(player, "--hardest", "5", "--at", "3@4,2@2") == ["3@4", "2@2"]


def test_what_the_score_marks_comes_first_too(player: Player) -> None:
    player.write("march.musicxml", score(drill_in=2))
    assert asked(player, "--hardest", "3")[0] == "2"


def test_a_sheet_says_why_it_was_proposed(player: Player) -> None:
    done = player.run("sheet", "march.musicxml", "--json", "--hardest", "1")
    (sheet,) = json.loads(done.stdout)["sheets"]
    assert "notes across the break in 6.0 s" in sheet["spot"]["note"]
    assert any(move["hard"] for move in sheet["spot"]["moves"])


def test_an_easy_part(player: Player) -> None:
    player.write("mine.toml", "[limits]\neasy = 999\n")
    done = player.run("sheet", "march.musicxml", "--hardest", "3", "--weights", "mine.toml")
    assert done.returncode == 4
    assert "nothing in Clarinet 2 is hard at its tempo" in done.stderr
