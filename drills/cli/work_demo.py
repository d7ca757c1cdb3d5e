"""What ``drills demo`` does: the project's own music, its book, and what is made of it."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from drills.cli.options import RunOptions, session
from drills.cli.screen import Progress, say
from drills.cli.work import style_of
from drills.jobs.book import build_book
from drills.jobs.request import Outputs, Settings, Tell
from drills.jobs.sheet_files import Style
from drills.jobs.sheets import build_sheets
from drills.jobs.writing import files_of
from drills.output.files import OutputFile, check_files, new_folder, write_files
from drills.project.book import Book, BookPart, read_book
from drills.resources import scores_folder

_BOOK: Final = "harbour.toml"
_COPIED: Final = (".musicxml", ".toml")


def make_demo(folder: Path, run: RunOptions, force: bool) -> None:
    """Write the whole folder, or nothing; say what is in it and what to try next.

    Raises WriteError where files of the player would be lost.
    """
    music = scores_folder()
    book = read_book(music / _BOOK)
    style = style_of(run)
    with new_folder(folder), Progress(session()) as tell:
        files = [
            OutputFile(folder / path.name, path.read_bytes())
            for path in sorted(music.iterdir())
            if path.suffix in _COPIED
        ]
        check_files(files, force)  # before the long work
        files += _book_files(book, folder, style, tell)
        for entry in _one_for_each_score(book):
            files += _sheet_files(entry, folder, style, tell)
        write_files(files, force)
    if not session().quiet:
        say(_told(folder, files, book.parts[0]))


def _book_files(book: Book, folder: Path, style: Style, tell: Tell) -> Sequence[OutputFile]:
    outputs = Outputs(folder / book.path.with_suffix(".pdf").name, style=style)
    return files_of(build_book(book, Settings(), tell), outputs, tell)[0]


def _one_for_each_score(book: Book) -> list[BookPart]:
    """The first entry of every score that has a spot of its own."""
    entries: dict[Path, BookPart] = {}
    for entry in book.parts:
        if entry.spots:
            entries.setdefault(entry.path, entry)
    return list(entries.values())


def _sheet_files(entry: BookPart, folder: Path, style: Style, tell: Tell) -> Sequence[OutputFile]:
    """One spot of a part, as a page and with the drills as MusicXML and MIDI."""
    made = build_sheets(entry.path, [entry.spots[0].at], entry.part, Settings(), tell)
    path = folder / f"{entry.path.stem}-{made.name}.pdf"
    return files_of(made, Outputs(path, ("pdf", "musicxml", "midi"), style=style), tell)[0]


def _told(folder: Path, files: Sequence[OutputFile], first: BookPart) -> str:
    """What is there, and the commands to try next."""
    score = shlex.quote(str(folder / first.file))
    part = f" --part {shlex.quote(first.part)}" if first.part else ""
    at = shlex.quote(first.spots[0].at) if first.spots else "12"
    lines = [f"In {folder} there are now:"]
    lines += [f"  {file.path.name}" for file in files]
    lines += [
        f"Open {folder / Path(_BOOK).with_suffix('.pdf').name} first. Then try:",
        f"  drills show {score}",
        f"  drills sheet {score}{part} --at {at} --rhythm bursts",
        f"  drills book {shlex.quote(str(folder / _BOOK))} --student",
    ]
    return "\n".join(lines)
