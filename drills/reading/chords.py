"""Chord symbols (``<harmony>``), and the same symbol for a transposing player."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from lxml import etree

from drills.harmony.kinds import KINDS
from drills.music.pitch import CONCERT, SEMITONES, Pitch, Transposition
from drills.music.score import ChordDegree, ChordSymbol
from drills.music.time import Position
from drills.reading.directions import clean
from drills.reading.numerals import numeral_root
from drills.reading.xmltext import as_decimal, as_int, child_text, text_of

_ACCIDENTALS: Final = {-2: "bb", -1: "b", 0: "", 1: "#", 2: "##"}
_ALTERS: Final = {text: alter for alter, text in _ACCIDENTALS.items()}
_DEGREE_KINDS: Final = {"add", "alter", "subtract"}


def read_chord(harmony: etree._Element, start: Position) -> ChordSymbol | None:
    """The chord symbol of a ``<harmony>``; None where it names no root (a frame).

    A function or a numeral is read in its key; beside one the kind "none" does not mean that
    there is no chord, but that the notes are to be asked.
    """
    in_key = any(harmony.find(tag) is not None for tag in ("function", "numeral"))
    kind_element = harmony.find("kind")
    kind = text_of(kind_element)
    text = "" if kind_element is None else clean(kind_element.get("text") or "")
    if kind not in KINDS:
        kind, text = "other", text or clean(kind)
    if in_key and kind in ("none", "other"):
        return None
    if kind == "none":
        return ChordSymbol(start, "", "none", text)
    root = _name(child_text(harmony, "root/root-step"), child_text(harmony, "root/root-alter"))
    root = numeral_root(harmony) if in_key else root
    if not root:
        return None
    bass = _name(child_text(harmony, "bass/bass-step"), child_text(harmony, "bass/bass-alter"))
    degrees = tuple(
        found for degree in harmony.iterfind("degree") if (found := _degree(degree)) is not None
    )
    return ChordSymbol(start, root, kind, text, bass, degrees)


def _name(step: str, alter: str) -> str:
    """``B`` and ``-1`` as ``Bb``; "" where the step is none."""
    if step.upper() not in SEMITONES:
        return ""
    amount = as_decimal(alter) or Fraction(0)
    return step.upper() + _ACCIDENTALS.get(int(amount), "")


def _degree(degree: etree._Element) -> ChordDegree | None:
    number = as_int(child_text(degree, "degree-value"))
    kind = child_text(degree, "degree-type")
    alter = as_decimal(child_text(degree, "degree-alter")) or Fraction(0)
    if number is None or not 1 <= number <= 13 or kind not in _DEGREE_KINDS or abs(alter) > 3:
        return None
    return ChordDegree(number, alter, kind, printed=degree.get("print-object") != "no")


def moved(symbol: ChordSymbol, source: Transposition, target: Transposition) -> ChordSymbol:
    """A symbol written for one player, rewritten for a player of another transposition."""
    return ChordSymbol(
        symbol.start,
        _moved_name(symbol.root, source, target),
        symbol.kind,
        symbol.text,
        _moved_name(symbol.bass, source, target),
        symbol.degrees,
    )


def _moved_name(name: str, source: Transposition, target: Transposition) -> str:
    if not name:
        return ""
    written = Pitch(name[0], Fraction(_ALTERS[name[1:]]), 4)
    new = (CONCERT - target).sounding(source.sounding(written))
    alter = int(new.alter)
    if alter in _ACCIDENTALS:
        return new.step + _ACCIDENTALS[alter]
    return new.step
