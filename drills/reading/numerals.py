"""Chords that a score names by a numeral: ``<numeral>`` or ``<function>`` in a key.

MusicXML 4.0: a numeral counts the root from the tonic of its own ``<numeral-key>``, or of the
key signature in force; ``<function>`` is free text such as "V7" that older files have beside
a kind.  What names no kind, or is a function of another degree ("V7/ii"), is left to the
notes.  Minor keys count the natural minor scale, unless the mode says harmonic or melodic.
"""

from __future__ import annotations

import re
from typing import Final

from lxml import etree

from drills.harmony.chord import PitchClass
from drills.reading.xmltext import as_decimal, as_int, child_text, text_of

_DEGREES: Final = ("I", "II", "III", "IV", "V", "VI", "VII")
_FUNCTION: Final = re.compile(r"(b|#|)(VII|VI|IV|V|III|II|I)(?![IVX]).*", re.IGNORECASE)
_MINOR: Final = {3: -1, 6: -1, 7: -1}
"""How natural minor alters the degrees of the major scale on its tonic."""
_RAISED: Final = {"harmonic minor": (7,), "melodic minor": (6, 7)}


def numeral_root(harmony: etree._Element) -> str:
    """The root that a numeral or a function names, as ``Bb``; "" where it cannot be told."""
    numeral = harmony.find("numeral")
    if numeral is not None:
        degree = as_int(child_text(numeral, "numeral-root"))
        alter = int(as_decimal(child_text(numeral, "numeral-alter")) or 0)
        own = numeral.find("numeral-key")
        tags = ("numeral-fifths", "numeral-mode")
    else:
        found = _FUNCTION.fullmatch(child_text(harmony, "function"))
        if found is None or "/" in found[0]:
            return ""
        degree = _DEGREES.index(found[2].upper()) + 1
        alter = {"b": -1, "#": 1}.get(found[1], 0)
        own, tags = None, ("", "")
    key = own if own is not None else _key_before(harmony)
    if own is None:
        tags = ("fifths", "mode")
    if key is None or degree is None or not 1 <= degree <= len(_DEGREES):
        return ""
    fifths = as_int(child_text(key, tags[0]))
    if fifths is None or abs(fifths) > 7:
        return ""
    return _root(fifths, child_text(key, tags[1]), degree, alter)


def _root(fifths: int, mode: str, degree: int, alter: int) -> str:
    """The degree of a key, as its name; "" where it would need three accidentals."""
    minor = mode.endswith("minor")
    tonic = PitchClass("C")
    for _ in range(abs(fifths)):
        tonic = tonic.above(5, 0) if fifths > 0 else tonic.above(4, 0)
    if minor:
        tonic = tonic.above(6, 0)
        raised = _RAISED.get(mode, ())
        alter += 0 if degree in raised else _MINOR.get(degree, 0)
    name = str(tonic.above(degree, alter))
    return name if len(name) < 4 else ""


def _key_before(harmony: etree._Element) -> etree._Element | None:
    """The key signature in force, as far as the bars before a symbol say it."""
    measure = harmony.getparent()
    bars = [] if measure is None else [measure, *measure.itersiblings(preceding=True)]
    for place, bar in enumerate(bars):
        before = harmony.itersiblings(preceding=True) if place == 0 else reversed(bar)
        for element in before:
            key = element.find("key") if element.tag == "attributes" else None
            if key is not None and text_of(key.find("fifths")):
                return key
    return None
