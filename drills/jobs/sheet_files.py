"""Sheets -> the content of finished files, in every format.

Problem: LilyPond is slow to start and engraves one text on one core.  Method:
the sheets go into as many texts as there are cores, of about equal work, which
are engraved side by side and joined in order.  A book's contents page needs the
number of pages of every sheet, so it is engraved after them.

Nothing here touches a file that the player sees: a name and its bytes go out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from importlib import import_module
from itertools import accumulate
from pathlib import Path
from threading import Thread
from typing import Final

from drills.music.tempo import Tempo
from drills.music.time import NoteValue
from drills.output.engrave import Ahead, Engraved, Engraving, cores, engrave
from drills.output.lilypond.document import ContentsEntry, contents_text, sheets_text
from drills.output.lilypond.page import Page
from drills.output.pictures import marked_png, marked_svg
from drills.output.portions import split_sheets
from drills.sheets.sheet import Sheet

FACING: Final = 2
"""Pages of a sheet that are looked at together."""
PRINTED = ("pdf", "png", "svg")
"""The formats that LilyPond makes."""


@dataclass(frozen=True, slots=True)
class SheetSet:
    """Sheets that are written together."""

    sheets: tuple[Sheet, ...]
    """At least one."""
    name: str
    """A file name for them, without an ending."""
    mark: str
    """Embedded in every file, so that a later run knows its own."""
    book_title: str = ""
    """Of a book, which gets a contents page; empty for single sheets."""
    first_rehearsal: date | None = None
    remarks: tuple[str, ...] = ()
    """What was left out."""
    inputs: tuple[Path, ...] = ()
    """The files that they are made from, which nothing may replace."""
    careful: bool = False
    """They come along with something else, and replace nothing that was made with choices."""


@dataclass(frozen=True, slots=True)
class Style:
    """How sheets are printed and played."""

    page: Page = field(default_factory=Page)
    engraving: Engraving = field(default_factory=Engraving)
    ahead: Ahead | None = None
    """A LilyPond that was started while the score was read."""
    midi_tempo: tuple[NoteValue | None, Fraction] | None = None
    """What the MIDI file counts and how often; the performing tempo unless given."""


@dataclass(frozen=True, slots=True)
class Rendered:
    """Files to be, by format; pictures have one content for each page."""

    contents: dict[str, tuple[bytes, ...]]
    pages: int = 0
    """0 where nothing was printed."""
    remarks: tuple[str, ...] = ()
    """What the player should know about the print."""


def render(
    made: SheetSet, formats: Sequence[str], style: Style, tell: Callable[[str], None]
) -> Rendered:
    """The content of a file in each of ``formats`` (keys of files.ENDINGS).

    Raises EngraveError, and UsageError for a tempo that no MIDI file can hold.
    """
    contents: dict[str, tuple[bytes, ...]] = {}
    if "ly" in formats:
        contents["ly"] = (sheets_text(made.sheets, style.page, made.mark).encode(),)
    if "musicxml" in formats:
        from drills.output.musicxml import musicxml_bytes  # noqa: PLC0415 - only where asked for

        tell("writing MusicXML")
        contents["musicxml"] = (musicxml_bytes(made.sheets, made.mark),)
    if "midi" in formats:
        from drills.output.midi import midi_bytes  # noqa: PLC0415 - only where asked for

        tell("writing MIDI")
        contents["midi"] = (midi_bytes(_at_tempo(made.sheets, style.midi_tempo), mark=made.mark),)
    printed = [name for name in PRINTED if name in formats]
    if not printed:
        return Rendered(contents)
    return _printed(made, printed, style, contents, tell)


def _printed(
    made: SheetSet,
    formats: Sequence[str],
    style: Style,
    contents: dict[str, tuple[bytes, ...]],
    tell: Callable[[str], None],
) -> Rendered:
    count = len(made.sheets)
    tell(f"engraving {count} sheets" if count > 1 else "engraving the sheet")
    with pdf_library_meanwhile():
        runs = [_engraved_sheets(made, formats, style)]
    pages = [number for text in runs[0].pages for number in text]
    if made.book_title:
        tell("engraving the contents page")
        runs.insert(0, _engraved_contents(made, pages, formats, style))
    before = sum(sum(text) for text in runs[0].pages) if made.book_title else 0
    pdfs = [pdf for run in runs for pdf in run.pdfs]
    if pdfs:
        contents["pdf"] = (_joined(made, pdfs, pages, before),)
    if "png" in formats:
        contents["png"] = tuple(marked_png(png, made.mark) for run in runs for png in run.pngs)
    if "svg" in formats:
        contents["svg"] = tuple(marked_svg(svg, made.mark) for run in runs for svg in run.svgs)
    remarks = tuple(dict.fromkeys(remark for run in runs for remark in run.remarks))
    empty = _empty_before(pages, before) if made.book_title and pdfs else []
    return Rendered(contents, before + sum(pages) + len(empty), remarks)


@contextmanager
def pdf_library_meanwhile() -> Iterator[None]:
    """Import the PDF library while LilyPond works, which takes longer.

    Awaited also where LilyPond fails: a program that ends in the middle of such
    an import may crash.
    """
    importing = Thread(target=import_module, args=("drills.output.pdf",), daemon=True)
    importing.start()
    try:
        yield
    finally:
        importing.join()


def _engraved_sheets(made: SheetSet, formats: Sequence[str], style: Style) -> Engraved:
    portions = split_sheets(made.sheets, style.engraving.workers or cores())
    first = accumulate((len(portion) for portion in portions), initial=1)
    numbered = len(made.sheets) > 1
    texts = [
        sheets_text(portion, style.page, made.mark, number, numbered=numbered)
        for number, portion in zip(first, portions, strict=False)
    ]
    return engrave(texts, formats, style.engraving, style.ahead)


def _engraved_contents(
    made: SheetSet, pages: Sequence[int], formats: Sequence[str], style: Style
) -> Engraved:
    """The contents page; once more where it takes more pages than was thought.

    The sheets begin after it, so the pages it names depend on how many it has.
    """
    before = 1
    while True:
        text = _contents_text(made, pages, before, style)
        engraved = engrave([text], formats, style.engraving)
        taken = sum(sum(counts) for counts in engraved.pages)
        if taken <= before:
            return engraved
        before = taken


def _contents_text(made: SheetSet, pages: Sequence[int], before: int, style: Style) -> str:
    """The contents page of a book whose sheets begin after ``before`` pages."""
    starts = [start + 1 for start in _starts(pages, before)]
    entries = [
        ContentsEntry(number, *titles_of(sheet), sheet.words, sheet.spot.note, start)
        for number, (sheet, start) in enumerate(zip(made.sheets, starts, strict=False), 1)
    ]
    return contents_text(made.book_title, made.first_rehearsal, entries, style.page, made.mark)


def titles_of(sheet: Sheet) -> tuple[str, str]:
    """Piece and part as they head the sheet itself: the part alone where no piece is named."""
    title = sheet.credits.title
    return (title, sheet.part) if title else (sheet.part, "")


def _about(made: SheetSet) -> tuple[str, str]:
    """Title and subject for the PDF's metadata."""
    first = made.sheets[0]
    parts = ", ".join(dict.fromkeys(sheet.part for sheet in made.sheets if sheet.part))
    title = made.book_title or first.credits.title or first.part
    places = "; ".join(sheet.words for sheet in made.sheets[:3])
    more = f"; and {len(made.sheets) - 3} more" if len(made.sheets) > 3 else ""
    return title, f"{parts}: {places}{more}" if parts else f"{places}{more}"


def _joined(made: SheetSet, pdfs: Sequence[bytes], pages: Sequence[int], before: int) -> bytes:
    """One PDF with a bookmark for every sheet of several, after ``before`` pages of contents."""
    from drills.output.pdf import Bookmark, join_pdf  # noqa: PLC0415 - imported by now

    starts = _starts(pages, before) if made.book_title else list(accumulate(pages, initial=before))
    several = zip(made.sheets, starts, strict=False) if len(made.sheets) > 1 else ()
    outline = [
        Bookmark(" · ".join(filter(None, (*titles_of(sheet), sheet.words))), start)
        for sheet, start in several
    ]
    empty = _empty_before(pages, before) if made.book_title else ()
    return join_pdf(pdfs, *_about(made), made.mark, outline, empty_before=empty)


def _starts(pages: Sequence[int], before: int) -> list[int]:
    """On which page of a book, from 0, each sheet begins.

    The first page of a book is a right-hand one.  A sheet of two pages begins on the left,
    so that both face the player and no turn falls inside it; where it would not, an empty
    page goes before it.
    """
    starts, at = [], before
    for count in pages:
        at += count == FACING and at % 2 == 0
        starts.append(at)
        at += count
    return starts


def _empty_before(pages: Sequence[int], before: int) -> list[int]:
    """The pages, counted without empty ones, before which an empty one goes."""
    plain = list(accumulate(pages, initial=before))
    gaps = [start - at for start, at in zip(_starts(pages, before), plain, strict=False)]
    return [at for at, gap, last in zip(plain, gaps, [0, *gaps], strict=False) if gap > last]


def _at_tempo(
    sheets: Sequence[Sheet], asked: tuple[NoteValue | None, Fraction] | None
) -> tuple[Sheet, ...]:
    """The sheets with the tempo asked for, each counted in its own beat unless said."""
    if asked is None:
        return tuple(sheets)
    value, number = asked
    return tuple(
        replace(
            sheet,
            tempo=Tempo(number, value.length, "--midi-tempo").counted_in(sheet.tempo.beat)
            if value is not None
            else Tempo(number, sheet.tempo.beat, "--midi-tempo"),
        )
        for sheet in sheets
    )
