"""What stands over the music of a block: what to do, how often, for how long, at which numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from typing import Final

from drills.effort.fingers import Diagram
from drills.output.lilypond import spacing
from drills.output.lilypond import words as ly
from drills.output.lilypond.filling import balanced_rows
from drills.output.lilypond.names import characters
from drills.output.lilypond.page import Page
from drills.output.lilypond.words import LilyPond
from drills.sheets.blocks import Block
from drills.sheets.ladder import Ladder, shown
from drills.sheets.metronome import settable
from drills.sheets.sheet import Sheet
from drills.sheets.telling import in_halves, minute_words

CLICK_LABEL: Final = 40.0
"""Millimetres for the words beside a ladder with clicks."""
NOTE_LABEL: Final = 17.0
"""The same for the note that a ladder counts."""
RUNG: Final = 17.0
"""Millimetres of a number and its box."""
ONE_LINE: Final = 112
"""Characters of a title and its instruction that stand on one line."""
FINGER_LINE: Final = 105
"""Characters of what the fingers do that stand on one line."""
FINGER_CHARACTER: Final = 1.75
"""Millimetres of a bold figure of nine and a half points."""
TITLE_CHARACTER: Final = 1.25
"""A character of a title, in characters of an instruction."""


@dataclass(frozen=True, slots=True)
class Rungs:
    """Some rungs of a ladder, side by side."""

    numbers: tuple[str, ...]
    clicks: tuple[tuple[str, tuple[str, ...]], ...]
    """Words and the number for each rung."""


@dataclass(frozen=True, slots=True)
class Heading:
    """Everything over the music of a block."""

    title: str
    instruction: str
    aside: str
    """At the right end: minutes, and the name of a sound file."""
    ladder: tuple[Rungs, ...]
    beat: LilyPond
    label_width: float
    """Millimetres before the numbers."""
    rung_width: float
    fingerings: tuple[tuple[str, str], ...] = ()
    """Numbers of the notes, and what the fingers do."""
    diagrams: tuple[tuple[str, LilyPond], ...] = ()
    """Numbers of the notes, and their fingerings drawn."""

    @property
    def finger_width(self) -> float:
        """Millimetres before what the fingers do."""
        longest = max((len(notes) for notes, _ in self.fingerings), default=0)
        return max(NOTE_LABEL, FINGER_CHARACTER * longest + 2)

    @property
    def one_line(self) -> bool:
        """True where title and instruction stand on one line."""
        long = TITLE_CHARACTER * characters(self.title) + characters(self.instruction)
        return long + characters(self.aside) <= ONE_LINE

    @property
    def lines(self) -> int:
        """Lines of text in all."""
        clicks = sum(1 + len(rungs.clicks) for rungs in self.ladder)
        told = sum(1 + len(words) // FINGER_LINE for _, words in self.fingerings)
        return 2 - self.one_line + clicks + told + len(self.diagrams)


def heading_of(block: Block, page: Page, aside: str) -> Heading:
    """The heading of a block of the sheet."""
    label = CLICK_LABEL if block.ladder.clicks else NOTE_LABEL
    room = page.line_width * page.staff_space - label
    return Heading(
        title=block.title,
        instruction=block.instruction,
        aside=aside,
        ladder=tuple(_rows(block.ladder, room)),
        beat=LilyPond(ly.value(block.ladder.beat)),
        label_width=label,
        rung_width=RUNG,
        fingerings=tuple(
            (spacing.short_label(drill), words)
            for drill, words in zip(block.drills, block.fingerings, strict=False)
            if words
        ),
        diagrams=tuple(
            (spacing.short_label(drill), _drawn(pair))
            for drill, pair in zip(block.drills, block.diagrams, strict=False)
            if pair
        ),
    )


_HOLE: Final = {True: r"\draw-circle #0.55 #0.1 ##t", False: r"\draw-circle #0.5 #0.1 ##f"}


def _drawn(pair: Sequence[Diagram]) -> LilyPond:
    """The fingerings of a move side by side: holes as circles, what else is held in words."""
    return LilyPond(r" \hspace #4 ".join(_one(diagram) for diagram in pair))


def _one(diagram: Diagram) -> str:
    name = rf"\bold {ly.ly_string(diagram.note)} \hspace #1"
    if not diagram.holes:
        return f"{name} {ly.ly_string(diagram.numbers)}"
    hands = (diagram.holes[:3], diagram.holes[3:])
    drawn = r" \hspace #0.9 ".join(
        r" \hspace #0.35 ".join(_HOLE[down] for down in hand) for hand in hands
    )
    others = rf" \hspace #1 {ly.ly_string(', '.join(diagram.others))}" if diagram.others else ""
    return f"{name} \\raise #0.6 \\concat {{ {drawn} }}{others}"


def minutes_told(sheet: Sheet) -> dict[str, str]:
    """For each block of a planned sheet its minutes in words, by its key.

    Halves of a minute, which add up to those of the sheet without its rests.
    """
    if sheet.plan is None or not sheet.blocks:
        return {}
    seconds = [block.seconds for block in sheet.blocks]
    total = Fraction(round(sum(seconds) / 30), 2)
    told = in_halves(seconds, total)
    return {block.key: minute_words(m) for block, m in zip(sheet.blocks, told, strict=True)}


def _rows(ladder: Ladder, room: float) -> list[Rungs]:
    """The rungs in as few balanced rows as the page is wide."""
    sizes = balanced_rows([RUNG] * len(ladder.rungs), room)
    ends = list(accumulate(sizes))
    return [
        Rungs(
            _printed(ladder, ladder.rungs[end - size : end]),
            tuple(
                (click.words, tuple(settable(number) for number in click.numbers[end - size : end]))
                for click in ladder.clicks
            ),
        )
        for end, size in zip(ends, sizes, strict=True)
    ]


def _printed(ladder: Ladder, numbers: Sequence[Fraction]) -> tuple[str, ...]:
    """As a metronome is set; the performing tempo of the music as the score has it."""
    return tuple(shown(n) if ladder.clicks or n.denominator == 1 else settable(n) for n in numbers)
