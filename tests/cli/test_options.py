"""Options, help and progress: the thin layer between the player and the work."""

from __future__ import annotations

import os
import pty
import re
import subprocess
import time
from importlib import import_module
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

import drills.cli
from drills.cli import COMMANDS, options, run
from drills.cli.exits import EXIT_CODES
from drills.cli.help_page import FIRST, PlayerCommand
from drills.cli.screen import clean, one_line
from drills.cli.work import outputs_of, style_of
from drills.errors import DrillsError
from drills.jobs.asked import files
from drills.jobs.asked.choice import Heading
from drills.jobs.sheet_files import Style
from drills.output.engrave import Engraving
from drills.output.files import ENDINGS
from drills.output.lilypond.page import PAPERS, Page
from drills.sheet.rhythms import RHYTHMS
from tests.cli.music import Player, score

ROOT = Path(drills.cli.__file__).parents[2]


def commands() -> dict[str, click.Command]:
    """Every command, imported."""
    return {
        name: import_module(f"drills.cli.commands.{name.replace('-', '_')}").command
        for name in COMMANDS
    }


@pytest.fixture(name="here")
def _here(player: Player, monkeypatch: pytest.MonkeyPatch) -> Player:
    """The player's folder is the current one."""
    monkeypatch.chdir(player.folder)
    return player


SHEET = ("sheet", "march.musicxml", "--at", "1")


@pytest.mark.parametrize(
    ("given", "says"),
    [
        (["--rythm", "dotted"], "there is no option --rythm; did you mean --rhythm?"),
        (["--rhythm", "doted"], "--rhythm: there is no rhythm 'doted'; did you mean dotted?"),
        (["--cell-rhythm", "x"], "--cell-rhythm: there is no rhythm 'x'; choose from even, dotted"),
        (["--sizes", "1"], "--sizes: '1': a cell has 2 to 8 notes"),
        (["--value", "quaver"], "--value: 'quaver' is not a note value; did you mean quarter?"),
        (["--order", "random"], "'random' is not one of 'music', 'back', 'hardest', 'grow'"),
        (["--also", "doc"], "--also: 'doc' is not a format"),
        (["-o", "page.doc"], "-o page.doc: end the name in one of .pdf, .musicxml"),
        (["-o", "page"], "-o page: end the name in one of .pdf, .musicxml"),
        (["--limit", "bars"], "--limit: 'bars' is not a limit"),
        (["--limit", "barz=2"], "--limit barz: no such limit"),
        (["--start", "200", "--tempo", "100"], "the ladder cannot start at 200"),
        (["--rung", "4"], "there is no option --rung; did you mean --rungs?"),
        (["--turn", "-1"], "--turn: '-1' is not a whole number from 0 to 63"),
        (["--rungs", "1"], "--rungs: '1' is not a whole number from 2 to 39"),
        (["--staff-size", "99"], "a staff of 99 points"),
        (["--staff-size", "nan"], "--staff-size: 'nan' is not a height in points"),
        (["--time-limit", "0"], "--time-limit: '0' is not a number of seconds"),
        (["--sizes", "none", "--rhythm", "none"], "neither cells nor rhythms are asked for"),
        (["extra"], "extra"),
    ],
)
def test_what_makes_no_sense(
    here: Player, capsys: pytest.CaptureFixture[str], given: list[str], says: str
) -> None:
    assert run([*SHEET, *given]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.count("\n") == 1
    assert told.err.startswith("drills: ")
    assert says in told.err
    assert here.files() == ["march.musicxml"]


@pytest.mark.parametrize(
    ("given", "says"),
    [
        (["shet"], "there is no command 'shet'; did you mean sheet?"),
        (["zzzz"], "there is no command 'zzzz'; there are sheet, spots, "),
        (["--shwo"], "there is no option --shwo"),
        (["sheet"], "name a score, or type the bar"),
        (["book"], "name a book, such as spring.toml, or give --new FOLDER"),
        (["book", "a.toml", "--new", "."], "name a book, such as spring.toml, or give --new"),
        (["book", "a.toml", "--part", "1"], "--part goes with --new"),
    ],
)
def test_commands_that_make_no_sense(
    capsys: pytest.CaptureFixture[str], given: list[str], says: str
) -> None:
    assert run(given) == 2
    assert says in capsys.readouterr().err


# --- help ---------------------------------------------------------------------


def test_help_lists_every_exit_code() -> None:
    text = CliRunner().invoke(drills.cli.drills, ["--help"]).output
    told = dict(
        line.strip().split(None, 1)
        for line in text.split("Exit codes:")[1].split("\n\n")[0].splitlines()
        if line.strip()
    )
    assert told == {str(code): words for code, words in EXIT_CODES.items()}


def test_exit_codes_are_those_of_the_errors() -> None:
    def tree(kind: type[DrillsError]) -> set[int]:
        return {kind.exit_code}.union(*(tree(below) for below in kind.__subclasses__()))

    assert tree(DrillsError) | {0, 70, 130} == set(EXIT_CODES)


def test_the_table_of_commands_is_what_they_say_of_themselves() -> None:
    for name, command in commands().items():
        assert command.name == name
        assert command.get_short_help_str(limit=80) == COMMANDS[name]


@pytest.mark.parametrize("name", list(COMMANDS))
def test_help_begins_with_what_most_players_need(name: str) -> None:
    """Every option stands once, the few first and the others under the headings of the table."""
    command = commands()[name]
    assert isinstance(command, PlayerCommand)
    text = CliRunner().invoke(drills.cli.drills, [name, "--help"]).output
    options = text.split("Examples:")[0]
    told = re.findall(r"^  (?:-\w, )?(-[-a-z]+)(?: / --| |$)", options, re.MULTILINE)
    expected = {next(f for f in one.written if f[:2] == "--") for one in command.choices}
    assert sorted(told) == sorted({"-h", "--help"} | expected)
    few = [one for one in command.choices if name in one.first]
    headings = re.findall(r"^([A-Z][A-Za-z ]+):$", text, re.MULTILINE)
    assert headings[: bool(few)] == [FIRST][: bool(few)]
    known = [heading.value for heading in Heading if heading in headings]
    assert [heading for heading in headings if heading in list(Heading)] == known


@pytest.mark.parametrize("name", list(COMMANDS))
def test_short_help_fits_a_page_and_says_where_the_rest_is(name: str) -> None:
    text = CliRunner().invoke(drills.cli.drills, [name, "-h"], terminal_width=80).output
    assert len(text.splitlines()) <= 60
    assert re.search(rf"drills {name} --help lists \d+ more options", text)


@pytest.mark.parametrize("name", list(COMMANDS))
def test_help_pages_fit_a_terminal_and_give_examples(name: str) -> None:
    text = CliRunner().invoke(drills.cli.drills, [name, "--help"], terminal_width=80).output
    assert max(map(len, text.splitlines())) <= 80
    assert f"  drills {name} " in text.split("Examples:")[1]


@pytest.mark.parametrize("name", ["sheet", "book", "demo"])
def test_help_says_to_take_care(name: str) -> None:
    text = " ".join(CliRunner().invoke(drills.cli.drills, [name, "--help"]).output.split())
    assert "rest" in text
    assert "pain" in text or "hurts" in text


def test_help_alone_is_no_error(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([]) == 0
    assert capsys.readouterr().out.startswith("Usage: drills")


def test_the_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--version"]) == 0
    assert capsys.readouterr().out.startswith("drills")


def test_help_imports_no_music(player: Player) -> None:
    heavy = {
        "music21",
        "lxml",
        "jinja2",
        "pikepdf",
        "mido",
        "drills.jobs.sheets",
        "drills.sheet.making",
    }
    code = (
        "import sys; from drills.cli import run; run(['--help']); "
        f"sys.exit(sorted({heavy!r} & set(sys.modules)) != [])"
    )
    done = subprocess.run(
        [*player.command()[:1], "-c", code],
        env=player.environment,
        capture_output=True,
        check=False,
    )
    assert done.returncode == 0


# --- defaults and formats -----------------------------------------------------


def test_papers_are_those_of_the_page() -> None:
    assert set(files.PAPERS) == set(PAPERS)
    assert files.PAPERS[0] == Page().paper


def test_nothing_chosen_is_what_is_usual() -> None:
    assert style_of(options.RunOptions("a4", None, None, None)) == Style()
    chosen = style_of(options.RunOptions("letter", 20, Path("ly"), 5))
    assert (chosen.page, chosen.engraving) == (Page("letter", 20), Engraving(Path("ly"), 5))


def test_rhythms_named_in_the_help_exist() -> None:
    text = CliRunner().invoke(drills.cli.drills, ["sheet", "--help"]).output
    assert "bursts" in text
    assert {"swung", "bursts"} <= set(RHYTHMS)


RUN_OPTIONS = options.RunOptions("a4", None, None, None)


@pytest.mark.parametrize(
    ("output", "also", "as_data", "formats"),
    [
        (None, (), False, ("pdf",)),
        (None, ("midi", "pdf"), False, ("pdf", "midi")),
        (None, (), True, ()),
        (None, ("ly",), True, ("ly",)),
        ("x.pdf", (), True, ("pdf",)),
        ("x.PNG", (), False, ("png",)),
        ("x.xml", ("musicxml",), False, ("musicxml",)),
        ("x.midi", ("svg",), False, ("midi", "svg")),
    ],
)
def test_formats(
    output: str | None, also: tuple[str, ...], as_data: bool, formats: tuple[str, ...]
) -> None:
    chosen = options.FileOptions(Path(output) if output else None, also, None, as_data, False)
    assert outputs_of(chosen, RUN_OPTIONS).formats == formats


def test_names_of_files_share_a_stem() -> None:
    chosen = options.FileOptions(Path("a/x.1.xml"), ("midi",), None, False, False)
    outputs = outputs_of(chosen, RUN_OPTIONS)
    assert outputs.place("ignored", "musicxml") == Path("a/x.1.xml")
    assert outputs.place("ignored", "midi") == Path("a/x.1.mid")
    assert outputs.place("ignored", "midi", "-2") == Path("a/x.1-2.mid")
    assert set(ENDINGS) >= set(outputs.formats)


# --- the screen ---------------------------------------------------------------


def test_strangers_cannot_steer_the_terminal() -> None:
    assert clean("a\x1b[31mb\x07\u202ec\nd") == "a?[31mb??c\nd"
    assert one_line("a\n\tb\x1b") == "a b?"


def test_a_title_with_escapes_is_shown_without_them(player: Player) -> None:
    player.write("x.musicxml", score("\x9b31mred\u202e"))
    done = player.run("show", "x.musicxml")
    assert done.returncode == 0
    assert "?31mred?" in done.stdout or "31mred" in done.stdout
    assert "\x9b" not in done.stdout
    assert "\u202e" not in done.stdout


def in_a_terminal(player: Player, *arguments: str) -> str:
    """What a terminal shows of standard error while the program runs."""
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        player.command(*arguments),
        cwd=player.folder,
        env=player.environment,
        stdout=subprocess.DEVNULL,
        stderr=theirs,
    ):
        os.close(theirs)
        shown = b""
        while True:
            try:
                more = os.read(ours, 10_000)
            except OSError:  # Linux: the other end is closed
                break
            if not more:
                break
            shown += more
    os.close(ours)
    return shown.decode()


def test_progress_is_told_once_it_takes_a_second(player: Player) -> None:
    slow = str(player.script("slow", "sleep 6; exit 1"))
    shown = in_a_terminal(player, *SHEET, "--lilypond", slow)
    assert "engraving the sheet ..." in shown
    before_error = shown.split("drills: LilyPond failed")[0]
    assert before_error.endswith("\r")  # the line is taken away first
    quiet = in_a_terminal(player, *SHEET, "--lilypond", slow, "--quiet")
    assert "engraving" not in quiet
    assert "drills: LilyPond failed" in quiet


def test_what_is_quick_tells_no_progress(player: Player) -> None:
    started = time.monotonic()
    shown = in_a_terminal(player, "sheet", "none.musicxml", "--at", "1")
    if time.monotonic() - started < 1:
        assert shown.count("\n") == 1
        assert shown.startswith("drills: none.musicxml")
