"""Roman numerals in RomanText laid over a score by bar number: "m3 I6 b2 V65/ii".

RomanText is described by M. S. Cuthbert and others (music21, module ``romanText``).  Bars are
found by number in the score, so that repeats, pickups and endings cannot shift the rest, as
they do where both files count for themselves.  Suspended tones in brackets are left out
("V[no3][add4]" is V), a cadential six-four ("Cad64") stands on the tonic as music21 reads it,
and an augmented sixth counts from its lowest tone, as drills/harmony/kinds.py counts it.
"""

from __future__ import annotations

import re
from fractions import Fraction

from music21 import key as keys
from music21 import roman, stream

from tests.harmony.corpus import Analysed, Piece

_BEAT = re.compile(r"b\d+(\.\d+)?")
_FINEST = 12


def analysis(text: str, score: stream.Score, piece: Piece) -> tuple[Analysed, ...]:
    """The chords of a RomanText as far as it goes, in quarters of the score."""
    starts: dict[int, Fraction] = {}
    bars = list(score.parts[0].getElementsByClass("Measure"))
    for measure, bar in zip(bars, piece.bars, strict=True):
        starts.setdefault(measure.number, bar.start)
    time = next(bar.time for bar in piece.bars)
    beat = time.beat.quarters
    found: list[tuple[Fraction, str, int, frozenset[int]]] = []
    key: keys.Key | None = None
    last = 0
    for line in re.findall(r"^m\d.*$", text, re.MULTILINE):
        number, *words = re.sub(r"\[[^\]]*\]|\|\|", "", line).split()
        if not number[1:].isdigit() or int(number[1:]) not in starts:
            continue
        last = int(number[1:])
        at = starts[last]
        for word in words:
            if _BEAT.fullmatch(word):
                place = Fraction(word[1:]).limit_denominator(_FINEST) - 1
                at = starts[last] + place * beat
            elif word.endswith(":"):
                key = keys.Key(word[:-1].replace("b", "-") if len(word) > 2 else word[:-1])
            elif key is not None:
                found.append((at, *_numeral(word, key)))
    end = starts.get(last + 1, max(note.end for note in piece.notes))
    ends = [*(one[0] for one in found[1:]), end]
    return tuple(
        Analysed(start, stop, figure, root, classes)
        for (start, figure, root, classes), stop in zip(found, ends, strict=True)
        if start < stop
    )


def _numeral(word: str, key: keys.Key) -> tuple[str, int, frozenset[int]]:
    """The figure with its key, the root and the tones."""
    figure = word.replace("ø", "/o").replace("#vii", "vii")
    if key.mode == "minor":
        figure = re.sub(r"b(?=VII|VI|III)", "", figure)
    numeral = roman.RomanNumeral(figure, key)
    is_sixth = figure.startswith(("Ger", "It", "Fr"))
    root = (key.tonic.pitchClass + 8) % 12 if is_sixth else numeral.root().pitchClass
    return f"{word} in {key}", root, frozenset(pitch.pitchClass for pitch in numeral.pitches)
