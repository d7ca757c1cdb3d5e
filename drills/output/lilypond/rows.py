"""Rows of text that stand level over or under a staff: numbers, labels, chord symbols.

They are set as lyrics, which LilyPond keeps on one line however high or low the
notes go, and which never collide with one another.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from fractions import Fraction
from typing import Final

from drills.harmony.kinds import KINDS
from drills.music.score import Bar, ChordSymbol
from drills.music.time import START, ZERO, Length, Position
from drills.output.lilypond import words as ly
from drills.output.lilypond.spacing import short_label
from drills.output.lilypond.words import LilyPond
from drills.sheets.drill import Drill
from drills.sheets.excerpt import Excerpt

_ACCIDENTALS: Final = re.compile(r"(#|(?<=[A-G])b|b(?=\d|b))")
_SIGNS: Final = {
    "#": r"\hspace #0.15 \raise #0.7 \fontsize #-3.5 \sharp \hspace #0.1",
    "b": r"\hspace #0.1 \raise #0.35 \fontsize #-2 \flat \hspace #0.25",
}
"""Standing on the line of the letters, as high as they are, and clear of them."""

NO_CHORD: Final = "N.C."
_SMALL_REMARK: Final = r"\hspace #0.6 \fontsize #-3.5"


def labels(drills: Iterable[Drill], *, boxed: bool = False, notes_only: bool = False) -> LilyPond:
    """Each drill's label at its first note: in a box, or of a line its notes alone."""
    return LilyPond(
        " ".join(
            f"{_label(drill, boxed, notes_only)}{ly.scaled(lasts(drill.bars))}" for drill in drills
        )
    )


def _label(drill: Drill, boxed: bool, notes_only: bool) -> str:
    if notes_only:
        text = f"notes {drill.label.partition(', notes ')[2]}".replace("-", "\N{EN DASH}")
        return ly.ly_string(text)
    text = ly.ly_string(short_label(drill))
    return rf"\markup \box \bold {text}" if boxed else text


def lasts(bars: Sequence[Bar]) -> Length:
    """The length of bars together."""
    return sum((ly.real_length(bar) for bar in bars), ZERO)


HARD_SIGN: Final = "*"
"""Before the number of a note that a hard move leads to."""


def numbers(excerpt: Excerpt, hard: Collection[int] = ()) -> LilyPond:
    """The numbers of the notes, each under its note, those of ``hard`` with a sign."""
    begins = bar_starts(excerpt.bars)
    placed = [
        (begins[number.bar] + (number.start - START), _number(number.number, hard))
        for number in excerpt.numbers
    ]
    return syllables(placed, START + lasts(excerpt.bars))


def _number(number: int, hard: Collection[int]) -> str:
    return f'"{HARD_SIGN if number in hard else ""}{number}"'


def chord_symbols(bars: Sequence[Bar]) -> LilyPond:
    """Chord symbols over the bars; empty where there are none."""
    placed = [
        (start + (chord.start - START), chord_symbol(chord))
        for start, bar in zip(bar_starts(bars), bars, strict=True)
        for chord in bar.chords
    ]
    return syllables(placed, START + lasts(bars))


def chord_symbol(chord: ChordSymbol) -> str:
    """A chord symbol as markup: ``Bbmaj7/D`` with drawn accidentals."""
    if not chord.root:
        return chord_text(NO_CHORD, chord.remark)
    kind = chord.text or KINDS[chord.kind].suffix
    degrees = "".join(
        f"({'no' if degree.kind == 'subtract' else ''}{_sign(degree.alter)}{degree.number})"
        for degree in chord.degrees
        if degree.printed
    )
    bass = f"/{chord.bass}" if chord.bass else ""
    return chord_text(f"{chord.root}{kind}{degrees}{bass}", chord.remark)


def chord_text(text: str, remark: str) -> str:
    """The name of a chord as markup, a remark about it beside it in small print."""
    if text == NO_CHORD and not remark:
        return rf"\markup {ly.ly_string(text)}"
    pieces = _ACCIDENTALS.split(text)
    inner = " ".join(_SIGNS.get(piece, ly.ly_string(piece)) for piece in pieces if piece)
    if remark:
        inner += f" {_SMALL_REMARK} {ly.ly_string(remark)}"
    return rf"\markup \concat {{ {inner} }}"


def _sign(alter: Fraction) -> str:
    """The accidental before a degree."""
    return "#" if alter > 0 else "b" if alter < 0 else ""


def bar_starts(bars: Sequence[Bar]) -> list[Position]:
    """Where each bar begins."""
    at, found = START, []
    for bar in bars:
        found.append(at)
        at = at + ly.real_length(bar)
    return found


def syllables(placed: Sequence[tuple[Position, str]], end: Position) -> LilyPond:
    """Texts at their places up to ``end``, as lyrics with lengths."""
    syllables: list[str] = []
    at = START
    ends = [*(start for start, _ in placed), end][1:]
    for (start, text), following in zip(placed, ends, strict=True):
        if start > at:
            syllables.append(rf"\skip {ly.scaled(start - at)}")
        if following > start:
            syllables.append(f"{text}{ly.scaled(following - start)}")
        at = max(start, following)
    return LilyPond(" ".join(syllables))
