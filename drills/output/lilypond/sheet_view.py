"""What the templates print for one sheet: its head, its music row by row, its ladder."""

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
from drills.output.lilypond.heights import chord_rows, chord_widths, fit, line_systems
from drills.output.lilypond.music import Passage, write_excerpt, write_passages
from drills.output.lilypond.names import characters
from drills.output.lilypond.page import Page
from drills.output.lilypond.sounds import asides, sound_lines
from drills.output.lilypond.words import NOTHING, LilyPond
from drills.sheet.drill import Drill, DrillKind
from drills.sheet.ladder import Ladder, settable, shown
from drills.sheet.making import DrillGroup, Sheet

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
CHORD_WIDE: Final = 1.25
"""A lone row of chords has that much more than its least width."""
ROWS: Final = {
    "chords": (0.5, 8.5),
    "labels": (-1.5, 6.0),
    "numbers": (-2.0, 6.0),
    "functions": (-2.0, 7.5),
}
"""Of each row of text beside the music its size in LilyPond's steps, and the points that it
has at least, however small the staff: read at a stand, in bad light."""
_BETWEEN: Final = "    "
TITLE_LINE: Final = 62
"""Characters of piece and part together that stand on one line."""


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
    functions: LilyPond = NOTHING
    """What each note does in the chord, under the numbers or under the notes."""
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


def sheet_view(
    sheet: Sheet, page: Page, number: int, *, numbered: bool, lines: Sequence[str] = ()
) -> dict[str, object]:
    """What the templates print for one sheet; ``lines`` stand under its head."""
    title = sheet.credits.title or sheet.part
    part = sheet.part if sheet.credits.title else ""
    small = legends(sheet)
    lines = (*lines, *sound_lines(sheet.sounds))
    fitting = fit(sheet, page, len(lines) + _title_lines(title, part), small)
    own = replace(page, staff_size=fitting.staff_size)
    scores = _scores(sheet, own, tight=fitting.tight)
    return {
        "kind": "sheet",
        "number": number,
        "numbered": numbered,
        "lines": lines,
        "legends": small,
        "sheet": sheet,
        "title": title,
        "part": part,
        "title_fits": title_fits(title, part),
        "running": " · ".join(text for text in (title, part, sheet.words) if text),
        "tempo": tempo_markup(sheet.tempo),
        "tight": fitting.tight,
        "own_staff_size": fitting.staff_size if own != page else 0,
        "scores": scores,
        "sizes": _sizes(own.staff_size),
        "with_functions": any(one.functions for one in scores),
        "ladder": _ladder(sheet.ladder, page),
        "beat": LilyPond(ly.value(sheet.ladder.beat)),
        "rung_width": rung_width(sheet.ladder),
        "label_width": LADDER_LABEL,
        "box": BOX,
        "box_gap": BOX_GAP,
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


def tempo_markup(tempo: Tempo) -> LilyPond:
    """A performing tempo as markup: a note and its number."""
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
        elif group.kind is DrillKind.CHORD:
            scores += [_chords(drill, group, page) for drill in group.drills]
        else:
            scores += [_line(drill, group, page, tight=tight) for drill in group.drills]
    notes: list[tuple[str, ...]] = [()] * len(scores)
    if sheet.hard and len(scores) > 1:
        notes[1] = (_legend(sheet.hard[0]),)
    for index, name in enumerate(asides(sheet.sounds)[1:], 1):
        notes[index] = (*notes[index], name)
    return [
        replace(score, aside=_BETWEEN.join(filter(None, own)))
        for score, own in zip(scores, notes, strict=True)
    ]


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
        functions=functions.functions(excerpt, sheet.functions, sheet.held),
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


def _chords(drill: Drill, group: DrillGroup, page: Page) -> _Score:
    """The player's note in each chord, with the chord above and its function below."""
    sizes = chord_rows(drill, page.line_width)
    needed = spacing.staff_start_width(drill.bars[0]) + CHORD_WIDE * sum(chord_widths(drill))
    return _Score(
        kind="chords",
        music=write_passages([Passage(drill.bars, drill.repeated, rows=sizes)], page.line_width),
        heading=group.title,
        chords=rows.chord_symbols(drill.bars),
        functions=functions.unders(drill.bars, drill.under),
        width=needed * page.staff_space if needed < page.line_width else 0,
        whole=len(sizes) <= WHOLE,
    )


def legends(sheet: Sheet) -> tuple[str, ...]:
    """What the functions and numbers under the notes mean, as far as they stand there."""
    drills = [drill for group in sheet.groups for drill in group.drills]
    tuned = any(under.cents for drill in drills for under in drill.under)
    named = [one for tones in sheet.functions for one in tones]
    named += [one for held in sheet.held for one in held.tones]
    return functions.legend(named, tuned=tuned, where="the notes")


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
