"""From scores and a player's choices to finished files: the whole job, end to end.

The command line (and any other face) calls only what is here:

    sheets = build_sheets(Path("march.musicxml"), ["E:3"], None, Settings())
    write_outputs(sheets, Outputs(), Settings())

Reading this module is reading the pipeline: score -> part -> spans -> sheets ->
files.  Every error is a DrillsError; ``tell`` is called with the name of each
stage that may take long.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from drills.assumed import AskTempo, assumed_tempos, with_tempo
from drills.book import Book, BookPart, BookSpot, read_content
from drills.effort.settings import USUAL, Judgement
from drills.errors import BookError, PlaceError
from drills.folder import entry_of, find_parts
from drills.for_instrument.asked import Rewriting
from drills.for_instrument.rewrite import rewritten
from drills.music.score import Part
from drills.new_book import extended, new_book
from drills.output.files import (
    ENDINGS,
    OutputFile,
    check_place,
    made_from,
    safe_name,
    write_files,
)
from drills.reading.limits import Limits
from drills.reading.musicxml import ScoreFile, open_score, read_all, read_part
from drills.reading.partlist import choose
from drills.render import Rendered, SheetSet, Style, render
from drills.sheet import Choices, Sheet, make_sheet
from drills.wanted import Wanted, about, wanted_spots

if TYPE_CHECKING:  # imported only where chords are wanted
    from drills.sheet_chords import SheetChords

Tell = Callable[[str], None]
"""Called with the stage that begins: "reading march.musicxml"."""


def say_nothing(_: str) -> None:
    """The Tell that keeps quiet."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What a player can choose about the drills, and how large a score may be."""

    choices: Choices = field(default_factory=Choices)
    limits: Limits = field(default_factory=Limits)
    hardest: int = 0
    """How many of the hard spots that the program finds join those of the player."""
    judgement: Judgement = USUAL
    """By what they are found."""
    rewriting: Rewriting | None = None
    """For whose instrument the music is rewritten; None for the part's own."""
    functions: bool = False
    """Every sheet tells what each note is in the chord, and drills the chords."""
    said: tuple[tuple[str, str], ...] = ()
    """Places of the part with the chords that it writes there, whatever the score says."""


@dataclass(frozen=True, slots=True)
class Outputs:
    """Which files are written, where, and how."""

    path: Path | None = None
    """The file to write; named after part and place, in the current folder, unless given."""
    formats: tuple[str, ...] = ("pdf",)
    """Keys of files.ENDINGS; ``path`` is the first one, the others share its name."""
    force: bool = False
    """Replace files that are there already."""
    style: Style = field(default_factory=Style)

    def place(self, name: str, kind: str, page: str = "") -> Path:
        """Where a file of one format goes; ``name`` is the one that the sheets suggest."""
        if self.path is None:
            return Path(f"{name}{page}{ENDINGS[kind]}")
        ending = self.path.suffix if kind == self.formats[0] else ENDINGS[kind]
        return self.path.with_name(f"{self.path.stem}{page}{ending}")


@dataclass(frozen=True, slots=True)
class Written:
    """What a call has written."""

    paths: tuple[Path, ...] = ()
    pages: int = 0
    """Printed pages; 0 where nothing was printed."""
    remarks: tuple[str, ...] = ()
    """What the player should know."""


def build_sheets(
    score: Path,
    places: Sequence[str],
    part: str | None,
    settings: Settings,
    tell: Tell = say_nothing,
    *,
    ask_tempo: AskTempo | None = None,
) -> SheetSet:
    """One sheet for each place in one part, or for each spot that the score marks.

    The hardest spots of ``settings`` follow, as far as they share no note with those.
    ``part`` is a name or number, None where the score has one part.  ``ask_tempo``
    is called at most once, for the first tempo that is needed and that the score
    gives in words only; what is still assumed then is a remark.  Raises ReadError,
    UsageError, PlaceError, NotationError.
    """
    tell(f"reading {score}")
    music, chords = _music(open_score(score, settings.limits), part, settings)
    wanted = wanted_spots(music, [BookSpot(place) for place in places])
    if ask_tempo is not None:
        spans = [one.span for one in wanted]
        choices = with_tempo(
            music, spans, settings.choices, ask_tempo, everywhere=settings.hardest > 0
        )
        settings = replace(settings, choices=choices)
    tell(f"writing out the drills of {music.name or score}")
    sheets = _sheets(music, wanted, settings.choices, settings.rewriting, chords)
    if settings.hardest:
        sheets += _proposed(music, sheets, settings, chords)
    if not sheets:
        raise _nothing_to_drill(score, music, settings)
    asked = [sheet.spot.span.asked for sheet in sheets]
    name = sheets[0].part
    return SheetSet(
        sheets,
        file_name(name, asked),
        made_from(str(score), name, asked, music.credits.title),
        remarks=assumed_tempos(score, sheets, "give --tempo for another"),
    )


def build_book(book: Book, settings: Settings, tell: Tell = say_nothing) -> SheetSet:
    """A sheet for every spot of every part of a book, in the order of the book.

    A part without spots of its own takes those that its score marks; one with
    neither is left out with a remark.  Errors begin with the entry they are about.
    """
    opened: dict[Path, ScoreFile] = {}
    sheets: list[Sheet] = []
    remarks: list[str] = []
    unmarked: list[BookPart] = []
    for entry in book.parts:
        tell(f"reading {entry.file}")
        made = _book_sheets(entry, opened, settings)
        sheets += made
        remarks += assumed_tempos(entry.file, made, "write tempo = 120 under the part for another")
        if not made:
            unmarked.append(entry)
    if not sheets:
        raise BookError(
            f"{book.path}: no spot is marked in any part; under a part write [[part.spot]] and "
            'at = "12", or mark the notes with the word "drill" in the score'
        )
    return SheetSet(
        sheets=tuple(sheets),
        name=safe_name(book.path.stem),
        mark=made_from(str(book.path), "", []),
        book_title=book.title or book.path.stem,
        first_rehearsal=book.first_rehearsal,
        remarks=(*remarks, *_left_out(book, unmarked)),
    )


def _left_out(book: Book, parts: Sequence[BookPart]) -> tuple[str, ...]:
    """One line about the parts in which nothing is marked."""
    if len(parts) == 1:
        return (f"{parts[0].where}: no spot is marked in {parts[0].file}; it is left out",)
    names = [part.part or part.file for part in parts]
    more = f" and {len(names) - 5} more" if len(names) > 5 else ""
    told = f"{len(names)} parts have no marked spot and are left out: {', '.join(names[:5])}{more}"
    return (f"{book.path}: {told}",) if names else ()


def build_new_book(
    folder: Path, path: Path, part: str | None, settings: Settings, tell: Tell = say_nothing
) -> tuple[str, tuple[str, ...]]:
    """The text of a book for the scores of a folder, and what was left out of it.

    Where a book exists at ``path`` its text is kept and only added to.  Raises
    BookError where the folder has no score or the book cannot be added to.
    """
    found = find_parts(folder, path.parent, part, settings.limits, tell)
    if path.is_file():
        return extended(read_content(path), path, found.parts), found.remarks
    return new_book(folder.resolve().name, found.parts), found.remarks


def read_parts(
    score: Path, part: str | None, limits: Limits, tell: Tell = say_nothing
) -> tuple[tuple[int, Part], ...]:
    """One part of a score, or all of them, each with its number in the score.

    Raises ReadError and UsageError.
    """
    tell(f"reading {score}")
    opened = open_score(score, limits)
    if part is not None:
        chosen = read_part(opened, part)
        return ((entry_of(opened, chosen).number, chosen),)
    numbers = (entry.number for entry in opened.entries)
    return tuple(zip(numbers, read_all(opened), strict=True))


def write_outputs(made: SheetSet, outputs: Outputs, tell: Tell = say_nothing) -> Written:
    """Write the sheets in every format asked for: all files, or none.

    Raises WriteError, before any long work, where a file cannot be written or is
    not ours to replace; EngraveError where LilyPond fails.
    """
    for kind in outputs.formats:
        check_place(outputs.place(made.name, kind), made.mark, outputs.force)
    files, rendered = files_of(made, outputs, tell)
    write_files(files, outputs.force)
    return Written(tuple(file.path for file in files), rendered.pages, rendered.remarks)


def files_of(
    made: SheetSet, outputs: Outputs, tell: Tell = say_nothing
) -> tuple[tuple[OutputFile, ...], Rendered]:
    """Every file that ``outputs`` asks for, with its content, not yet written."""
    rendered = render(made, outputs.formats, outputs.style, tell)
    files = tuple(
        OutputFile(outputs.place(made.name, kind, _page(number, len(contents))), content, made.mark)
        for kind in outputs.formats
        for contents in (rendered.contents[kind],)
        for number, content in enumerate(contents, 1)
    )
    return files, rendered


def _page(number: int, count: int) -> str:
    """What a picture's name says of its page: nothing, "-2", "-02"."""
    return f"-{number:0{len(str(count))}}" if count > 1 else ""


def _book_sheets(
    entry: BookPart, opened: dict[Path, ScoreFile], settings: Settings
) -> tuple[Sheet, ...]:
    with about(entry.where):
        if entry.path not in opened:
            opened[entry.path] = open_score(entry.path, settings.limits)
        part, chords = _music(opened[entry.path], entry.part, settings)
    choices = settings.choices
    if entry.tempo is not None:
        choices = replace(choices, tempo=entry.tempo, tempo_beat=None, tempo_source="the book")
    rewriting = settings.rewriting or entry.rewriting
    wanted = wanted_spots(part, entry.spots, entry.where)
    return _sheets(part, wanted, choices, rewriting, chords)


def _music(
    score: ScoreFile, choice: str | None, settings: Settings
) -> tuple[Part, SheetChords | None]:
    """The part, and the chords of its score where they are asked for.

    Chords may have to be read from the notes of all parts; without them only the one
    part is read.
    """
    if not (settings.functions or settings.said):
        return read_part(score, choice), None
    from drills.sheet_chords import chords_behind  # noqa: PLC0415 - only where chords are wanted

    index = choose(score.entries, choice, score.where).number - 1
    parts = read_all(score)
    return parts[index], chords_behind(parts, index, settings.said)


def _sheets(
    part: Part,
    wanted: Sequence[Wanted],
    choices: Choices,
    rewriting: Rewriting | None,
    chords: SheetChords | None,
) -> tuple[Sheet, ...]:
    """A sheet for each spot; for another instrument each spot is moved by itself, so that
    none depends on which others are asked for."""
    sheets: list[Sheet] = []
    for one in wanted:
        with about(one.where):
            played = rewritten(part, rewriting, [one.span])
            harmonies = None if chords is None else chords.around(one.span, rewriting)
            sheets.append(make_sheet(played, one.span, choices, one.note, harmonies))
    return tuple(sheets)


def _nothing_to_drill(score: Path, part: Part, settings: Settings) -> PlaceError:
    if settings.hardest:
        return PlaceError(
            f"{score}: nothing in {part.name or 'the part'} is hard at its tempo; name a place "
            "with --at, or give a faster --tempo"
        )
    return PlaceError(
        f"{score}: no place is named and the score marks none; add, for example, --at 12, "
        "--at E:3 or --at 12@3-13@1 (drills show lists bars and rehearsal marks), or "
        "--hardest 5 for the hardest spots"
    )


def _proposed(
    part: Part, marked: Sequence[Sheet], settings: Settings, chords: SheetChords | None
) -> tuple[Sheet, ...]:
    """Sheets for the hardest spots that share no note with what is marked."""
    choices = settings.choices
    part = rewritten(part, settings.rewriting)
    from drills.effort.reasons import why  # noqa: PLC0415 - only for the hardest spots
    from drills.ranking import Judging, rank  # noqa: PLC0415 - only for the hardest spots

    how = Judging(choices.voice or "", choices.instrument, choices.asked_tempo, settings.judgement)
    theirs = [sheet.spot.span for sheet in marked]
    found = rank(part, how, top=settings.hardest, marked=theirs)
    same_voice = replace(choices, voice=found.judged.voice)
    return tuple(
        make_sheet(
            part,
            spot.span,
            same_voice,
            why(found.judged, spot),
            None if chords is None else chords.around(spot.span, settings.rewriting),
        )
        for spot in found.spots
    )


def file_name(part: str, asked: Sequence[str]) -> str:
    """PART-PLACE for a file: "Clarinet-2-E.3+12", or how many more where they are many."""
    name = safe_name(f"{part.replace(',', '') or 'part'}-{'+'.join(asked[:3])}")
    return f"{name}-and-{len(asked) - 3}-more" if len(asked) > 3 else name
