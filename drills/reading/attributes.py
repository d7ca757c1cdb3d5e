"""What ``<attributes>`` puts in force: key, time, clef and transposition."""

from __future__ import annotations

from fractions import Fraction
from math import lcm
from typing import Final

from lxml import etree

from drills.music.pitch import SEMITONES, KeySignature, Transposition
from drills.music.score import Clef
from drills.music.time import TimeSignature
from drills.reading.xmltext import as_decimal, as_int, child_text, text_of

_CLEF_LINES: Final = {"G": 2, "F": 4, "C": 3, "TAB": 5, "percussion": 3, "none": 3, "jianpu": 3}
"""Where a clef sits that does not say (MusicXML 4.0, element ``line``)."""
_MOST_FIFTHS: Final = 12


def for_staff(parent: etree._Element, tag: str, staff: int) -> etree._Element | None:
    """The last child ``tag`` that applies to the staff: its own, or one for all staves.

    A clef without a number is the first staff's; a key, time or transposition
    without one is everybody's (MusicXML 4.0, attribute ``number``).
    """
    chosen: etree._Element | None = None
    for element in parent.iterfind(tag):
        number = as_int(element.get("number"))
        if number == staff or (number is None and (tag != "clef" or staff == 1)):
            chosen = element
    return chosen


def read_key(key: etree._Element) -> KeySignature | None:
    """A key signature; None where the element says nothing that can be read."""
    if (fifths := as_int(child_text(key, "fifths"))) is not None:
        bounded = max(-_MOST_FIFTHS, min(_MOST_FIFTHS, fifths))
        mode = child_text(key, "mode").lower()
        return KeySignature(bounded, "" if mode == "none" else mode)
    steps = [text_of(step) for step in key.iterfind("key-step")]
    alters = [as_decimal(text_of(alter)) for alter in key.iterfind("key-alter")]
    custom = tuple(
        (step, alter)
        for step, alter in zip(steps, alters, strict=False)
        if step in SEMITONES and alter is not None and abs(alter) <= 3
    )
    return KeySignature(custom=custom) if custom else None


def read_time(time: etree._Element) -> TimeSignature | None:
    """A time signature; None for music without one (senza misura) or an unreadable one.

    Signatures of several fractions are joined over a common lower number with
    their groups kept: 2/4 + 3/8 is read as (4+3)/8.
    """
    uppers = [text_of(beats) for beats in time.iterfind("beats")]
    lowers = [as_int(text_of(unit)) for unit in time.iterfind("beat-type")]
    pairs: list[tuple[list[int], int]] = []
    for upper, lower in zip(uppers, lowers, strict=False):
        counts = [as_int(count) for count in upper.split("+")]
        if lower is None or lower < 1 or lower & (lower - 1) or lower > 1_024:
            return None
        if any(count is None or count < 1 for count in counts):
            return None
        pairs.append(([count for count in counts if count is not None], lower))
    if not pairs:
        return None
    unit = lcm(*(lower for _, lower in pairs))
    joined = tuple(count * (unit // lower) for counts, lower in pairs for count in counts)
    symbol = time.get("symbol") or ""
    return TimeSignature(joined, unit, symbol if symbol in {"common", "cut"} else "")


def read_clef(clef: etree._Element) -> Clef:
    """A clef; an unknown sign is read as no clef."""
    sign = child_text(clef, "sign")
    sign = sign if sign in _CLEF_LINES else "none"
    line = as_int(child_text(clef, "line"))
    octave = as_int(child_text(clef, "clef-octave-change")) or 0
    return Clef(sign, _CLEF_LINES[sign] if line is None else line, max(-2, min(2, octave)))


def read_transposition(transpose: etree._Element) -> Transposition:
    """From written to sounding.  ``<diatonic>`` is worked out where it is left out."""
    chromatic = as_decimal(child_text(transpose, "chromatic")) or Fraction(0)
    octaves = as_int(child_text(transpose, "octave-change")) or 0
    semitones = int(chromatic)
    diatonic = as_int(child_text(transpose, "diatonic"))
    if diatonic is None:
        octave, within = divmod(semitones, 12)
        diatonic = 7 * octave + _STEPS_OF_SEMITONES[within]
    octaves = max(-4, min(4, octaves))
    return Transposition(diatonic + 7 * octaves, semitones + 12 * octaves)


_STEPS_OF_SEMITONES: Final = (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)
"""Steps of the usual interval: 3 semitones are a minor third, 10 a minor seventh."""
