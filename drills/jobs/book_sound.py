"""A player's book -> practice sound for all its sheets, numbered as the sheets are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from drills.errors import BookError, PlaceError
from drills.jobs.request import Settings, Tell, say_nothing
from drills.jobs.sheet_files import SheetSet
from drills.jobs.sound import build_practice
from drills.jobs.sound_files import PracticeSet
from drills.jobs.wanted_spots import about
from drills.output.files import made_from, safe_name
from drills.places.finding import split_places
from drills.project.book import Book, BookPart
from drills.sound.practice.choices import PracticeChoices


def build_book_practice(
    book: Book,
    settings: Settings,
    choices: PracticeChoices,
    *,
    tell: Tell = say_nothing,
    each: bool = False,
) -> PracticeSet:
    """Practice sound for every spot of a book, in the order of the book.

    A part without spots of its own takes those that its score marks; one with neither is
    left out with a remark.  Errors begin with the entry they are about.
    """
    made: list[PracticeSet] = []
    remarks: list[str] = []
    for done, entry in enumerate(book.parts):
        tell(f"reading {entry.file} ({100 * done // len(book.parts)} %)")
        try:
            made.append(_of_part(entry, settings, choices, each))
        except PlaceError:
            if entry.spots:
                raise
            remarks.append(f"{entry.where}: no spot is marked in {entry.file}; it is left out")
    if not made:
        raise BookError(f"{book.path}: no spot is marked in any part")
    sheets = tuple(sheet for one in made for sheet in one.sheets.sheets)
    names = [name for one in made for name in one.names]
    width = max(2, len(str(len(names))))
    told = [remark for one in made for remark in one.sheets.remarks]
    return PracticeSet(
        spots=tuple(spot for one in made for spot in one.spots),
        sheets=SheetSet(
            sheets,
            safe_name(book.path.stem),
            made_from(str(book.path), "", [], choices=settings.chosen),
            remarks=(*told, *remarks),
            inputs=(book.path, *(entry.path for entry in book.parts)),
        ),
        names=tuple(f"{number:0{width}}-{name}" for number, name in enumerate(names, 1)),
    )


def _of_part(
    entry: BookPart, settings: Settings, choices: PracticeChoices, each: bool
) -> PracticeSet:
    drilled = settings.choices
    if entry.tempo is not None:
        drilled = replace(drilled, tempo=entry.tempo, tempo_beat=None, tempo_source="the book")
    own = replace(
        settings,
        choices=drilled,
        rewriting=settings.rewriting or entry.rewriting,
        given=entry.given,
    )
    places = [place for spot in entry.spots for place in split_places(spot.at)]
    with about(entry.where):
        return build_practice(entry.path, places, entry.part, own, choices, each=each)


def with_percentage(tell: Callable[[str], None], files: int) -> Callable[[str], None]:
    """A Tell that adds how much of the writing is done."""
    written = 0

    def told(stage: str) -> None:
        nonlocal written
        if stage.startswith("writing"):
            tell(f"{stage} ({100 * written // max(1, files)} % of all)")
            written += 1
        else:
            tell(stage)

    return told
