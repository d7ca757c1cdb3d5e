"""What a player has is never lost: scores, tuned pages, and files of a run that failed midway."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.music import Player, score
from tests.cli.test_failures import fails

AT_1 = ("--at", "1")
TUNED = ("--rhythm", "dotted", "--tempo", "90")


@pytest.mark.parametrize("force", [(), ("--force",)])
@pytest.mark.parametrize(
    "arguments",
    [
        ("sheet", "march.musicxml", *AT_1, "-o", "march.ly", "--also", "musicxml"),
        ("sheet", "march.musicxml", *AT_1, "-o", "march.musicxml"),
        ("sheet", "march.musicxml", *AT_1, "-o", "link.musicxml"),
        ("section", "Clarinet-2.musicxml", *AT_1, "-o", ".", "--also", "musicxml"),
        ("spots", "march.svg", "--plot", "march.svg"),
        ("click", "march.mid", *AT_1, "-o", "march.mid"),
    ],
)
def test_the_score_is_never_replaced_forced_or_not(
    player: Player, arguments: tuple[str, ...], force: tuple[str, ...]
) -> None:
    """A file is what it holds, whatever its name."""
    player.write("Clarinet-2.musicxml", score())
    player.write("march.svg", score())
    player.write("march.mid", score())
    (player.folder / "link.musicxml").hardlink_to(player.folder / "march.musicxml")
    before = {path: path.read_bytes() for path in player.folder.iterdir()}
    fails(player, *arguments, *force, code=7, says="is what this is made from; choose another name")
    assert {path: path.read_bytes() for path in player.folder.iterdir()} == before


def test_a_book_replaces_none_of_its_scores(player: Player) -> None:
    text = '[[part]]\nfile = "march.musicxml"\n[[part.spot]]\nat = "1"\n'
    player.write("spring.toml", text)
    says = "march.musicxml is what this is made from"
    fails(
        player,
        *("book", "spring.toml", "-o", "march.ly", "--also", "musicxml", "--force"),
        code=7,
        says=says,
    )


def test_a_plain_call_never_replaces_a_tuned_page(player: Player) -> None:
    page = ("sheet", "march.musicxml", *AT_1, "-o", "page.ly")
    assert player.run(*page, *TUNED).returncode == 0
    tuned = (player.folder / "page.ly").read_bytes()
    fails(player, *page, code=7, says="page.ly is there already and was made with other choices")
    assert (player.folder / "page.ly").read_bytes() == tuned


def test_a_tuned_call_replaces_the_plain_page_and_its_own(player: Player) -> None:
    page = ("sheet", "march.musicxml", *AT_1, "-o", "page.ly")
    for choices in ((), TUNED, TUNED, ("--staff-size", "22")):
        assert player.run(*page, *choices).returncode == 0
    fails(player, *page, code=7, says="was made with other choices")


def test_a_click_never_overwrites_a_tuned_page_of_the_same_name(player: Player) -> None:
    page = ("sheet", "march.musicxml", *AT_1, "-o", "emma.pdf")
    assert player.run(*page, *TUNED).returncode == 0
    tuned = (player.folder / "emma.pdf").read_bytes()
    click = ("click", "march.musicxml", *AT_1, "--rungs", "2", "-o", "emma.mid", "--also", "pdf")
    fails(player, *click, code=7, says="emma.pdf is there already and was made with other choices")
    assert (player.folder / "emma.pdf").read_bytes() == tuned


_STOPPED_MIDWAY = """
import os, signal, sys
from pathlib import Path
from drills.cli import run
real, count = Path.replace, 0
def replace(self, target):
    global count
    done = real(self, target)
    count += str(target).endswith((".ly", ".musicxml"))
    if count == 1:
        count += 1
        os.kill(os.getpid(), signal.SIGINT)
    return done
Path.replace = replace
sys.exit(run(sys.argv[1:]))
"""


def test_ctrl_c_between_two_files_leaves_both_as_they_were(player: Player) -> None:
    files = ("sheet", "march.musicxml", *AT_1, "-o", "page.ly", "--also", "musicxml")
    assert player.run(*files, "--rhythm", "dotted").returncode == 0
    before = {path.name: path.read_bytes() for path in player.folder.iterdir()}
    done = subprocess.run(
        [sys.executable, "-c", _STOPPED_MIDWAY, *files, "--rhythm", "bursts"],
        cwd=player.folder,
        env=player.environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 128 + signal.SIGINT
    assert done.stderr == "drills: stopped; nothing is left half-written\n"
    assert {path.name: path.read_bytes() for path in player.folder.iterdir()} == before


_FOLDER_GOES = """
import sys
from pathlib import Path
import drills.output.files as files
from drills.cli import run
real = files.place_all
def goes(*arguments):
    folder = Path("out")
    folder.rename("elsewhere")
    folder.write_text("a file now")
    return real(*arguments)
files.place_all = goes
sys.exit(run(sys.argv[1:]))
"""


def test_a_folder_that_becomes_a_file_midway_is_told_in_one_line(player: Player) -> None:
    (player.folder / "out").mkdir()
    done = subprocess.run(
        [sys.executable, "-c", _FOLDER_GOES, "sheet", "march.musicxml", *AT_1, "-o", "out/a.ly"],
        cwd=player.folder,
        env=player.environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 7
    assert done.stderr.startswith("drills: out/a.ly cannot be written (")
    assert done.stderr.count("\n") == 1


_KILLED = """
import os, signal, sys
import drills.output.files as files
from drills.cli import run
files.place_all = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
sys.exit(run(sys.argv[1:]))
"""


def test_what_a_killed_run_left_goes_with_the_next_one(player: Player) -> None:
    page = ("sheet", "march.musicxml", *AT_1, "-o", "page.pdf")
    mine = player.write(".mine.drills-part.txt", "the player's own")
    for program in (_KILLED, _KILLED):
        done = subprocess.run(
            [sys.executable, "-c", program, *page],
            cwd=player.folder,
            env=player.environment,
            capture_output=True,
            check=False,
        )
        assert done.returncode == -signal.SIGKILL
    left = [path for path in player.folder.iterdir() if path.suffix == ".drills-part"]
    assert len(left) == 1  # the second run took that of the first
    assert player.run(*page).returncode == 0
    assert player.files() == [mine.name, "march.musicxml", "page.pdf"]


def test_a_killed_engraving_leaves_nothing_to_the_next_one(player: Player) -> None:
    killer = player.script("killer", "cat > read; kill -9 $PPID; sleep 5")
    page = ("sheet", "march.musicxml", *AT_1, "-o", "page.pdf")
    done = player.run(*page, "--lilypond", str(killer))
    assert done.returncode == -signal.SIGKILL
    assert player.left_behind() != []
    (player.temporary / "drills-mine").mkdir()
    assert player.run(*page).returncode == 0
    assert player.left_behind() == ["drills-mine"]


def test_what_another_run_is_working_on_stays(player: Player, tmp_path: Path) -> None:
    waiting = player.script("waiting", f"cat > read; touch {tmp_path}/begun; exec sleep 60")
    page = ("sheet", "march.musicxml", *AT_1)
    other = subprocess.Popen(
        player.command(*page, "-o", "other.pdf", "--lilypond", str(waiting), "--quiet"),
        cwd=player.folder,
        env=player.environment,
        stderr=subprocess.DEVNULL,
    )
    try:
        while not (tmp_path / "begun").exists():
            assert other.poll() is None
        theirs = player.left_behind()
        assert theirs != []
        assert player.run(*page, "-o", "page.pdf").returncode == 0
        assert player.left_behind() == theirs
    finally:
        other.send_signal(signal.SIGINT)
        other.wait()
    assert player.left_behind() == []
