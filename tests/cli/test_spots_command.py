"""``drills spots`` as a player runs it."""

from __future__ import annotations

import json

from drills.places.finding import find_span
from drills.project.book import parse_book
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_part
from tests.cli.music import Player, score
from tests.output.test_data import errors


def test_a_table_within_80_columns_says_where_and_why(player: Player) -> None:
    done = player.run("spots", "march.musicxml")
    assert done.returncode == 0
    assert "A6 lies outside the usual range of the Clarinet in B flat" in done.stderr
    assert max(map(len, done.stdout.splitlines())) <= 80
    words = " ".join(done.stdout.split())
    assert "quarter = 120 (from the score)" in words
    assert "1 bars 1 to 3, the run of sixteenths (hard" in words
    assert "--at 1-3, easy up to " in words
    assert "48 notes across the break in 6.0 s; 8.0 tongued notes a second" in words


def test_every_place_can_be_asked_for(player: Player) -> None:
    found = json.loads(player.run("spots", "march.musicxml", "--json").stdout)
    part = read_part(open_score(player.folder / "march.musicxml", Limits()), None)
    assert found["spots"]
    for spot in found["spots"]:
        assert find_span(part, spot["at"]).words == spot["words"]
        for other in (spot["heart"], *spot["again"], *spot["alike"]):
            find_span(part, other)


def test_data_hold_every_term_of_every_move(player: Player) -> None:
    found = json.loads(player.run("spots", "march.musicxml", "--json", "--top", "1").stdout)
    assert errors(found, "spots") == []
    weights = {term["name"]: term["weight"] for term in found["terms"]}
    assert len(found["notes"]) == 48
    for note in found["notes"]:
        told = sum(term["amount"] * weights[term["name"]] for term in note["terms"])
        assert abs(note["effort"] - told) < 0.01
        if note["move"] is not None:
            total = sum(term["value"] for term in note["move"]["terms"])
            assert abs(note["move"]["cost"] - total) < 0.001


def test_one_move_without_a_score(player: Player) -> None:
    """D4 to D5 on a saxophone is the octave key alone (any fingering chart)."""
    asked = ("--move", "D4 D5", "--instrument", "alto saxophone")
    found = json.loads(player.run("spots", *asked, "--json").stdout)
    assert errors(found, "spots") == []
    (move,) = found["moves"]
    held = [set(fingering["keys"]) for fingering in move["fingerings"]]
    assert held[1] - held[0] == {"octave"}
    assert held[0] <= held[1]
    assert move["cost"] == found["cost"] > 0
    told = player.run("spots", *asked).stdout
    assert "D4-D5" in told
    assert "crosses the break" in " ".join(told.split())


def test_a_faster_tempo_and_another_instrument(player: Player) -> None:
    def hardest(*options: str) -> float:
        done = player.run("spots", "march.musicxml", "--json", "--top", "1", *options)
        return float(json.loads(done.stdout)["spots"][0]["hardness"])

    assert hardest("--tempo", "160") > hardest()
    named = player.run("spots", "march.musicxml", "--instrument", "violin")
    assert "no fingering table for Violin" in named.stderr
    assert "judged as Violin" in " ".join(named.stdout.split())


def test_a_settings_file_is_heard(player: Player) -> None:
    player.write("mine.toml", "[limits]\neasy = 999\n")
    done = player.run("spots", "march.musicxml", "--weights", "mine.toml")
    assert "Nothing in it is hard at this tempo." in done.stdout
    player.write("mine.toml", "[weights]\ntonging = 1\n")
    done = player.run("spots", "march.musicxml", "--weights", "mine.toml")
    assert done.returncode == 2
    assert "did you mean tonguing?" in done.stderr


def test_what_makes_no_sense(player: Player) -> None:
    for arguments, message in (
        ((), "name a score, or type the bar"),
        (("march.musicxml", "--ranks", "7"), "there is no rank 7; the list has 1"),
        (("march.musicxml", "--ranks", "3-1"), "counts down"),
        ((".", "--plot", "all.svg"), "--plot draws one part"),
        (("--move", "D4 D5"), "--move takes no score but --instrument"),
        (("--move", "D4", "--instrument", "flute"), "a move needs two notes"),
        (("--move", "D4 H9", "--instrument", "flute"), "is not a pitch"),
        (("march.musicxml", "--voice", "7"), "has no voice '7'"),
    ):
        done = player.run("spots", *arguments)
        assert done.returncode in (2, 4)
        assert message in done.stderr


def test_the_same_file_gives_the_same_list(player: Player) -> None:
    one, other = (player.run("spots", "march.musicxml", "--json").stdout for _ in range(2))
    assert one == other


def test_a_picture_is_written_once_and_kept_from_others(player: Player) -> None:
    for name in ("march.svg", "march.png"):
        assert player.run("spots", "march.musicxml", "--plot", name).returncode == 0
        first = (player.folder / name).read_bytes()
        assert b"drills-made-from:" in first
        assert player.run("spots", "march.musicxml", "--plot", name, "--top", "1").returncode == 0
        assert player.run("spots", "march.musicxml", "--plot", name).returncode == 0
        assert (player.folder / name).read_bytes() == first
    player.write("mine.svg", "a drawing of my own")
    assert player.run("spots", "march.musicxml", "--plot", "mine.svg").returncode == 7
    done = player.run("spots", "march.musicxml", "--plot", "march.pdf")
    assert done.returncode == 2
    assert ".svg or .png" in done.stderr


def test_a_folder_is_one_list_with_file_and_part(player: Player) -> None:
    player.write("waltz.musicxml", score())
    player.write("broken.musicxml", "<score")
    done = player.run("spots", ".", "--top", "5")
    assert done.returncode == 0
    assert "2 parts of ., the hardest first" in done.stdout
    words = " ".join(done.stdout.split())
    assert "march.musicxml, Clarinet 2, bars 1 to 3" in words
    assert "waltz.musicxml, Clarinet 2, bars 1 to 3" in words
    assert "broken.musicxml" in done.stderr
    found = json.loads(player.run("spots", "waltz.musicxml", "march.musicxml", "--json").stdout)
    assert errors(found, "spots") == []
    assert [(spot["rank"], spot["file"]) for spot in found["spots"]] == [
        (1, "waltz.musicxml"),
        (2, "march.musicxml"),
    ]


def test_what_is_shown_can_be_marked_in_a_book(player: Player) -> None:
    """A new book, then one that the player has written in: own lines stay."""
    assert player.run("spots", "march.musicxml", "--mark", "new.toml").returncode == 0
    first = (player.folder / "new.toml").read_text(encoding="utf-8")
    book = parse_book(first.encode(), player.folder / "new.toml")
    (spot,) = book.parts[0].spots
    assert book.parts[0].file == "march.musicxml"
    assert spot.note.startswith("the hardest of bars 1 to 3, the run of sixteenths: 48 notes")
    player.write("own.toml", '# mine\n[[part]]\nfile = "march.musicxml"  # loud\n')
    assert player.run("spots", ".", "--mark", "own.toml", "--ranks", "1").returncode == 0
    text = (player.folder / "own.toml").read_text(encoding="utf-8")
    assert text.startswith('# mine\n[[part]]\nfile = "march.musicxml"  # loud\n')
    assert parse_book(text.encode(), player.folder / "own.toml").parts[0].spots == (spot,)
    again = player.run("spots", "march.musicxml", "--mark", "own.toml")
    assert again.returncode == 0
    assert (player.folder / "own.toml").read_text(encoding="utf-8") == text
