r"""Sheets -> one LilyPond document.  Pure text: nothing here starts a program.

Every sheet is a ``\bookpart`` with page numbers of its own.  The templates hold
the layout; this module prepares what they print.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from itertools import accumulate
from typing import Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Undefined

from drills.drill import Drill, DrillKind
from drills.ladder import Ladder, settable, shown
from drills.music.score import Bar
from drills.music.time import ZERO, NoteValue
from drills.output.lilypond import rows, spacing
from drills.output.lilypond import words as ly
from drills.output.lilypond.heights import fit, line_systems, number_level
from drills.output.lilypond.music import Passage, write_excerpt, write_passages
from drills.output.lilypond.page import Page
from drills.output.lilypond.words import NOTHING, LilyPond
from drills.resources import templates_folder
from drills.sheet import DrillGroup, Sheet

FULL_ENOUGH: Final = 0.2
"""A line whose music fills less of it than this is not stretched to the margin."""

WHOLE: Final = 4
"""A line in one rhythm of so many systems is not divided between two pages."""

LADDER_LABEL: Final = 38.0
"""Millimetres for the words beside the ladder."""
BOX: Final = 2.5
"""Millimetres of one box to tick."""
RUNG: Final = 18.0
"""Millimetres of one rung at least."""
BOX_GAP: Final = 0.5
RUNG_GAP: Final = 2.5
TITLE_LINE: Final = 62
"""Characters of piece and part together that stand on one line."""


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


@dataclass(frozen=True, slots=True)
class _Score:
    """One ``\\score`` block."""

    kind: str
    """"excerpt", "cells" or "line": the template's layout for it."""
    music: LilyPond
    heading: str = ""
    aside: str = ""
    """Printed on the line of the heading, at its right end."""
    numbers: LilyPond = NOTHING
    chords: LilyPond = NOTHING
    labels: LilyPond = NOTHING
    bar_numbers: tuple[str, ...] = ()
    level: float = 0
    """Staff spaces from the middle line to the bar numbers."""
    width: float = 0
    """Of the systems, in millimetres; 0 for the whole line."""
    whole: bool = False
    """Not to be divided between two pages."""
    ragged: bool = False


@dataclass(frozen=True, slots=True)
class _Rungs:
    """Some rungs of the ladder, side by side."""

    numbers: tuple[str, ...]
    clicks: tuple[tuple[str, tuple[str, ...]], ...]
    """Words and the number for each rung."""


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
    template = _environment().get_template("sheets.ly")
    return template.render(
        page=page,
        mark=mark,
        with_midi=with_midi,
        numbered=numbered or len(sheets) > 1,
        views=[_view(sheet, page, number) for number, sheet in enumerate(sheets, number_from)],
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
        entries=entries,
        page=page,
        mark=mark,
        mm=page.spaces,
    )


def _spoken(day: date | None) -> str:
    """A day as one says it: "Monday, 1 March 2027"."""
    return f"{day:%A}, {day.day} {day:%B} {day.year}" if day else ""


def _view(sheet: Sheet, page: Page, number: int) -> dict[str, object]:
    """What the templates print for one sheet."""
    title = sheet.credits.title or sheet.part
    part = sheet.part if sheet.credits.title else ""
    fitting = fit(sheet, page)
    own = replace(page, staff_size=fitting.staff_size)
    return {
        "number": number,
        "sheet": sheet,
        "title": title,
        "part": part,
        "title_fits": len(title) + len(part) <= TITLE_LINE,
        "running": " · ".join(text for text in (title, part, sheet.words) if text),
        "tempo": _tempo(sheet),
        "tight": fitting.tight,
        "own_staff_size": fitting.staff_size if own != page else 0,
        "scores": _scores(sheet, own, tight=fitting.tight),
        "ladder": _ladder(sheet.ladder, page),
        "beat": LilyPond(ly.value(sheet.ladder.beat)),
        "rung_width": rung_width(sheet.ladder),
        "label_width": LADDER_LABEL,
        "box": BOX,
        "box_gap": BOX_GAP,
    }


def _tempo(sheet: Sheet) -> LilyPond:
    """The performing tempo as markup: a note and its number."""
    tempo = sheet.tempo
    value = NoteValue.of(tempo.beat)
    if value is None:
        value, tempo = NoteValue("quarter"), tempo.counted_in(NoteValue("quarter").length)
    assumed = " (assumed)" if tempo.source.startswith("assumed") else ""
    number = f"{shown(tempo.number)}{assumed}"
    return LilyPond(rf'\concat {{ \fontsize #-2 \note {{{ly.value(value)}}} #UP " = {number}" }}')


def _scores(sheet: Sheet, page: Page, *, tight: bool) -> list[_Score]:
    """Everything that is set as music, in the order of the page."""
    scores = [_excerpt(sheet, page)]
    unit = spacing.cell_unit(
        [g.drills for g in sheet.groups if g.kind is DrillKind.CELL], page.line_width
    )
    for group in sheet.groups:
        if not group.drills:
            continue
        if group.kind is DrillKind.CELL:
            scores.append(_cells(group, page, unit))
        else:
            scores += [_line(drill, group, page, tight=tight) for drill in group.drills]
    if sheet.hard and len(scores) > 1:
        scores[1] = replace(scores[1], aside=_legend(sheet.hard[0]))
    return scores


def _legend(number: int) -> str:
    """What the sign under the excerpt means, by the first number that has it."""
    return f"{rows.HARD_SIGN}{number}: the move from {number - 1} to {number} is a hard one"


def _excerpt(sheet: Sheet, page: Page) -> _Score:
    """The printed spot with its bar numbers and the numbers of its notes."""
    excerpt = sheet.excerpt
    return _Score(
        kind="excerpt",
        music=write_excerpt(excerpt.bars, excerpt.open_ended, page.line_width),
        numbers=rows.numbers(excerpt, sheet.hard),
        chords=rows.chord_symbols(excerpt.bars),
        bar_numbers=tuple(_printed_number(bar) for bar in excerpt.bars),
        level=number_level(excerpt.bars),
        ragged=_is_short(excerpt.bars, page),
    )


def _printed_number(bar: Bar) -> str:
    """The number over a bar; a bar that completes the one before has none."""
    return "" if bar.index > 0 and bar.offset > ZERO else bar.number


def _is_short(bars: Sequence[Bar], page: Page) -> bool:
    """True where the music would have to be stretched to fill a line."""
    room = page.line_width - spacing.staff_start_width(bars[0])
    return spacing.bars_width(bars) < FULL_ENOUGH * room


def _cells(group: DrillGroup, page: Page, unit: float) -> _Score:
    """All cells of one size, in balanced rows."""
    sizes = spacing.cell_rows(group.drills, page.line_width)
    row_ends = set(accumulate(sizes))
    passages = [
        Passage(drill.bars, repeated=True, line_ends=count in row_ends and count < sum(sizes))
        for count, drill in enumerate(group.drills, 1)
    ]
    width = spacing.cells_width(group.drills, unit, page.line_width)
    return _Score(
        kind="cells",
        music=write_passages(passages, page.line_width),
        heading=group.title,
        labels=rows.labels(group.drills),
        width=width * page.staff_space if width < page.line_width else 0,
    )


def _line(drill: Drill, group: DrillGroup, page: Page, *, tight: bool) -> _Score:
    """The whole line, or one run of it, in one rhythm."""
    density = spacing.DENSITY if tight else spacing.AIRY
    sizes = spacing.line_rows(drill.bars, page.line_width, density)
    first, last = drill.ranges[0]
    rhythm = drill.label.removesuffix(f", notes {first}-{last}")
    whole = all(other.ranges == drill.ranges for other in group.drills)
    what = "The whole line" if whole else f"Notes {first}–{last}"  # noqa: RUF001 - a range
    return _Score(
        kind="line",
        music=write_passages([Passage(drill.bars, drill.repeated, rows=sizes)], page.line_width),
        heading=f"{what}, {rhythm}",
        whole=line_systems(drill.bars, page, density) <= WHOLE,
        ragged=_is_short(drill.bars, page),
    )


def _ladder(ladder: Ladder, page: Page) -> list[_Rungs]:
    """The rungs in as few balanced rows as the page is wide."""
    width = rung_width(ladder)
    room = page.line_width * page.staff_space - LADDER_LABEL
    sizes = spacing.balanced_rows([width] * len(ladder.rungs), room)
    ends = list(accumulate(sizes))
    return [
        _Rungs(
            tuple(shown(number) for number in ladder.rungs[end - size : end]),
            tuple(
                (click.words, tuple(settable(number) for number in click.numbers[end - size : end]))
                for click in ladder.clicks
            ),
        )
        for end, size in zip(ends, sizes, strict=True)
    ]


def rung_width(ladder: Ladder) -> float:
    """Millimetres for one rung: its boxes, and room to tell it from the next."""
    return max(RUNG, ladder.ticks * (BOX + BOX_GAP) + RUNG_GAP)
