"""``--for``: sheets and books for another instrument, from the command line."""

from __future__ import annotations

import json

import pytest

from tests.cli.music import Player, pages_of, score

BOOK = '[[part]]\nfile = "march.musicxml"\n{more}[[part.spot]]\nat = "A"\n'


def test_a_sheet_says_for_whom_it_is_and_moves_are_judged_there(player: Player) -> None:
    done = player.run("sheet", "march.musicxml", "--at", "A", "--for", "trombone")
    assert done.returncode == 0
    assert player.files() == ["Clarinet-2-for-Trombone-A.pdf", "march.musicxml"]
    (page,) = pages_of((player.folder / player.files()[0]).read_bytes())
    assert "Clarinet 2, for Trombone" in page
    told = "Rewritten for Trombone from Clarinet in B flat, at sounding pitch, an octave lower."
    assert told in page
    assert told in done.stderr
    assert "Trombone: taken for a tenor trombone" in done.stderr


def line_of(player: Player, *options: str) -> list[str]:
    """The pitches of the line, as --json tells them."""
    done = player.run("sheet", "march.musicxml", "--at", "A", "--json", *options)
    assert done.returncode == 0, done.stderr
    (sheet,) = json.loads(done.stdout)["sheets"]
    return [attack["tones"][0]["written"] for attack in sheet["spot"]["line"]]


def test_sounding_and_written_pitch(player: Player) -> None:
    assert line_of(player)[:4] == ["C4", "D4", "E4", "F4"]
    assert line_of(player, "--for", "oboe")[:4] == ["Bb3", "C4", "D4", "Eb4"]
    assert line_of(player, "--for", "oboe", "--for-pitch", "written")[:4] == [
        *("C4", "D4", "E4", "F4"),
    ]


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--for", "saxophone"), "--for: 'saxophone' is no instrument that is known; did you mean"),
        (("--for", "snare drum"), "this is music of pitches and cannot be rewritten for Snare"),
        (("--for-pitch", "written"), "--for-pitch goes with --for INSTRUMENT"),
        (("--for", "oboe", "--for-pitch", "loud"), "'loud' is not one of"),
    ],
)
def test_what_makes_no_sense(player: Player, options: tuple[str, ...], words: str) -> None:
    done = player.run("sheet", "march.musicxml", "--at", "A", *options)
    assert done.returncode == 2
    assert words in done.stderr
    assert player.files() == ["march.musicxml"]


def test_the_hardest_spots_are_those_of_the_new_instrument(player: Player) -> None:
    options = ("--hardest", "1", "--tempo", "160", "--json", "--for", "trombone")
    done = player.run("sheet", "march.musicxml", *options)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["sheets"][0]["part"] == "Clarinet 2, for Trombone"


def test_a_book_names_an_instrument_for_a_part(player: Player) -> None:
    player.write("student.toml", BOOK.format(more='for = "Altsaxophon"\nfor-pitch = "written"\n'))
    done = player.run("book", "student.toml", "-o", "student.ly")
    assert done.returncode == 0, done.stderr
    assert "Rewritten for Alto saxophone from Clarinet in B flat, with the same" in done.stderr
    over = player.run("book", "student.toml", "-o", "other.ly", "--for", "oboe")
    assert "Rewritten for Oboe from Clarinet in B flat, at sounding pitch" in over.stderr


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ('for = "gearbox"\n', "student.toml, part 1: for = 'gearbox' is no instrument"),
        ('for-pitch = "written"\n', "student.toml, part 1: for-pitch goes with for"),
        ('for = "oboe"\nfor-pitch = "loud"\n', 'for-pitch = "loud" is not known; write "sounding"'),
        ("for = 3\n", "student.toml, part 1: for is not a text"),
    ],
)
def test_a_book_that_asks_for_what_is_not_there(player: Player, more: str, words: str) -> None:
    player.write("student.toml", BOOK.format(more=more))
    done = player.run("book", "student.toml")
    assert done.returncode == 8
    assert words in done.stderr


def test_drums_in_a_book_are_named_with_their_entry(player: Player) -> None:
    drums = score(parts=("Snare Drum",)).replace("<pitch>", "<unpitched>")
    for old, new in (("</pitch>", "</unpitched>"), ("step>", "display-step>")):
        drums = drums.replace(old, new)
    drums = drums.replace("<octave>", "<display-octave>").replace("</octave>", "</display-octave>")
    player.write("march.musicxml", drums)
    player.write("student.toml", BOOK.format(more=""))
    done = player.run("book", "student.toml", "--for", "horn")
    assert done.returncode == 2
    assert "student.toml, part 1" in done.stderr
    assert "music of unpitched percussion and cannot be rewritten for Horn in F" in done.stderr


def test_a_new_book_is_for_nobody_yet(player: Player) -> None:
    done = player.run("book", "--new", ".", "--for", "horn")
    assert done.returncode == 2
    assert "--for goes with a book" in done.stderr
