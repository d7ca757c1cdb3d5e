"""``drills show`` as a player runs it."""

from __future__ import annotations

import json

from tests.cli.music import Player, score

SHOWN = """\
suite.musicxml
Suite

 2 Clarinet 2
   instrument Clarinet in B flat
   sounds     a major second lower
   bars       4, numbered 1 to 4
   notes      48, written C4 to A6 (C4 is middle C)
   key        no sharps or flats
   time       4/4
   tempo      quarter = 120 at bar 1
   marks      A at bar 2
"""


def test_one_part_with_its_number_in_the_score(player: Player) -> None:
    player.write("suite.musicxml", score("Suite", ("Clarinet 1", "Clarinet 2"), drill_in=3))
    done = player.run("show", "suite.musicxml", "--part", "clarinet 2")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == SHOWN


TABLE = """\
suite.musicxml
Suite

  1 Clarinet 1                 Clarinet in B flat                 48 notes
  2 Clarinet 2                 Clarinet in B flat                 48 notes

   bars       4, numbered 1 to 4
   time       4/4
   tempo      quarter = 120 at bar 1
   marks      A at bar 2
   marked     3 in 1

More about one of them: --part 1, or --part with a name
"""


def test_a_score_of_several_is_a_short_table_first(player: Player) -> None:
    player.write("suite.musicxml", score("Suite", ("Clarinet 1", "Clarinet 2"), drill_in=3))
    done = player.run("show", "suite.musicxml")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == TABLE


def test_a_bar_of_the_second_movement_is_named_as_it_is_reached(player: Player) -> None:
    one = score("Suite", ("Clarinet",), drill_in=3)
    bars = one[one.index("<measure") : one.index("</part>")]
    player.write("suite.musicxml", one.replace("</part>", f"{bars}</part>"))
    done = player.run("show", "suite.musicxml")
    assert "marks      A at bar 2#1, A at bar 2#2\n" in done.stdout
    assert "numbered 1 to 4#2\n" in done.stdout
    wrong = player.run("sheet", "suite.musicxml", "--at", "3#2@9")
    assert "bar 3#2 has no beat 9" in wrong.stderr


def test_the_same_as_data(player: Player) -> None:
    done = player.run("show", "march.musicxml", "--json")
    (part,) = json.loads(done.stdout)
    assert part["name"] == "Clarinet 2"
    assert len(part["bars"]) == 4


def test_data_is_utf_8_whatever_the_terminal_speaks(player: Player) -> None:
    player.write("march.musicxml", score("Häfen \U0001d12a"))
    player.environment_more["PYTHONIOENCODING"] = "ascii"
    assert "Häfen \U0001d12a" in json.dumps(
        json.loads(player.cold("show", "march.musicxml", "--json").stdout), ensure_ascii=False
    )
    shown = player.cold("show", "march.musicxml")
    assert shown.returncode == 0
    assert "H\\xe4fen" in shown.stdout


def test_joiners_in_a_name_reach_data_and_terminal_and_controls_only_data(player: Player) -> None:
    """Persian parts letters with a joiner's opposite; a turned direction is no letter."""
    name = "\N{ARABIC LETTER MEEM}\N{ZERO WIDTH NON-JOINER}\N{ARABIC LETTER REH}\u200d\u202e\u0085"
    player.write("march.musicxml", score(name))
    as_data = player.run("show", "march.musicxml", "--json").stdout
    (part,) = json.loads(as_data)
    assert part["title"] == name.replace("\u0085", "").strip()
    assert "\u202e" not in as_data
    told = player.run("show", "march.musicxml").stdout
    assert "\N{ARABIC LETTER MEEM}\N{ZERO WIDTH NON-JOINER}\N{ARABIC LETTER REH}\u200d?" in told
