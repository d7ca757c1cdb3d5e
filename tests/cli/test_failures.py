"""What goes wrong, with the real thing: one line, its exit code, and nothing left behind."""

from __future__ import annotations

import os
import shlex
import signal
import subprocess
import sys
import time
import zipfile
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest

from tests.cli.music import Player, open_to_all, score

SHEET = ("sheet", "march.musicxml", "--at", "1")
LY = (*SHEET, "-o", "page.ly")
"""The same without LilyPond."""


def fails(player: Player, *arguments: str, code: int, says: str) -> None:
    """Run the program; it must end with ``code`` and one line that says ``says``."""
    before = player.files()
    done = player.run(*arguments)
    assert says in done.stderr
    assert (done.returncode, done.stdout) == (code, "")
    assert done.stderr.startswith("drills: ")
    assert done.stderr.count("\n") == 1
    assert player.files() == before
    assert player.left_behind() == []


# --- places and parts ---------------------------------------------------------


@pytest.mark.parametrize(
    ("place", "says"),
    [
        ("99", "there is no bar or mark '99'; the nearest is 4"),
        ("Q", "there is no bar or mark 'Q'; the marks are A, the bars are 1 to 4"),
        ("1@9", "bar 1 has no beat 9"),
        ("@@", "'@@' is not a place; write a place such as 12"),
        ("4", "4"),  # the bar that is a rest
    ],
)
def test_a_place_that_is_not_there_or_empty(player: Player, place: str, says: str) -> None:
    fails(player, "sheet", "march.musicxml", "--at", place, code=4, says=says)


def test_no_place_at_all(player: Player) -> None:
    fails(player, "sheet", "march.musicxml", code=4, says="no place is named")


def test_a_score_of_several_parts(player: Player) -> None:
    player.write("suite.musicxml", score(parts=("Clarinet 1", "Clarinet 2")))
    fails(player, "sheet", "suite.musicxml", "--at", "1", code=2, says="1 (Clarinet 1), 2 (Cla")
    fails(
        player, *("sheet", "suite.musicxml", "--at", "1", "--part", "Oboe"), code=2, says="'Oboe'"
    )


# --- files that are no scores -------------------------------------------------


def zipped(**members: bytes) -> bytes:
    """A compressed score with these members."""
    buffer = BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members.items():
            archive.writestr(name.replace("__", "/"), content)
    return buffer.getvalue()


def container(root: str) -> bytes:
    """META-INF/container.xml of a compressed score (MusicXML 4.0, "Compressed .MXL files")."""
    return (
        '<?xml version="1.0"?><container><rootfiles>'
        f'<rootfile full-path="{root}"/></rootfiles></container>'
    ).encode()


BOMB = (
    '<?xml version="1.0"?><!DOCTYPE score-partwise [<!ENTITY a "haha">'
    + "".join(
        f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    )
    + "]><score-partwise><work><work-title>&i;</work-title></work></score-partwise>"
).encode()
OUTSIDE = b"""<?xml version="1.0"?><!DOCTYPE score-partwise [<!ENTITY x SYSTEM "file:///etc/passwd">]>
<score-partwise><work><work-title>&x;</work-title></work></score-partwise>"""

NO_SCORES = {
    "malformed.musicxml": score()[:3000].encode(),
    "words.musicxml": b"just some words",
    "picture.xml": b"\x89PNG\r\n\x1a\n" + bytes(100),
    "page.xml": b"<html><body>no score</body></html>",
    "nothing.musicxml": b"",
    "empty.musicxml": b'<score-partwise version="4.0"><part-list/></score-partwise>',
    "bomb.musicxml": BOMB,
    "outside.musicxml": OUTSIDE,
    "zipbomb.mxl": zipped(
        **{"META-INF__container.xml": container("s.xml"), "s.xml": bytes(300_000_000)}
    ),
    "leaves.mxl": zipped(
        **{"META-INF__container.xml": container("../../etc/passwd"), "s.xml": score().encode()}
    ),
    "broken.mxl": zipped(**{"s.xml": score().encode()})[:-40],
}


@pytest.mark.parametrize("name", [name for name in NO_SCORES if name != "leaves.mxl"])
def test_a_file_that_is_no_score(player: Player, name: str) -> None:
    player.write(name, NO_SCORES[name])
    fails(player, "sheet", name, "--at", "1", code=3, says=name)


def test_a_root_path_that_leaves_the_archive(player: Player) -> None:
    """Refused, or the score inside is taken; never the file outside."""
    player.write("leaves.mxl", NO_SCORES["leaves.mxl"])
    done = player.run("show", "leaves.mxl")
    assert done.returncode in (0, 3)
    assert "root:" not in done.stdout + done.stderr


def test_a_score_that_is_not_there(player: Player) -> None:
    fails(player, "sheet", "none.musicxml", "--at", "1", code=3, says="none.musicxml")
    fails(player, "show", ".", code=3, says="drills: .")


# --- files that cannot be written ---------------------------------------------


_AS_NOBODY = """
import os, sys
import drills.cli.commands.sheet, drills.cli.work
from drills.cli import run
if os.getuid() == 0:
    os.setgid(65534)
    os.setuid(65534)
sys.exit(run(sys.argv[1:]))
"""
"""To the administrator no folder is closed, so the program goes on as nobody."""


def test_a_folder_that_may_not_be_written_to(player: Player) -> None:
    open_to_all(player.folder)
    player.folder.chmod(0o555)
    done = subprocess.run(
        [sys.executable, "-c", _AS_NOBODY, *SHEET],
        cwd=player.folder,
        env=player.environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 7
    assert done.stderr == (
        "drills: Clarinet-2-1.pdf: the folder "
        f"{player.folder} cannot be written to; choose another\n"
    )
    assert player.files() == ["march.musicxml"]


@pytest.fixture(name="small_disk")
def _small_disk(player: Player) -> Iterator[Path]:
    """A real file system of 16 KiB in the player's folder."""
    place = player.folder / "small"
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=16k", "tmpfs", str(place)]
    try:
        subprocess.run(mount, check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("this system does not let the tests mount a small disk")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_a_full_disk(player: Player, small_disk: Path) -> None:
    fails(player, *SHEET, "-o", "small/page.pdf", "--also", "ly", code=7, says="no space left")
    assert list(small_disk.iterdir()) == []


def test_a_full_disk_for_temporary_files(player: Player, small_disk: Path) -> None:
    player.temporary = small_disk
    done = player.run(*SHEET)
    assert done.returncode == 6
    assert done.stderr.count("\n") == 1
    assert player.left_behind() == []


def test_a_missing_folder_and_a_folder_in_place_of_a_file(player: Player) -> None:
    fails(player, *SHEET, "-o", "none/page.pdf", code=7, says="there is no folder")
    (player.folder / "page.pdf").mkdir()
    fails(player, *SHEET, "-o", "page.pdf", code=7, says="page.pdf is a folder")


@pytest.mark.parametrize(
    "arguments",
    [("show", "march.musicxml", "--json"), ("--help",), (), ("--version",), ("sheet", "--help")],
)
def test_standard_output_that_takes_no_more(player: Player, arguments: tuple[str, ...]) -> None:
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            player.command(*arguments),
            cwd=player.folder,
            env=player.environment,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == 7
    assert done.stderr.count("\n") == 1
    assert "standard output cannot be written (no space left on device)" in done.stderr


def test_a_reader_that_leaves_early(player: Player) -> None:
    with subprocess.Popen(
        player.command("show", "march.musicxml", "--json"),
        cwd=player.folder,
        env=player.environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait(60) == 128 + signal.SIGPIPE


# --- LilyPond -----------------------------------------------------------------


AHEAD: tuple[str, ...] = ()
LATER = ("--also", "png")
"""LilyPond is started while the score is read, for a PDF; one that makes pictures, later."""


@pytest.mark.parametrize("formats", [AHEAD, LATER])
def test_lilypond_missing(player: Player, formats: tuple[str, ...]) -> None:
    program = ("--lilypond", "/none/lilypond")
    fails(player, *SHEET, *formats, *program, code=6, says="/none/lilypond")


@pytest.mark.parametrize("formats", [AHEAD, LATER])
def test_lilypond_not_a_program(player: Player, formats: tuple[str, ...]) -> None:
    program = ("--lilypond", "march.musicxml")
    fails(player, *SHEET, *formats, *program, code=6, says="march.musicxml")


@pytest.mark.parametrize("formats", [AHEAD, LATER])
@pytest.mark.parametrize("reads", ["", "cat > read; "])
def test_lilypond_failing(player: Player, reads: str, formats: tuple[str, ...]) -> None:
    lines = f'{reads}echo "sheets.ly:3:1: error: no such luck" >&2; exit 1'
    program = player.script("failing", lines)
    fails(player, *SHEET, *formats, "--lilypond", str(program), code=6, says="no such luck")


@pytest.mark.parametrize("formats", [AHEAD, LATER])
def test_lilypond_that_makes_nothing(player: Player, formats: tuple[str, ...]) -> None:
    program = player.script("idle", "exit 0")
    fails(player, *SHEET, *formats, "--lilypond", str(program), code=6, says="made no PDF")


def test_lilypond_that_makes_rubbish(player: Player) -> None:
    program = player.script("rubbish", "echo rubbish > sheets.pdf; echo 'drills: pages 1'")
    fails(player, *SHEET, "--lilypond", str(program), code=6, says="PDF")


def sleeper(player: Player, before: str = "") -> tuple[Path, Path]:
    """A LilyPond that never ends, and the file where each one writes its child's number."""
    children = player.folder.parent / "children"
    lines = f"{before}sleep 600 & echo $! >> {shlex.quote(str(children))}; wait"
    return player.script("sleeper", lines), children


@pytest.mark.parametrize("formats", [AHEAD, LATER])
def test_lilypond_hanging(player: Player, formats: tuple[str, ...]) -> None:
    program, children = sleeper(player)
    options = (*formats, "--lilypond", str(program), "--time-limit", "1")
    fails(player, *SHEET, *options, "--quiet", code=6, says="took longer than 1 second")
    assert_ended(children)


def assert_ended(file: Path) -> None:
    """Every process whose number stands in ``file`` is gone, or dead and unburied."""
    numbers = file.read_text(encoding="utf-8").split()
    assert numbers
    for number in numbers:
        for _ in range(100):
            if not _runs(number):
                break
            time.sleep(0.05)
        else:
            pytest.fail(f"process {number} still runs")


def _runs(number: str) -> bool:
    try:
        return "State:\tZ" not in Path(f"/proc/{number}/status").read_text(encoding="utf-8")
    except FileNotFoundError:
        return False


# --- interrupts ---------------------------------------------------------------

READS = "cat > read; "
"""A LilyPond that has its text is engraving; before, it waits while the score is read."""


@pytest.mark.parametrize(("before", "formats"), [(READS, AHEAD), (READS, LATER)])
@pytest.mark.parametrize(
    ("number", "code"),
    [(signal.SIGINT, 130), (signal.SIGTERM, 143), (signal.SIGHUP, 129)],
)
def test_an_interrupt_in_the_middle(
    player: Player, number: signal.Signals, code: int, before: str, formats: tuple[str, ...]
) -> None:
    """As a terminal sends it: to the whole group, while LilyPond works."""
    program, children = sleeper(player, before)
    options = (*formats, "--also", "midi", "--quiet", "--lilypond", str(program))
    process = subprocess.Popen(
        player.command(*SHEET, *options),
        cwd=player.folder,
        env=player.environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    for _ in range(600):
        if children.exists() and children.read_text(encoding="utf-8").endswith("\n"):
            break
        time.sleep(0.05)
    os.killpg(process.pid, number)
    told, complained = process.communicate(timeout=60)
    assert complained == "drills: stopped; nothing is left half-written\n"
    assert told == ""
    assert process.returncode == code
    assert player.files() == ["march.musicxml"]
    assert player.left_behind() == []
    assert_ended(children)


# --- a mistake of the program itself ------------------------------------------

_BROKEN = """
import sys
import drills.cli.work as work
from drills.cli import run
def broken(*_, **__):
    raise ZeroDivisionError("a\\nslip")
work.show = broken
sys.exit(run(sys.argv[1:]))
"""


@pytest.mark.parametrize("debug", [False, True])
def test_a_mistake_of_the_program(player: Player, debug: bool) -> None:
    options = ["--debug"] if debug else []
    done = subprocess.run(
        [sys.executable, "-c", _BROKEN, "show", "march.musicxml", *options],
        cwd=player.folder,
        env=player.environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 70
    line = done.stderr.splitlines()[-1]
    assert line.startswith("drills: this is a mistake in drills itself (ZeroDivisionError: a slip)")
    assert ("Traceback" in done.stderr) == debug
    assert (done.stderr.count("\n") == 1) != debug


def test_debug_shows_where_an_error_arose(player: Player) -> None:
    done = player.run("sheet", "march.musicxml", "--at", "99", "--debug")
    assert done.returncode == 4
    assert "Traceback" in done.stderr
    assert done.stderr.splitlines()[-1].startswith("drills: ")


# --- what LilyPond leaves behind -----------------------------------------------


@pytest.mark.parametrize("formats", [AHEAD, LATER])
def test_a_lilypond_that_goes_and_leaves_a_child_is_ended_in_time(
    player: Player, formats: tuple[str, ...]
) -> None:
    """A wrapper whose child holds its output: the wait must not be longer than the limit."""
    children = player.folder.parent / "children"
    program = player.script("leaving", f"sleep 600 & echo $! >> {shlex.quote(str(children))}")
    options = (*formats, "--lilypond", str(program), "--time-limit", "1", "--quiet")
    fails(player, *SHEET, *options, code=6, says="took longer than 1 second")
    assert_ended(children)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="other systems have no such sign")
@pytest.mark.parametrize("formats", [AHEAD, LATER])
def test_lilypond_dies_with_the_program_that_is_killed(
    player: Player, formats: tuple[str, ...]
) -> None:
    children = player.folder.parent / "children"
    lines = f"cat > read; echo $$ >> {shlex.quote(str(children))}; exec sleep 600"
    program = player.script("working", lines)
    process = subprocess.Popen(
        player.command(*SHEET, *formats, "--lilypond", str(program), "--quiet"),
        cwd=player.folder,
        env=player.environment,
    )
    for _ in range(600):
        if children.exists() and children.read_text(encoding="utf-8").endswith("\n"):
            break
        time.sleep(0.05)
    process.kill()
    process.wait()
    assert_ended(children)


def test_a_closing_terminal_does_not_end_what_nohup_runs(player: Player) -> None:
    """nohup has the signal ignored (POSIX.1-2017, nohup); so it stays."""
    begun = player.folder.parent / "begun"
    program = player.script(
        "hanging", f"cat > read; kill -HUP $PPID; touch {shlex.quote(str(begun))}; exit 1"
    )
    done = subprocess.run(
        ["nohup", *player.command(*SHEET, "--lilypond", str(program))],
        cwd=player.folder,
        env=player.environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert begun.exists()
    assert done.returncode == 6


@pytest.mark.parametrize("formats", [AHEAD, LATER])
def test_a_full_folder_for_temporary_files_is_named(
    player: Player, small_disk: Path, formats: tuple[str, ...]
) -> None:
    player.temporary = small_disk
    place = f"the folder for temporary files, {small_disk}, "
    fails(player, *SHEET, *formats, code=6, says=place)
    fails(player, *SHEET, *formats, code=6, says="environment variable TMPDIR")


# --- what is typed or closed ----------------------------------------------------


@pytest.mark.parametrize(
    ("place", "says"),
    [
        ("1@2+1/0", "'1@2+1/0' is not a place"),
        ("1@2-2@1+3/00", "is not a place"),
        ("9" * 5_000, "is too long for a place"),
        (f"1@{'9' * 5_000}", "is too long for a place"),
        (f"A:{'9' * 200}", "lies outside the part"),
        (f"1#{'9' * 200}", "stands 1 times in the part"),
        ("²", "there is no bar or mark '²'"),
    ],
)
def test_a_place_that_is_no_number_a_program_likes(player: Player, place: str, says: str) -> None:
    fails(player, "sheet", "march.musicxml", "--at", place, code=4, says=says)


@pytest.mark.parametrize("tempo", ["9" * 5_000, "1e999999999", f"60/{'9' * 5_000}", "1/0", "²"])
def test_a_tempo_of_any_length_is_told_to_be_none(player: Player, tempo: str) -> None:
    says = "is not a metronome number; write one from 5 to 1000"
    fails(player, *SHEET, "--tempo", tempo, code=2, says=says)


@pytest.mark.parametrize("rhythm", ["²:1", f"{'9' * 5_000}:1", "0:1"])
def test_a_rhythm_of_odd_figures_is_told_to_be_none(player: Player, rhythm: str) -> None:
    fails(player, *SHEET, "--rhythm", rhythm, code=2, says="is not a rhythm")


@pytest.mark.parametrize("closed", ["2>&-", "<&- 2>&-", "<&- >&- 2>&-"])
def test_a_closed_standard_error_stops_nothing(player: Player, closed: str) -> None:
    """Closed numbers are given to the next files; nothing may be said into those."""
    command = f"exec {shlex.join(player.command(*LY))} {closed}"
    done = subprocess.run(
        ["sh", "-c", command],
        cwd=player.folder,
        env=player.environment,
        capture_output=True,
        check=False,
    )
    assert done.returncode == 0
    assert (player.folder / "page.ly").read_bytes().startswith(b"\\version")
    refused = subprocess.run(
        ["sh", "-c", command.replace(" 1 -o", " 99 -o")],
        cwd=player.folder,
        env=player.environment,
        check=False,
    )
    assert refused.returncode == 4


@pytest.mark.parametrize("command", ["sheet", "show"])
def test_a_book_in_place_of_a_score_is_told_to_be_a_book(player: Player, command: str) -> None:
    book = '# the spring programme\ntitle = "Spring"\n\n[[part]]\nfile = "march.musicxml"\n'
    player.write("spring.toml", book)
    says = "spring.toml: this is a book, not a score; drills book spring.toml makes its pages"
    fails(player, command, "spring.toml", code=3, says=says)


def test_a_book_that_names_a_file_with_a_null_character(player: Player) -> None:
    player.write("spring.toml", '[[part]]\nfile = "march\\u0000.musicxml"\n')
    fails(player, "book", "spring.toml", code=3, says="the name holds a null character")


@pytest.mark.parametrize("number", ["9" * 5_000, "0x" + "f" * 5_000])
def test_a_book_with_a_number_of_thousands_of_digits(player: Player, number: str) -> None:
    player.write("spring.toml", f'[[part]]\nfile = "march.musicxml"\ntempo = {number}\n')
    fails(player, "book", "spring.toml", code=8, says="a number with too many digits")


def test_a_score_that_is_a_pipe_without_a_writer_is_told(player: Player) -> None:
    os.mkfifo(player.folder / "pipe.musicxml")
    says = "pipe.musicxml: it is a pipe that nobody writes into"
    fails(player, "show", "pipe.musicxml", code=3, says=says)


def test_a_score_that_another_program_writes_into_a_pipe_is_read(player: Player) -> None:
    command = f"{shlex.join(player.command('show'))} <(sleep 0.2; cat march.musicxml)"
    done = subprocess.run(
        ["bash", "-c", command],
        cwd=player.folder,
        env=player.environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "Harbour March" in done.stdout
