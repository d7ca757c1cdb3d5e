"""What the commands do, once their options are read.

Apart from the commands, so that reading music and engraving are imported only
when there is work: ``drills sheet --help`` and a misspelt option answer at once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Final

from drills.cli.ask import ask_silent, ask_tempo, can_ask
from drills.cli.describe import described
from drills.cli.options import ChordOptions, FileOptions, RunOptions, session
from drills.cli.part_table import table
from drills.cli.screen import Progress, complain, say, say_data
from drills.effort.settings import USUAL, read_judgement
from drills.errors import UsageError, WriteError
from drills.harmony.tuning import FROM_ROOT, Tuned
from drills.jobs.assumed_tempo import AskTempo
from drills.jobs.book import build_book, build_new_book
from drills.jobs.parts import read_parts
from drills.jobs.request import Outputs, Settings, Written
from drills.jobs.sheet_files import SheetSet, Style
from drills.jobs.sheets import build_sheets
from drills.jobs.writing import write_outputs
from drills.music.tempo import Tempo
from drills.output.engrave import Ahead, Engraving
from drills.output.files import ENDINGS, OutputFile, check_place, write_files
from drills.output.lilypond.page import Page
from drills.project.book import BOOK_NAME, read_book
from drills.reading.given import NOTHING_GIVEN, Given, Silence
from drills.reading.limits import Limits
from drills.reading.source import ScoreSource
from drills.rewriting.asked import Rewriting
from drills.sheets.choices import Choices

_OTHER_ENDINGS: Final = {".xml": "musicxml", ".midi": "midi"}


def make_sheets(
    score: ScoreSource,
    places: Sequence[str],
    part: str | None,
    *,
    choices: Choices,
    pages: int = 0,
    limits: Mapping[str, str],
    given: Given = NOTHING_GIVEN,
    hardest: int,
    weights: Path | None,
    chords: ChordOptions | None = None,
    tuned: Tuned = FROM_ROOT,
    rewriting: Rewriting | None = None,
    files: FileOptions,
    run: RunOptions,
    ahead: Ahead | None = None,
) -> None:
    """Sheets for places in one part, and for the hardest spots that are found in it."""
    judgement = USUAL if weights is None else read_judgement(weights)
    settings = Settings(choices, Limits().with_values(limits), hardest, judgement, rewriting)
    settings = replace(settings, page=style_of(run).page, pages=pages)
    if chords is not None:
        settings = replace(settings, functions=chords.functions, said=chords.chord, tuned=tuned)

    def build(tell: Progress) -> SheetSet:
        ask = asking(tell, as_data=files.json)
        known = replace(settings, given=asking_silent(given, tell, as_data=files.json))
        return build_sheets(score, places, part, known, tell, ask_tempo=ask)

    _finish(build, files, run, ahead)


def make_book(
    path: Path,
    choices: Choices,
    limits: Mapping[str, str],
    files: FileOptions,
    run: RunOptions,
    *,
    rewriting: Rewriting | None = None,
    functions: bool = False,
    pages: int = 0,
    evening: Fraction | None = None,
) -> None:
    """Sheets for everything that a book marks."""
    settings = Settings(
        choices,
        Limits().with_values(limits),
        rewriting=rewriting,
        functions=functions,
        page=style_of(run).page,
        pages=pages,
        evening=evening,
    )
    book = read_book(path)
    _finish(lambda tell: build_book(book, settings, tell), files, run)


def make_new_book(
    folder: Path, part: str | None, limits: Mapping[str, str], files: FileOptions, hardest: int = 0
) -> None:
    """Write the first book of a folder, or add to the one that is there."""
    path = files.output or folder / BOOK_NAME
    settings = Settings(limits=Limits().with_values(limits), hardest=hardest)
    if path.is_file() and not files.force:
        raise WriteError(
            f"{path} is there already; --force adds what is new and keeps your own lines, -o FILE "
            "writes another book"
        )
    if folder.is_dir():
        check_place(path, force=files.force)
    with Progress(session()) as tell:
        text, remarks = build_new_book(folder, path, part, settings, tell)
        write_files([OutputFile(path, text.encode())], force=files.force)
    remark(remarks)
    if not session().quiet:
        say(f"{path}")


def show(
    score: ScoreSource,
    part: str | None,
    limits: Mapping[str, str],
    as_data: bool,
    given: Given = NOTHING_GIVEN,
) -> None:
    """Print what is in a score, in words or as data."""
    with Progress(session()) as tell:
        known = asking_silent(given, tell, as_data=as_data)
        parts = read_parts(score, part, Limits().with_values(limits), tell, known)
        if as_data:
            from drills.output.data import json_text, part_data  # noqa: PLC0415 - only for --json

            text = json_text([part_data(one) for _, one in parts])
        else:
            text = (described if len(parts) == 1 else table)(parts, str(score))
    (say_data if as_data else say)(text)


def outputs_of(files: FileOptions, run: RunOptions) -> Outputs:
    """What is to be written, from the name given with ``-o`` and the formats beside it.

    Raises UsageError for a name whose ending is no format.
    """
    first = () if files.json and files.output is None else (_format(files.output),)
    formats = tuple(dict.fromkeys((*first, *files.also)))
    style = replace(style_of(run), midi_tempo=files.midi_tempo)
    return Outputs(files.output, formats, files.force, style)


def style_of(run: RunOptions) -> Style:
    """The page and the way to LilyPond, with what is usual where nothing was chosen."""
    page, engraving = Page(run.paper), Engraving(run.lilypond)
    if run.staff_size is not None:
        page = replace(page, staff_size=run.staff_size)
    if run.time_limit is not None:
        engraving = replace(engraving, time_limit=run.time_limit)
    return Style(page, engraving)


def _finish(
    build: Callable[[Progress], SheetSet],
    files: FileOptions,
    run: RunOptions,
    ahead: Ahead | None = None,
) -> None:
    """Build the sheets, write what was asked for, and report."""
    outputs = outputs_of(files, run)
    outputs = replace(outputs, style=replace(outputs.style, ahead=ahead))
    with Progress(session()) as tell:
        made = build(tell)
        written = write_outputs(made, outputs, tell)
        data = _data(made) if files.json else ""
    told = (one for sheet in made.sheets for one in sheet.remarks)
    remark((*made.remarks, *told, *written.remarks))
    if files.json:
        say_data(data)
    else:
        _report(written)


def _data(made: SheetSet) -> str:
    from drills.output.data import json_text, sheets_data  # noqa: PLC0415 - only for --json

    return json_text(sheets_data(made.sheets))


def asking(tell: Progress, *, as_data: bool) -> AskTempo | None:
    """What asks the player for a tempo; None where nobody is there to be asked."""
    if session().quiet or as_data or not can_ask():
        return None

    def ask(tempo: Tempo) -> Tempo:
        with tell.paused():
            return ask_tempo(tempo)

    return ask


def asking_silent(given: Given, tell: Progress, *, as_data: bool) -> Given:
    """The same; where somebody is there, they are asked for what a file does not say."""
    if session().quiet or as_data or not can_ask():
        return given

    def ask(where: str, silence: Silence) -> Given:
        with tell.paused():
            return ask_silent(where, silence)

    return replace(given, ask=ask)


def remark(remarks: Sequence[str]) -> None:
    """Say what the player should know, each thing once."""
    if not session().quiet:
        for one in dict.fromkeys(remarks):
            complain(one)


def _report(written: Written) -> None:
    """Name the files that were written, the first with its pages."""
    if session().quiet:
        return
    for number, path in enumerate(written.paths):
        say(f"{path}{with_pages(written.pages if number == 0 else 0)}")


def with_pages(count: int) -> str:
    """What stands after the name of a printed file; nothing after one that is not printed."""
    return f" ({count} page{'s' if count > 1 else ''})" if count else ""


def _format(path: Path | None) -> str:
    if path is None:
        return "pdf"
    names = {ending: name for name, ending in ENDINGS.items()} | _OTHER_ENDINGS
    if path.suffix.lower() not in names:
        raise UsageError(f"-o {path}: end the name in one of {', '.join(ENDINGS.values())}")
    return names[path.suffix.lower()]
