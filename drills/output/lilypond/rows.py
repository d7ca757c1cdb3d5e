"""Rows of text that stand level over or under a staff: numbers, labels, chord symbols.

They are set as lyrics, which LilyPond keeps on one line however high or low the
notes go, and which never collide with one another.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from fractions import Fraction
from typing import Final

from drills.drill import Drill
from drills.excerpt import Excerpt
from drills.music.score import Bar, ChordSymbol
from drills.music.time import START, ZERO, Length, Position
from drills.output.lilypond import words as ly
from drills.output.lilypond.spacing import short_label
from drills.output.lilypond.words import LilyPond

CHORD_KINDS: Final = {
    "major": "",
    "minor": "m",
    "augmented": "+",
    "diminished": "dim",
    "dominant": "7",
    "major-seventh": "maj7",
    "minor-seventh": "m7",
    "diminished-seventh": "dim7",
    "augmented-seventh": "+7",
    "half-diminished": "m7(b5)",
    "major-minor": "m(maj7)",
    "major-sixth": "6",
    "minor-sixth": "m6",
    "dominant-ninth": "9",
    "major-ninth": "maj9",
    "minor-ninth": "m9",
    "dominant-11th": "11",
    "major-11th": "maj11",
    "minor-11th": "m11",
    "dominant-13th": "13",
    "major-13th": "maj13",
    "minor-13th": "m13",
    "suspended-second": "sus2",
    "suspended-fourth": "sus4",
    "power": "5",
    "pedal": " ped.",
}
"""What is printed for a MusicXML 4.0 ``kind-value`` where the score does not say
(common practice); a kind that is not here prints nothing but its root."""

_ACCIDENTALS: Final = re.compile(r"(#|(?<=[A-G])b|b(?=\d|b))")
_SIGNS: Final = {
    "#": r"\hspace #0.15 \raise #0.7 \fontsize #-3.5 \sharp \hspace #0.1",
    "b": r"\hspace #0.1 \raise #0.35 \fontsize #-2 \flat \hspace #0.25",
}
"""Standing on the line of the letters, as high as they are, and clear of them."""


def labels(drills: Iterable[Drill]) -> LilyPond:
    """Each drill's label at its first note."""
    return LilyPond(
        " ".join(
            f"{ly.ly_string(short_label(drill))}{ly.scaled(_lasts(drill.bars))}" for drill in drills
        )
    )


def _lasts(bars: Sequence[Bar]) -> Length:
    """The length of bars together."""
    return sum((ly.real_length(bar) for bar in bars), ZERO)


HARD_SIGN: Final = "*"
"""Before the number of a note that a hard move leads to."""


def numbers(excerpt: Excerpt, hard: Collection[int] = ()) -> LilyPond:
    """The numbers of the notes, each under its note, those of ``hard`` with a sign."""
    starts = _starts(excerpt.bars)
    placed = [
        (starts[number.bar] + (number.start - START), _number(number.number, hard))
        for number in excerpt.numbers
    ]
    return _syllables(placed, START + _lasts(excerpt.bars))


def _number(number: int, hard: Collection[int]) -> str:
    return f'"{HARD_SIGN if number in hard else ""}{number}"'


def chord_symbols(bars: Sequence[Bar]) -> LilyPond:
    """Chord symbols over the bars; empty where there are none."""
    placed = [
        (start + (chord.start - START), chord_symbol(chord))
        for start, bar in zip(_starts(bars), bars, strict=True)
        for chord in bar.chords
    ]
    return _syllables(placed, START + _lasts(bars))


def chord_symbol(chord: ChordSymbol) -> str:
    """A chord symbol as markup: ``Bbmaj7/D`` with drawn accidentals."""
    if not chord.root:
        return r'\markup "N.C."'
    kind = chord.text or CHORD_KINDS.get(chord.kind, "")
    degrees = "".join(
        f"({'no' if degree.kind == 'subtract' else ''}{_sign(degree.alter)}{degree.number})"
        for degree in chord.degrees
    )
    bass = f"/{chord.bass}" if chord.bass else ""
    pieces = _ACCIDENTALS.split(f"{chord.root}{kind}{degrees}{bass}")
    inner = " ".join(_SIGNS.get(piece, ly.ly_string(piece)) for piece in pieces if piece)
    return rf"\markup \concat {{ {inner} }}"


def _sign(alter: Fraction) -> str:
    """The accidental before a degree."""
    return "#" if alter > 0 else "b" if alter < 0 else ""


def _starts(bars: Sequence[Bar]) -> list[Position]:
    """Where each bar begins."""
    at, found = START, []
    for bar in bars:
        found.append(at)
        at = at + ly.real_length(bar)
    return found


def _syllables(placed: Sequence[tuple[Position, str]], end: Position) -> LilyPond:
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
