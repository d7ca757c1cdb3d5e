"""``drills demo`` as a player runs it, on the project's own music."""

from __future__ import annotations

import shlex

import mido
import pikepdf
import pytest

from drills.project.book import read_book
from tests.cli.music import Player


@pytest.fixture(name="demo", scope="module")
def _demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Player, str]:
    """A player who has run the demo, and what it said."""
    player = Player(tmp_path_factory.mktemp("demo"))
    done = player.run("demo")
    assert (done.returncode, done.stderr) == (0, "")
    assert player.left_behind() == []
    return player, done.stdout


def test_everything_that_is_told_is_there(demo: tuple[Player, str]) -> None:
    player, told = demo
    listed = [line.strip() for line in told.split("Open")[0].splitlines()[1:]]
    there = sorted(path.name for path in (player.folder / "drills-demo").iterdir())
    assert sorted(listed) == there
    endings = {name.rpartition(".")[2] for name in there}
    assert endings == {"musicxml", "toml", "pdf", "mid", "mp3", "txt", "svg"}


def test_the_book_holds_a_sheet_for_every_spot(demo: tuple[Player, str]) -> None:
    folder = demo[0].folder / "drills-demo"
    book = read_book(folder / "harbour.toml")
    spots = sum(max(1, len(part.spots)) for part in book.parts)  # one part is marked in its score
    with pikepdf.open(folder / "harbour.pdf") as pdf, pdf.open_outline() as outline:
        assert str(pdf.docinfo["/Title"]) == book.title
        assert len(outline.root) == spots
        assert len(pdf.pages) > spots


def test_the_sounds_can_be_played(demo: tuple[Player, str]) -> None:
    for path in (demo[0].folder / "drills-demo").glob("*.mid"):
        assert any(message.type == "note_on" for message in mido.MidiFile(path))


def test_the_commands_to_try_next_work(demo: tuple[Player, str]) -> None:
    player, told = demo
    commands = [shlex.split(line) for line in told.splitlines() if line.startswith("  drills ")]
    assert [command[1] for command in commands] == ["show", "sheet", "book"]
    for command in commands:
        done = player.run(*command[1:])
        assert done.returncode == 0, done.stderr


def test_again_with_the_same_folder(demo: tuple[Player, str]) -> None:
    player, _ = demo
    assert player.run("demo", "--quiet", "--paper", "letter").returncode == 0
    book = player.folder / "drills-demo" / "harbour.toml"
    own = book.read_text(encoding="utf-8") + "# my own line\n"
    book.write_text(own, encoding="utf-8")
    refused = player.run("demo")
    assert refused.returncode == 7
    assert "harbour.toml is there already" in refused.stderr
    assert book.read_text(encoding="utf-8") == own


@pytest.mark.parametrize("missing", ["named", "in the environment", "cannot be run"])
def test_without_lilypond_the_demo_writes_the_rest_and_says_how_to_get_pages(
    player: Player, missing: str
) -> None:
    """As where no LilyPond can be installed: music, drills, hard spots and sound."""
    options: tuple[str, ...] = ()
    if missing == "named":
        options = ("--lilypond", "/none/lilypond")
    elif missing == "cannot be run":
        program = player.script("broken", "")
        program.write_bytes(b"\x7fELF for another machine")
        options = ("--lilypond", str(program))
    else:
        player.environment_more["DRILLS_LILYPOND"] = "/none/lilypond"
    done = player.run("demo", *options)
    assert done.returncode == 0, done.stderr
    assert done.stderr.startswith("drills: no pages are written: ")
    assert "install LilyPond 2.24 (lilypond.org)" in done.stderr
    assert done.stderr.count("\n") == 1
    there = {path.name.rpartition(".")[2] for path in (player.folder / "drills-demo").iterdir()}
    assert there == {"musicxml", "toml", "mid", "mp3", "txt", "svg"}
    commands = [shlex.split(line) for line in done.stdout.splitlines() if "  drills " in line]
    assert len(commands) == 3
    for command in commands if missing == "named" else []:  # the three demos are alike
        tried = player.run(*command[1:])
        assert tried.returncode == 0, tried.stderr
    assert player.left_behind() == []


def test_a_demo_that_fails_leaves_no_folder(player: Player) -> None:
    failing = player.script("failing", "cat > read; exit 1")
    done = player.run("demo", "new", "--lilypond", str(failing))
    assert done.returncode == 6
    assert player.files() == ["march.musicxml"]
    occupied = player.run("demo", "march.musicxml")
    assert occupied.returncode == 7
    assert "march.musicxml is a file, not a folder" in occupied.stderr
