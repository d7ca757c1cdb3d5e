"""What each note does in the chord that sounds, and by what it is tuned, as rows of text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from math import log2
from typing import Final

from drills.harmony.chord import NoteFunction
from drills.music.score import Bar
from drills.music.time import START
from drills.output.lilypond import rows
from drills.output.lilypond import words as ly
from drills.output.lilypond.words import LilyPond
from drills.section.score import ChordName
from drills.sheets.drill import UnderNote
from drills.sheets.excerpt import Excerpt, HeldFunctions

_BEFORE_A_DEGREE: Final = re.compile(r"(?<![A-Za-z])([#b]+)(?=\d)")
_SMALL_SIGNS: Final = {
    "#": r"\raise #0.55 \fontsize #-4.5 \sharp \hspace #0.05",
    "b": r"\raise #0.3 \fontsize #-2.8 \flat \hspace #0.1",
}
"""The same before a degree in the smaller print under a staff."""
_MINUS: Final = "\N{MINUS SIGN}"
_TEXT_POINTS: Final = 11 / 20
"""LilyPond's usual text on a staff of one point."""


def font_size(points: float, staff_size: float) -> float:
    """A size of text in LilyPond's steps, six to a doubling, on a staff of some points."""
    return 6 * log2(points / (_TEXT_POINTS * staff_size))


def functions(
    excerpt: Excerpt,
    found: Sequence[Sequence[NoteFunction]],
    held: Sequence[HeldFunctions] = (),
) -> LilyPond:
    """What each note of the excerpt does in the chord, from the highest tone of a chord down.

    ``found`` holds the functions of each note of the line, tone by tone; ``held`` those that
    it has in the chords that begin while it sounds.
    """
    starts = rows.bar_starts(excerpt.bars)
    placed = [
        (starts[number.bar] + (number.start - START), function_text(_label(own)))
        for number in excerpt.numbers
        for own in found[number.number - 1 : number.number]
        if own
    ]
    later = [
        (starts[one.bar] + (one.start - START), function_text(_label(one.tones)))
        for one in held
        if one.bar >= 0
    ]
    ordered = sorted([*placed, *later], key=lambda one: one[0])
    return rows.syllables(ordered, START + rows.lasts(excerpt.bars))


def _label(tones: Sequence[NoteFunction]) -> str:
    return "/".join(dict.fromkeys(one.label for one in reversed(tones)))


def unders(bars: Sequence[Bar], found: Sequence[UnderNote]) -> LilyPond:
    """Functions and tunings under the notes of full bars."""
    starts = rows.bar_starts(bars)
    placed = [
        (starts[one.bar] + (one.start - START), function_text(one.text, one.cents)) for one in found
    ]
    return rows.syllables(placed, START + rows.lasts(bars))


def function_text(label: str, cents: str = "") -> str:
    """A function with the tuning beside it, smaller: "b3" with a drawn flat, "\u221214"."""
    pieces = _BEFORE_A_DEGREE.split(label)
    signs = [
        " ".join(_SMALL_SIGNS[sign] for sign in piece) if place % 2 else ly.ly_string(piece)
        for place, piece in enumerate(pieces)
        if piece
    ]
    inner = " ".join(signs)
    if cents:
        tuning = ly.ly_string(cents.replace("-", _MINUS))
        inner += rf" \hspace #0.35 \fontsize #-1.7 \raise #0.1 {tuning}"
    return rf"\markup \concat {{ {inner} }}"


def chord_names(bars: Sequence[Bar], names: Sequence[ChordName]) -> LilyPond:
    """The names of chords over the bars of a section's score."""
    starts = rows.bar_starts(bars)
    placed = [
        (starts[one.bar] + (one.start - START), rows.chord_text(one.text, one.remark))
        for one in names
    ]
    return rows.syllables(placed, START + rows.lasts(bars))


def bar_labels(bars: Sequence[Bar], texts: Sequence[str]) -> LilyPond:
    """A word at the beginning of each bar that has one."""
    placed = [
        (start, ly.ly_string(text))
        for start, text in zip(rows.bar_starts(bars), texts, strict=True)
        if text
    ]
    return rows.syllables(placed, START + rows.lasts(bars))


TUNED: Final = (
    "The small numbers beside them are cents for a beatless chord: 0 is the equal-tempered pitch, "
    "minus is lower, 100 is a semitone."
)


def legend(found: Iterable[NoteFunction], *, tuned: bool, where: str) -> tuple[str, ...]:
    """What the labels under ``where`` mean, each told once; nothing where there are none."""
    words = {one.label: one.words for one in found if one.label}
    ordered = sorted(words, key=_in_order)
    if not words:
        return (TUNED,) if tuned else ()
    told = ", ".join(f"{_signed(label)} {words[label]}" for label in ordered)
    return (f"Under {where}, their place in the chord: {told}.", *((TUNED,) if tuned else ()))


def _signed(label: str) -> str:
    """A label with the flats and sharps that are drawn in it."""
    signs = {ord("b"): "\N{MUSIC FLAT SIGN}", ord("#"): "\N{MUSIC SHARP SIGN}"}
    return _BEFORE_A_DEGREE.sub(lambda found: found[1].translate(signs), label)


def _in_order(label: str) -> tuple[int, str]:
    """The root, then the tones of the chord from the third up, then what is none of it."""
    degree = re.search(r"\d+", label)
    return (0 if label == "R" else int(degree[0]) if degree else 99, label)
