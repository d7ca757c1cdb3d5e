r"""Sheets -> one LilyPond document.  Pure text: nothing here starts a program.

Every sheet is a ``\bookpart`` with page numbers of its own.  The templates hold
the layout; this module prepares what they print.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from textwrap import shorten
from typing import Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Undefined

from drills.output.lilypond import words as ly
from drills.output.lilypond.page import Page
from drills.output.lilypond.section_view import doubling_lines, section_view, silent_view
from drills.output.lilypond.sheet_view import sheet_view
from drills.output.lilypond.words import LilyPond
from drills.resources import templates_folder
from drills.section.players import Player, PlayerPage, Section
from drills.sheets.sheet import Sheet

NOTE: Final = 80
"""Characters of a note on the contents page, where it has a line; all of it stands on its sheet."""


@dataclass(frozen=True, slots=True)
class ContentsEntry:
    """One line of a book's contents page."""

    number: int
    """The sheet's number."""
    piece: str
    part: str
    words: str
    """The spot for reading."""
    note: str
    """The player's own words."""
    page: int
    """The page of the book on which the sheet begins, from 1."""


def _printed(value: object) -> object:
    """What a template may print: LilyPond text as it is, numbers, and any other text quoted.

    So a string that a template forgets to quote cannot reach LilyPond bare.
    """
    if isinstance(value, float):
        return f"{value:.3f}"
    if isinstance(value, LilyPond | Undefined) or type(value) is int:
        return value
    if isinstance(value, str):
        return ly.ly_string(value)
    raise TypeError(f"{value!r} is nothing that a page prints")


@cache
def _environment() -> Environment:
    """The templates, with delimiters that do not occur in LilyPond."""
    environment = Environment(
        loader=FileSystemLoader(templates_folder()),
        undefined=StrictUndefined,
        variable_start_string="<%=",
        variable_end_string="%>",
        block_start_string="<%",
        block_end_string="%>",
        comment_start_string="<%#",
        comment_end_string="%>",
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        finalize=_printed,
    )
    environment.filters["ly_string"] = ly.ly_string
    environment.filters["comment"] = ly.comment
    environment.filters["as_ly"] = LilyPond
    return environment


Leaf = Sheet | PlayerPage | Section
"""What makes a book part of its own."""


def sheets_text(
    sheets: Sequence[Sheet],
    page: Page,
    mark: str,
    number_from: int = 1,
    *,
    numbered: bool = False,
    with_midi: bool = False,
) -> str:
    """One LilyPond document with a book part for each sheet.

    ``mark`` is kept in a comment on top.  Sheets are numbered from
    ``number_from``; the number is printed where there are several or where
    ``numbered`` says so.  ``with_midi`` adds a MIDI file for every score: the
    excerpt, each size of cells, each line.
    """
    several = numbered or len(sheets) > 1
    views = [_view(one, page, n, numbered=several) for n, one in enumerate(sheets, number_from)]
    return _document(views, page, mark, with_midi=with_midi)


def leaves_text(leaves: Sequence[Leaf], page: Page, mark: str) -> str:
    """One LilyPond document with a book part for each leaf, none with a number of its own."""
    views = [_view(leaf, page, n, numbered=False) for n, leaf in enumerate(leaves, 1)]
    return _document(views, page, mark)


def _view(leaf: Leaf, page: Page, number: int, *, numbered: bool) -> dict[str, object]:
    match leaf:
        case Section():
            return section_view(leaf, page, number, numbered=numbered)
        case PlayerPage(player=Player(sheet=None)):
            return silent_view(leaf, number, numbered=numbered)
        case PlayerPage(player=Player(sheet=Sheet() as sheet)):
            lines = doubling_lines(leaf.player)
            return sheet_view(sheet, page, number, numbered=numbered, lines=lines)
        case Sheet():
            return sheet_view(leaf, page, number, numbered=numbered)
    raise TypeError(f"{leaf!r} is nothing that a page prints")


def _document(
    views: Sequence[dict[str, object]], page: Page, mark: str, *, with_midi: bool = False
) -> str:
    template = _environment().get_template("sheets.ly")
    return template.render(
        page=page,
        mark=mark,
        with_midi=with_midi,
        with_functions=any(view["with_functions"] for view in views),
        views=views,
        mm=page.spaces,
    )


def contents_text(
    title: str,
    first_rehearsal: date | None,
    entries: Sequence[ContentsEntry],
    page: Page,
    mark: str,
) -> str:
    """The contents page of a book of sheets."""
    template = _environment().get_template("contents.ly")
    return template.render(
        title=title,
        first_rehearsal=_spoken(first_rehearsal),
        entries=[replace(one, note=shorten(one.note, NOTE, placeholder=" …")) for one in entries],
        page=page,
        mark=mark,
        mm=page.spaces,
    )


@dataclass(frozen=True, slots=True)
class SessionRow:
    """One line of a session's page: something to play, or a break."""

    number: str
    what: str
    minutes: str
    numbers: str
    """From which number of the metronome to which."""
    rest: str = ""
    """Words of a break; empty for something to play."""


def session_text(
    title: str,
    about: str,
    rows: Sequence[SessionRow],
    cautions: Sequence[str],
    *,
    page: Page,
    mark: str,
) -> str:
    """The page of one session, its letters smaller the more there is to play."""
    size = next(points for most, points in ((18, 11), (26, 10), (999, 9)) if len(rows) <= most)
    template = _environment().get_template("today.ly")
    return template.render(
        title=title,
        about=about,
        rows=rows,
        cautions=cautions,
        size=size,
        gap=1.1 if len(rows) <= 18 else 0.5,
        page=page,
        mark=mark,
        mm=page.spaces,
    )


@dataclass(frozen=True, slots=True)
class TakeText:
    """What stands around the music of a judged take."""

    title: str
    part: str
    about: str
    """Place, what was played, which recording."""
    said: str
    """The sentence on top."""
    legend: tuple[str, ...]


def take_text(
    words: TakeText, view: Mapping[str, object], page: Page, mark: str, *, as_one: bool
) -> str:
    """One LilyPond document with the picture of a judged take (take_view.py).

    ``as_one``: a page as high as what is on it, in place of the paper's.
    """
    template = _environment().get_template("take.ly")
    return template.render(
        title=words.title,
        part=words.part,
        about=words.about,
        said=words.said,
        legend=words.legend,
        running=" · ".join(text for text in (words.title, words.part, words.about) if text),
        as_one=as_one,
        view=view,
        page=page,
        mark=mark,
        mm=page.spaces,
    )


def _spoken(day: date | None) -> str:
    """A day as one says it: "Monday, 1 March 2027"."""
    return f"{day:%A}, {day.day} {day:%B} {day.year}" if day else ""
