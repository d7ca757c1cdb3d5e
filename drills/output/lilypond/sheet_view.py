"""What the templates print for one sheet: its head, its music row by row, its foot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate
from math import ceil
from typing import Final

from drills.music.score import Bar
from drills.music.tempo import Tempo
from drills.music.time import ZERO, NoteValue
from drills.output.lilypond import functions, rows, spacing
from drills.output.lilypond import words as ly
from drills.output.lilypond.extents import number_level
from drills.output.lilypond.filling import balanced_rows
from drills.output.lilypond.fitting import LOOSE, fit
from drills.output.lilypond.heading_view import Heading, heading_of, minutes_told
from drills.output.lilypond.heights import WHOLE, chord_rows, chord_widths, line_systems
from drills.output.lilypond.music import write_excerpt, write_passages
from drills.output.lilypond.names import characters
from drills.output.lilypond.page import Page
from drills.output.lilypond.passage import Passage, between, first_label, last_label
from drills.output.lilypond.small_print import DAY_HEIGHT, DAY_LABEL, day_rows, how_to, small_print
from drills.output.lilypond.sounds import asides, sound_lines
from drills.output.lilypond.words import NOTHING, LilyPond
from drills.sheets.blocks import Block, BlockKind
from drills.sheets.drill import Drill, DrillKind
from drills.sheets.ladder import shown
from drills.sheets.sheet import Sheet

FULL_ENOUGH: Final = 0.2
"""A line whose music fills less of it than this is not stretched to the margin."""
CHORD_WIDE: Final = 1.25
"""A lone row of chords has that much more than its least width."""
ROWS: Final = {
    "chords": (0.5, 9.0),
    "labels": (-1.5, 9.0),
    "numbers": (-2.0, 8.0),
    "functions": (-2.0, 8.0),
}
"""Of each row of text beside the music its size in LilyPond's steps, and the points that it
has at least, however small the staff: read at a stand, in bad light."""
_BETWEEN: Final = "    "
TITLE_LINE: Final = 62
"""Characters of piece and part together that stand on one line."""


@dataclass(frozen=True, slots=True)
class _Score:
    """One ``\\score`` block, or the heading of a block whose music is the spot."""

    kind: str
    """"excerpt", "cells", "line" or "chords": the template's layout for it."""
    music: LilyPond
    heading: Heading | None = None
    numbers: LilyPond = NOTHING
    functions: LilyPond = NOTHING
    """What each note does in the chord, under the numbers or under the notes."""
    chords: LilyPond = NOTHING
    labels: LilyPond = NOTHING
    bar_numbers: tuple[str, ...] = ()
    level: float = 0
    """From the middle line to the bar numbers, in staff spaces of the page's size, in which
    LilyPond counts what is set at a height."""
    width: float = 0
    """Of the systems, in millimetres; 0 for the whole line."""
    whole: bool = False
    """Not to be divided between two pages."""
    name: str = ""
    """In the labels of its pages, where it may be divided."""
    ragged: bool = False


def sheet_view(
    sheet: Sheet, page: Page, number: int, *, numbered: bool, lines: Sequence[str] = ()
) -> dict[str, object]:
    """What the templates print for one sheet; ``lines`` stand under its head."""
    title = sheet.credits.title or sheet.part
    part = sheet.part if sheet.credits.title else ""
    lines = (*lines, *sound_lines(sheet.sounds))
    fitting = fit(sheet, page, len(lines) + _title_lines(title, part))
    own = replace(page, staff_size=fitting.staff_size)
    grown = own.staff_size / page.staff_size
    scores = [
        replace(one, level=grown * one.level)
        for one in _scores(sheet, own, number, tight=fitting.tight)
    ]
    return {
        "kind": "sheet",
        "number": number,
        "numbered": numbered,
        "lines": lines,
        "legends": (),
        "sheet": sheet,
        "title": title,
        "part": part,
        "title_fits": title_fits(title, part),
        "running": " · ".join(text for text in (title, part, sheet.words) if text),
        "tempo": _tempo(sheet),
        "filled": bool(sheet.blocks),
        "footed": bool(sheet.blocks or sheet.credits.rights) or fitting.pages > 1,
        "tight": fitting.tight,
        "pages": fitting.pages,
        "loose": page.spaces(LOOSE) if fitting.loose else 0,
        "turn": fitting.turn,
        "broken": [
            (first_label(one.name), last_label(one.name), f"{one.heading.title}, continued")
            for one in scores
            if one.name and one.heading is not None
        ],
        "own_staff_size": fitting.staff_size if own != page else 0,
        "scores": scores,
        "sizes": _sizes(own.staff_size),
        "with_functions": any(one.functions for one in scores),
        "how_to": how_to(sheet),
        "small_print": small_print(sheet),
        "day_rows": day_rows(sheet),
        "day_height": DAY_HEIGHT,
        "day_width": (page.line_width * page.staff_space - DAY_LABEL) / 7,
    }


def title_fits(title: str, part: str) -> bool:
    """True where piece and part stand on one line."""
    return characters(title) + characters(part) <= TITLE_LINE


def _title_lines(title: str, part: str) -> int:
    """How many lines piece and part take besides the one that they usually share."""
    if title_fits(title, part):
        return 0
    return ceil(characters(title) / TITLE_LINE) + ceil(characters(part) / TITLE_LINE) - 1


def _sizes(staff_size: float) -> dict[str, float]:
    """How large each row of text beside the music is, in LilyPond's steps."""
    return {
        row: max(usual, functions.font_size(least, staff_size))
        for row, (usual, least) in ROWS.items()
    }


def _tempo(sheet: Sheet) -> LilyPond:
    """The performing tempo; bars alone have one only where the music gives it."""
    if not sheet.blocks and sheet.tempo.assumed_from is not None:
        return LilyPond(r"\null")
    return tempo_markup(sheet.tempo)


def tempo_markup(tempo: Tempo) -> LilyPond:
    """A performing tempo as markup: a note and its number."""
    value = NoteValue.of(tempo.beat)
    if value is None:
        value, tempo = NoteValue("quarter"), tempo.counted_in(NoteValue("quarter").length)
    assumed = " (assumed)" if tempo.source.startswith("assumed") else ""
    number = f"{shown(tempo.number)}{assumed}"
    return LilyPond(
        rf'\concat {{ \fontsize #-3 \note {{{ly.value(value)}}} #UP \hspace #0.9 "= {number}" }}'
    )


def _scores(sheet: Sheet, page: Page, number: int, *, tight: bool) -> list[_Score]:
    """Everything that is set as music, in the order of the page."""
    scores = [_excerpt(sheet, page)]
    printed = [block for block in sheet.blocks if block.drills]
    cells = [b.drills for b in printed if b.kind.drills is DrillKind.CELL]
    unit = spacing.cell_unit(cells, page.line_width)
    minutes = minutes_told(sheet)
    names = iter(asides(sheet.sounds)[1:])
    for block in printed:
        files = 0 if not block.printed else 1 if block.drills_in_one_file else len(block.drills)
        sounds = [next(names, "") for _ in range(files)]
        aside = _BETWEEN.join(filter(None, (*sounds, minutes.get(block.key, ""))))
        heading = heading_of(block, page, aside)
        name = f"{number}-{len(scores)}"
        if not block.printed:
            scores.append(_Score("words", NOTHING, heading))
        elif block.kind.drills is DrillKind.CELL:
            scores.append(_cells(block, heading, page, unit, name))
        elif block.kind is BlockKind.CHORDS:
            scores += [_chords(drill, heading, page) for drill in block.drills]
        else:
            scores.append(_lines(block, heading, page, name, tight=tight))
    return scores


def _excerpt(sheet: Sheet, page: Page) -> _Score:
    """The printed spot with its bar numbers and the numbers of its notes."""
    excerpt = sheet.excerpt
    return _Score(
        kind="excerpt",
        music=write_excerpt(excerpt.bars, excerpt.open_ended, page.line_width),
        numbers=rows.numbers(excerpt, sheet.hard),
        functions=functions.functions(excerpt, sheet.functions, sheet.held),
        chords=rows.chord_symbols(excerpt.bars) if sheet.functions else NOTHING,
        bar_numbers=tuple(printed_number(bar) for bar in excerpt.bars),
        level=number_level(excerpt.bars),
        ragged=_is_short(excerpt.bars, page),
    )


def printed_number(bar: Bar) -> str:
    """The number over a bar; a bar that completes the one before has none."""
    return "" if bar.index > 0 and bar.offset > ZERO else bar.number


def _is_short(bars: Sequence[Bar], page: Page) -> bool:
    """True where the music would have to be stretched to fill a line."""
    room = page.line_width - spacing.staff_start_width(bars[0])
    return spacing.bars_width(bars) < FULL_ENOUGH * room


def _cells(block: Block, heading: Heading, page: Page, unit: float, name: str) -> _Score:
    """All cells of one size, in balanced rows; ``name`` is in the labels of its pages."""
    sizes = spacing.cell_rows(block.drills, page.line_width)
    row_ends = set(accumulate(sizes))
    passages = [
        Passage(drill.bars, repeated=True, line_ends=count in row_ends and count < sum(sizes))
        for count, drill in enumerate(block.drills, 1)
    ]
    width = spacing.cells_width(block.drills, unit, page.line_width)
    whole = len(sizes) <= WHOLE
    if not whole:
        passages = between(passages, name)
    return _Score(
        kind="cells",
        music=write_passages(passages, page.line_width),
        heading=heading,
        labels=rows.labels(block.drills, boxed=block.kind is BlockKind.BEGIN),
        width=width * page.staff_space if width < page.line_width else 0,
        whole=whole,
        name="" if whole else name,
    )


def _lines(block: Block, heading: Heading, page: Page, name: str, *, tight: bool) -> _Score:
    """The whole line in one rhythm, or its runs one after the other."""
    density = spacing.DENSITY if tight else spacing.AIRY
    several = len(block.drills) > 1
    passages = [
        Passage(
            drill.bars,
            rows=spacing.line_rows(drill.bars, page.line_width, density),
            double=several and number < len(block.drills),
        )
        for number, drill in enumerate(block.drills, 1)
    ]
    if several:
        passages = _joined(passages, page, density)
    systems = sum(line_systems(drill.bars, page, density) for drill in block.drills)
    whole = systems <= WHOLE
    if not whole:
        passages = between(passages, name)
    return _Score(
        kind="line",
        music=write_passages(passages, page.line_width),
        heading=heading,
        labels=rows.labels(block.drills, notes_only=True) if several else NOTHING,
        whole=whole,
        name="" if whole else name,
        ragged=_is_short([bar for drill in block.drills for bar in drill.bars], page),
    )


def _joined(passages: Sequence[Passage], page: Page, density: float) -> list[Passage]:
    """Short lines side by side, as many as a system holds; a long one has systems of its own."""
    if any(len(passage.rows) > 1 for passage in passages):
        return [replace(one, line_ends=one is not passages[-1]) for one in passages]
    widths = [density * spacing.bars_width(one.bars) + spacing.BAR_LINE for one in passages]
    room = page.line_width - spacing.staff_start_width(passages[0].bars[0])
    ends = set(accumulate(balanced_rows(widths, room)))
    return [
        replace(one, line_ends=number in ends and number < len(passages))
        for number, one in enumerate(passages, 1)
    ]


def _chords(drill: Drill, heading: Heading, page: Page) -> _Score:
    """The player's note in each chord, with the chord above and its function below."""
    sizes = chord_rows(drill, page.line_width)
    needed = spacing.staff_start_width(drill.bars[0]) + CHORD_WIDE * sum(chord_widths(drill))
    return _Score(
        kind="chords",
        music=write_passages([Passage(drill.bars, drill.repeated, rows=sizes)], page.line_width),
        heading=heading,
        chords=rows.chord_symbols(drill.bars),
        functions=functions.unders(drill.bars, drill.under),
        width=needed * page.staff_space if needed < page.line_width else 0,
        whole=len(sizes) <= WHOLE,
    )
