"""A small score as MusicXML text, and the program as a player runs it."""

from __future__ import annotations

import contextlib
import os
import pty
import subprocess
import sys
import tempfile
import unicodedata
from collections.abc import Sequence
from io import BytesIO
from pathlib import Path
from typing import Final
from xml.sax.saxutils import escape

import pypdf
import pytest

import drills
from drills.errors import NoEngraverError
from drills.output.engrave import find_lilypond
from tests.cli import warm

SCALE: Final = "CDEFGABCDEFGABCA"
"""Steps of the sixteen sixteenths in every bar; the octave rises after B."""

_ATTRIBUTES: Final = (
    "<attributes><divisions>4</divisions><key><fifths>0</fifths></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time>"
    "<clef><sign>G</sign><line>2</line></clef>"
    "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose></attributes>"
)
_TEMPO: Final = (
    '<direction placement="above"><direction-type><metronome><beat-unit>quarter</beat-unit>'
    "<per-minute>120</per-minute></metronome></direction-type></direction>"
)


def score(
    title: str = "Harbour March",
    parts: Sequence[str] = ("Clarinet 2",),
    bars: int = 4,
    drill_in: int = 0,
    tempo: bool = True,
    words: str = "",
) -> str:
    """A score whose bars are sixteen sixteenths each, the last one a rest.

    Bar 2 carries rehearsal mark A; bar ``drill_in`` the word "drill" in the
    first part; ``words`` stand at the head of it in place of a tempo in numbers.
    """
    listed = "".join(
        f'<score-part id="P{n}"><part-name>{escape(name)}</part-name></score-part>'
        for n, name in enumerate(parts, 1)
    )
    head = _TEMPO if tempo and not words else _direction(f"<words>{words}</words>") if words else ""
    music = "".join(
        f'<part id="P{n}">{_measures(bars, drill_in if n == 1 else 0, head)}</part>'
        for n in range(1, len(parts) + 1)
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0">'
        f"<work><work-title>{escape(title)}</work-title></work>"
        f"<part-list>{listed}</part-list>{music}</score-partwise>"
    )


def _measures(bars: int, drill_in: int, head: str) -> str:
    text = ""
    for number in range(1, bars + 1):
        text += f'<measure number="{number}">'
        text += _ATTRIBUTES + head if number == 1 else ""
        text += _direction("<rehearsal>A</rehearsal>") if number == 2 else ""
        text += _direction("<words>drill</words>") if number == drill_in else ""
        text += _REST if number == bars else _sixteenths()
        text += "</measure>"
    return text


_REST: Final = '<note><rest measure="yes"/><duration>16</duration></note>'


def _direction(inside: str) -> str:
    return f"<direction><direction-type>{inside}</direction-type></direction>"


def _sixteenths() -> str:
    octave, notes = 4, ""
    for index, step in enumerate(SCALE):
        octave += index > 0 and step == "C"
        notes += (
            f"<note><pitch><step>{step}</step><octave>{octave}</octave></pitch>"
            "<duration>1</duration><type>16th</type></note>"
        )
    return notes


def pages_of(pdf: bytes) -> list[str]:
    """The words on each page, as pypdf finds them, with ligatures as letters."""
    pages = pypdf.PdfReader(BytesIO(pdf)).pages
    return [unicodedata.normalize("NFKC", page.extract_text()) for page in pages]


def open_to_all(folder: Path) -> None:
    """Let every user reach a folder of pytest's, which keeps its own to itself."""
    temporary = Path(tempfile.gettempdir())
    for place in (folder, *folder.parents):
        if temporary in place.parents:
            place.chmod(0o755)


def _or_skipped(
    done: subprocess.CompletedProcess[str], arguments: Sequence[str]
) -> subprocess.CompletedProcess[str]:
    if done.returncode == NoEngraverError.exit_code and _no_lilypond(arguments):
        pytest.skip(done.stderr)
    return done


def _no_lilypond(arguments: Sequence[str]) -> bool:
    """True where a test takes the LilyPond that is there, and there is none."""
    try:
        find_lilypond()
    except NoEngraverError:
        return "--lilypond" not in arguments
    return False


class Player:
    """Runs the program in a folder of its own, with a folder for temporary files."""

    def __init__(self, base: Path) -> None:
        self.folder = base / "folder"
        self.temporary = base / "temporary"
        self.environment_more: dict[str, str] = {}
        self.folder.mkdir()
        self.temporary.mkdir()

    @property
    def environment(self) -> dict[str, str]:
        """The usual environment, with our temporary folder and this source tree."""
        home = str(Path(drills.__file__).parents[1])
        return {
            **os.environ,
            "TMPDIR": str(self.temporary),
            "PYTHONPATH": home,
            **self.environment_more,
        }

    def command(self, *arguments: str) -> list[str]:
        """The argument list of ``python -m drills``."""
        return [sys.executable, "-m", "drills", *arguments]

    def run(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        """Run the program to its end; skip the test where it needs a LilyPond that is not there."""
        return _or_skipped(warm.run(arguments, self.folder, self.environment), arguments)

    def cold(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        """The same from the very start of an interpreter."""
        done = subprocess.run(
            self.command(*arguments),
            cwd=self.folder,
            env=self.environment,
            capture_output=True,
            encoding="utf-8",
            timeout=warm.LONGEST,
            check=False,
        )
        return _or_skipped(done, arguments)

    def at_a_terminal(self, typed: str, *arguments: str) -> tuple[str, str]:
        """Standard output, and what stands on the terminal that somebody types into.

        Standard input and standard error are the terminal, standard output is not.
        """
        ours, theirs = pty.openpty()
        with (
            tempfile.TemporaryFile() as output,
            subprocess.Popen(
                self.command(*arguments),
                cwd=self.folder,
                env=self.environment,
                stdin=theirs,
                stdout=output,
                stderr=theirs,
                start_new_session=True,
            ) as process,
        ):
            os.close(theirs)
            os.write(ours, typed.encode())
            seen = b""
            with contextlib.suppress(OSError):  # how Linux says that the other end is closed
                while more := os.read(ours, 4096):
                    seen += more
            os.close(ours)
            assert process.wait(60) == 0
            output.seek(0)
            told = output.read().decode()
        return told, seen.decode().replace("\r\n", "\n")

    def write(self, name: str, content: str | bytes) -> Path:
        """Put a file into the folder."""
        path = self.folder / name
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return path

    def script(self, name: str, lines: str) -> Path:
        """An executable shell script beside the folder: a LilyPond of our own."""
        path = self.folder.parent / name
        path.write_text(f"#!/bin/sh\n{lines}\n", encoding="utf-8")
        path.chmod(0o755)
        return path

    def files(self) -> list[str]:
        """Every name in the folder, hidden ones included."""
        return sorted(path.name for path in self.folder.iterdir())

    def left_behind(self) -> list[str]:
        """Whatever is still in the temporary folder."""
        return sorted(path.name for path in self.temporary.iterdir())
