"""``drills sheet`` as a player runs it: the real program, the real LilyPond."""

from __future__ import annotations

import json
from fractions import Fraction
from io import BytesIO

import mido
import pikepdf
import pytest

from tests.cli.music import Player, pages_of, score

SHORT = ("--sizes", "2", "--rhythm", "even")
"""Few enough drills for one page, whatever the layout."""


def test_a_place_becomes_a_pdf_named_after_part_and_place(player: Player) -> None:
    done = player.run("sheet", "march.musicxml", "--at", "A:2", *SHORT)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "Clarinet-2-A.2.pdf (1 page)\n"
    assert player.files() == ["Clarinet-2-A.2.pdf", "march.musicxml"]
    assert player.left_behind() == []
    with pikepdf.open(player.folder / "Clarinet-2-A.2.pdf") as pdf:
        assert len(pdf.pages) == 1
        assert pdf.docinfo["/Title"] == "Harbour March"
        assert "Clarinet 2" in str(pdf.docinfo["/Subject"])


def test_every_format_in_one_call(player: Player) -> None:
    done = player.run(
        *("sheet", "march.musicxml", "--at", "1", "-o", "page.pdf", *SHORT),
        *("--also", "musicxml,midi", "--also", "ly", "--also", "png", "--also", "svg"),
        *("--midi-tempo", "half=30"),
    )
    assert (done.returncode, done.stderr) == (0, "")
    made = ["page.ly", "page.mid", "page.musicxml", "page.pdf", "page.png", "page.svg"]
    assert player.files() == ["march.musicxml", *made]
    marks = {(player.folder / name).read_bytes().count(b"drills-made-from:") for name in made}
    assert marks == {1}
    midi = mido.MidiFile(file=BytesIO((player.folder / "page.mid").read_bytes()))
    tempos = [message.tempo for message in midi if message.type == "set_tempo"]
    assert set(tempos) == {1_000_000}  # half = 30 is quarter = 60: a second, 1,000,000 us


def test_several_places_make_one_pdf(player: Player) -> None:
    done = player.run("sheet", "march.musicxml", "--at", "1,2@3-3@1", "--at", "1", *SHORT)
    assert done.stdout == "Clarinet-2-1+2-beat-3-to-3-beat-1.pdf (2 pages)\n"
    with (
        pikepdf.open(player.folder / "Clarinet-2-1+2-beat-3-to-3-beat-1.pdf") as pdf,
        pdf.open_outline() as tree,
    ):
        assert [item.title.split(" · ")[2] for item in tree.root] == [
            "Bar 1 to beat 1 of bar 2",
            "Beat 3 of bar 2, the first bar of A, to beat 1 of bar 3",
        ]


def test_marks_in_the_score_need_no_place(player: Player) -> None:
    player.write("marked.musicxml", score(drill_in=3))
    done = player.run("sheet", "marked.musicxml", "-o", "x.ly")
    assert (done.returncode, done.stdout) == (0, "x.ly\n")
    assert "Bar 3" in (player.folder / "x.ly").read_text(encoding="utf-8")


def test_data_on_standard_output_writes_no_file(player: Player) -> None:
    done = player.run("sheet", "march.musicxml", "--at", "1", "--json")
    assert (done.returncode, done.stderr) == (0, "")
    assert player.files() == ["march.musicxml"]
    data = json.loads(done.stdout)
    assert "Bar 1" in done.stdout
    assert data


def test_data_and_a_file(player: Player) -> None:
    done = player.run("sheet", "march.musicxml", "--at", "1", "--json", "--also", "midi")
    assert json.loads(done.stdout)
    assert player.files() == ["Clarinet-2-1.mid", "march.musicxml"]


def test_the_same_input_gives_the_same_bytes(player: Player) -> None:
    every = (*SHORT, "--also", "musicxml,midi,ly,png,svg")
    player.cold("sheet", "march.musicxml", "--at", "1", "-o", "a.pdf", *every)
    player.cold("sheet", "march.musicxml", "--at", "1", "-o", "b.pdf", *every)
    for ending in ("pdf", "musicxml", "mid", "ly", "png", "svg"):
        first, second = (player.folder / f"{name}.{ending}" for name in "ab")
        assert first.read_bytes() == second.read_bytes(), ending


def test_pictures_of_several_pages_are_numbered(player: Player) -> None:
    done = player.run("sheet", "march.musicxml", "--at", "1", "--at", "2", "-o", "x.svg", *SHORT)
    assert done.stdout == "x-1.svg (2 pages)\nx-2.svg\n"


def test_choices_reach_the_sheet(player: Player) -> None:
    done = player.run(
        *("sheet", "march.musicxml", "--at", "1", "--json", "--sizes", "3", "--rhythm", "swung"),
        *("--tempo", "half=60", "--start", "20", "--rungs", "4"),
    )
    text = done.stdout
    assert "swung" in text
    assert "dotted" not in text
    rungs = json.loads(text)["sheets"][0]["ladder"]["rungs"]
    assert [Fraction(rung) for rung in rungs][-1] == 240  # half = 60 in eighths, from 40


def test_reruns_replace_their_own_and_nothing_else(player: Player) -> None:
    command = ("sheet", "march.musicxml", "--at", "1", "-o", "page.ly")
    assert player.run(*command).returncode == 0
    first = (player.folder / "page.ly").read_bytes()
    assert player.run(*command, "--student").returncode == 0
    assert (player.folder / "page.ly").read_bytes() != first
    other = player.run("sheet", "march.musicxml", "--at", "2", "-o", "page.ly")
    assert other.returncode == 7
    assert "page.ly is there already and was not made from this" in other.stderr
    forced = player.run("sheet", "march.musicxml", "--at", "2", "-o", "page.ly", "--force")
    assert forced.returncode == 0


def test_the_same_place_of_another_piece_is_refused(player: Player) -> None:
    """Two pieces want "Clarinet-2-1.ly"; two of them are called march.musicxml, too."""
    (player.folder / "old").mkdir()
    player.write("old/march.musicxml", score("Old March"))
    player.write("waltz.musicxml", score("Waltz"))
    made = ("--at", "1", "--json", "--also", "ly")
    assert player.run("sheet", "march.musicxml", *made).returncode == 0
    assert "Clarinet-2-1.ly" in player.files()
    for other in ("old/march.musicxml", "waltz.musicxml"):
        done = player.run("sheet", other, *made)
        assert done.returncode == 7
        assert done.stderr == (
            "drills: Clarinet-2-1.ly is there already and was not made from this; choose another "
            "name (with -o), or replace it with --force\n"
        )


def test_one_file_of_several_that_is_not_ours_stops_all(player: Player) -> None:
    player.write("page.mid", "my own recording")
    done = player.run("sheet", "march.musicxml", "--at", "1", "-o", "page.ly", "--also", "midi")
    assert done.returncode == 7
    assert player.files() == ["march.musicxml", "page.mid"]


# Titles as a stranger may write them: LilyPond syntax, Scheme, and a comment's end.
HOSTILE = (
    '"} #(system "touch taken") \\include "/etc/passwd" %{',
    '#(system "touch taken")\\n\\header { title = "x" }',
    '$(ly:gulp-file "/etc/passwd") `touch taken` $(touch taken)',
    "*/ --> ]]> <%= 1 %> <% include 'x' %> {{ x }} \\\\",
)


@pytest.mark.parametrize("title", HOSTILE)
def test_a_title_full_of_syntax_is_only_printed(player: Player, title: str) -> None:
    player.write("march.musicxml", score(title, parts=(title,)))
    done = player.run(
        "sheet", "march.musicxml", "--at", "1", "-o", "x.pdf", "--also", "ly,svg", *SHORT
    )
    assert done.returncode == 0
    assert "is no instrument that is known" in done.stderr
    assert done.stderr.count("\n") == 1
    assert "taken" not in player.files()
    with pikepdf.open(player.folder / "x.pdf") as pdf:
        assert str(pdf.docinfo["/Title"]) == title
    page = "".join(pages_of((player.folder / "x.pdf").read_bytes()))
    assert "root:" not in page
    assert "system" in page or "gulp" in page or "include" in page  # the title itself
