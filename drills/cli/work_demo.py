"""What ``drills demo`` does: the project's own music, its book, and what is made of it."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from drills.cli.options import RunOptions, session
from drills.cli.ranked import ranked
from drills.cli.screen import Progress, complain, say
from drills.cli.work import style_of
from drills.errors import NoEngraverError
from drills.jobs.book import build_book
from drills.jobs.request import Outputs, Settings, Tell
from drills.jobs.sheet_files import Style
from drills.jobs.sheets import build_sheets
from drills.jobs.sound import build_practice
from drills.jobs.sound_files import SoundOutputs, sound_files
from drills.jobs.spots import Judging, plotted, rank_part
from drills.jobs.writing import files_of
from drills.output.engrave import find_lilypond
from drills.output.files import OutputFile, check_files, new_folder, write_files
from drills.project.book import Book, BookPart, read_book
from drills.resources import scores_folder
from drills.sound.practice.choices import PracticeChoices
from drills.sound.practice.climb import Climb

_BOOK: Final = "harbour.toml"
_COPIED: Final = (".musicxml", ".toml")
_TOP: Final = 5
"""Hard spots that are listed."""
_RUNGS: Final = 4
"""Tempos of the click that climbs: long enough to hear what it is."""


def make_demo(folder: Path, run: RunOptions, force: bool) -> None:
    """Write the whole folder, or nothing; say what is in it and what to try next.

    Where there is no LilyPond, everything that needs none is written, and how to get
    the pages is told.  Raises WriteError where files of the player would be lost.
    """
    music = scores_folder()
    book = read_book(music / _BOOK)
    style = style_of(run)
    missing: NoEngraverError | None = None
    with new_folder(folder), Progress(session()) as tell:
        files = [
            OutputFile(folder / path.name, path.read_bytes())
            for path in sorted(music.iterdir())
            if path.suffix in _COPIED
        ]
        check_files(files, force)  # before the long work
        try:
            made = _made(book, folder, style, tell, pages=True)
        except NoEngraverError as error:
            missing = error
            made = _made(book, folder, style, tell, pages=False)
        files += made
        write_files(files, force)
    if missing is not None:
        complain(f"no pages are written: {missing}; then run the same command again")
    if not session().quiet:
        say(_told(folder, files, book.parts[0], pages=missing is None))


def _made(
    book: Book, folder: Path, style: Style, tell: Tell, *, pages: bool
) -> Sequence[OutputFile]:
    """Everything beside the music itself; raises NoEngraverError for ``pages`` without LilyPond."""
    files: list[OutputFile] = []
    if pages:
        find_lilypond(style.engraving.program)
        files += _book_files(book, folder, style, tell)
    for entry in _one_for_each_score(book):
        files += _sheet_files(entry, folder, style, tell, pages=pages)
    return (*files, *_hard_spots(book, folder, tell), *_sound_files(book, folder, tell))


def _hard_spots(book: Book, folder: Path, tell: Tell) -> Sequence[OutputFile]:
    """Where the first part is hard, in words and as a picture."""
    part = book.parts[0]
    ranking = rank_part(part.path, part.part, Judging(), top=_TOP, tell=tell)
    name = f"{part.path.stem}-hard-spots"
    told = ranked(ranking, range(1, len(ranking.spots) + 1))
    words = OutputFile(folder / f"{name}.txt", f"{told}\n".encode())
    return words, plotted(ranking, folder / f"{name}.svg")


def _sound_files(book: Book, folder: Path, tell: Tell) -> Sequence[OutputFile]:
    """A click that climbs, for the first spot."""
    part = book.parts[0]
    climb = Climb(rungs=_RUNGS, repetitions=1)
    made = build_practice(
        part.path,
        [part.spots[0].at],
        part.part,
        Settings(),
        PracticeChoices(climb=climb, voices=("click", "line")),
        tell=tell,
    )
    path = folder / f"{part.path.stem}-{made.names[0]}-click.mp3"
    return sound_files(made, SoundOutputs(path, ("mp3",)), tell)


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


def _sheet_files(
    entry: BookPart, folder: Path, style: Style, tell: Tell, *, pages: bool
) -> Sequence[OutputFile]:
    """One spot of a part, as a page and with the drills as MusicXML and MIDI."""
    made = build_sheets(entry.path, [entry.spots[0].at], entry.part, Settings(), tell)
    path = folder / f"{entry.path.stem}-{made.name}.pdf"
    if pages:
        formats: tuple[str, ...] = ("pdf", "musicxml", "midi")
    else:
        path, formats = path.with_suffix(".musicxml"), ("musicxml", "midi")
    return files_of(made, Outputs(path, formats, style=style), tell)[0]


def _told(folder: Path, files: Sequence[OutputFile], first: BookPart, *, pages: bool) -> str:
    """What is there, and the commands to try next: those that work without pages, too."""
    score = shlex.quote(str(folder / first.file))
    part = f" --part {shlex.quote(first.part)}" if first.part else ""
    at = shlex.quote(first.spots[0].at) if first.spots else "12"
    there = [f"In {folder} there are now:", *(f"  {file.path.name}" for file in files)]
    if pages:
        tries = [
            f"Open {folder / Path(_BOOK).with_suffix('.pdf').name} first. Then try:",
            f"  drills show {score}",
            f"  drills sheet {score}{part} --at {at} --rhythm bursts",
            f"  drills book {shlex.quote(str(folder / _BOOK))} --student",
        ]
    else:
        drills = shlex.quote(str(folder / "drills.musicxml"))
        tries = [
            "The drills are there as MusicXML, which every notation program opens. Then try:",
            f"  drills show {score}",
            f"  drills sheet {score}{part} --at {at} -o {drills}",
            f"  drills spots {score}{part}",
        ]
    return "\n".join([*there, *tries])
