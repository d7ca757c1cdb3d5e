"""What is written over and under the staff: marks, tempos, words, dynamics.

Exporters write one thing in many ways.  A rehearsal mark may be
``<rehearsal>``, boxed ``<words>`` or words that read ``[E]``; a tempo may be a
``<metronome>``, a number for playback only (``<sound tempo>``) or a word such
as Allegro.  These functions take one ``<direction>`` and say what it means.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from lxml import etree

from drills.music.time import NOTE_KINDS, NoteValue
from drills.reading.xmltext import as_decimal, as_int, text_of

_QUARTER: Final = NoteValue("quarter")
_NUMBER: Final = re.compile(r"\d{1,9}(?:[.,]\d{1,4})?")
_HIGHEST_TEMPO: Final = 1_000
_BOXES: Final = {"rectangle", "square", "circle", "oval", "diamond", "bracket", "triangle"}
_MARK: Final = re.compile(r"[A-Za-z]|([A-Z])\1|[A-Z]{1,2}\d{1,2}|\d{1,4}[A-Za-z]?")
"""How a boxed or bracketed word must read to be a rehearsal mark: E, AA, B2, 33."""
_BOLD_MARK: Final = re.compile(r"([A-Z])\1?")
"""A bold word without a box is a mark only if it is a capital letter: E, AA."""
_BRACKETED: Final = re.compile(r"\[\s*([^\[\]]{1,5}?)\s*\]")
_TEMPO_WORD: Final = re.compile(
    r"\b(grave|largo|larghetto|lento|adagio|adagietto|andante|andantino|moderato|allegretto"
    r"|allegro|vivace|vivo|presto|prestissimo|maestoso|mosso|tempo di|tempo giusto"
    r"|istesso|lo stesso"
    r"|slow|slowly|medium|moderately|fast|brightly|lively|quick|march|waltz|swing|ballad"
    r"|langsam|m[aä](?:ß|ss)ig|bewegt|lebhaft|schnell|rasch|ruhig|feierlich|gehend|marsch"
    r"|lent|mod[ée]r[ée]|vif|anim[ée]|rapide|gai)\b",
    re.IGNORECASE,
)
"""Words that name a tempo (common practice; Italian, English, German, French)."""
_TEMPO_CHANGE: Final = re.compile(
    r"\b(rit|riten|ritard|rall|accel|string|allarg|rubato|slow(ing)? down|getting|a tempo)",
    re.IGNORECASE,
)
"""Words that bend the tempo: a playback number beside them is a step on the way."""
_NOTE_SIGNS: Final = {
    "\N{QUARTER NOTE}": "quarter",
    "\N{EIGHTH NOTE}": "eighth",
    "\N{MUSICAL SYMBOL HALF NOTE}": "half",
    "\N{MUSICAL SYMBOL QUARTER NOTE}": "quarter",
    "\N{MUSICAL SYMBOL EIGHTH NOTE}": "eighth",
    "\N{MUSICAL SYMBOL SIXTEENTH NOTE}": "16th",
    "h": "half",
    "q": "quarter",
    "e": "eighth",
}
"""Signs for note values in words: those of Unicode, and the letters under which
text fonts for music keep them."""
_WRITTEN_OUT: Final = re.compile(
    rf"(?<!\w)(?P<sign>[{''.join(_NOTE_SIGNS)}])(?P<dot>\s*\.)?\s*=\s*(?:ca?\.?\s*)?"
    r"(?P<number>\d[\d.,]*(?:\s*[-\N{EN DASH}]\s*\d+)?)",
    re.IGNORECASE,
)
_NAVIGATION: Final = re.compile(
    r"\b(fine|coda|segno|d\.\s?[cs]\.|da capo|dal segno|tacet)\b", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class TempoText:
    """A tempo as one direction gives it."""

    beat: NoteValue | None
    number: Fraction | None
    text: str
    printed: bool = True
    """False where the number is for playback only."""


def staff_of_direction(direction: etree._Element) -> int:
    """The staff, from 1, that a direction belongs to."""
    return as_int(direction.findtext("staff")) or 1


def rehearsals(direction: etree._Element) -> tuple[str, ...]:
    """The texts of the rehearsal marks in a direction."""
    found = [clean(text_of(sign)) for sign in direction.iterfind("direction-type/rehearsal")]
    found += [mark for sign in direction.iterfind("direction-type/words") if (mark := _mark(sign))]
    return tuple(text for text in found if text)


def _mark(words: etree._Element) -> str:
    """The rehearsal mark that ``<words>`` stand for, or ""."""
    text = clean(text_of(words))
    if (words.get("enclosure") or "none") in _BOXES and _MARK.fullmatch(text):
        return text
    if words.get("font-weight") == "bold" and _BOLD_MARK.fullmatch(text):
        return text
    bracketed = _BRACKETED.fullmatch(text)
    return bracketed[1] if bracketed and _MARK.fullmatch(bracketed[1]) else ""


def words(direction: etree._Element) -> str:
    """The words of a direction in one line, rehearsal marks left out."""
    signs = direction.iterfind("direction-type/words")
    return clean(" ".join(text_of(sign) for sign in signs if not _mark(sign)))


def dynamics(parent: etree._Element) -> tuple[str, ...]:
    """The dynamic signs under ``<direction-type>`` or ``<notations>``: "p", "sfz"."""
    found: list[str] = []
    for signs in parent.iter("dynamics"):
        parts = [text_of(sign) if sign.tag == "other-dynamics" else str(sign.tag) for sign in signs]
        if text := clean("".join(parts)):
            found.append(text)
    return tuple(found)


def is_for_all(direction: etree._Element) -> bool:
    """True for words that every player needs, though they stand in one part only."""
    return bool(_NAVIGATION.search(words(direction))) or direction.get("directive") == "yes"


def tempo(direction: etree._Element) -> TempoText | None:
    """The tempo that a direction gives, in numbers or in words; None where it gives none."""
    text = words(direction)
    for sign in direction.iterfind("direction-type/metronome"):
        beat, number, relation = _metronome(sign)
        if number is not None:
            return TempoText(beat, number, text)
        if relation:
            return TempoText(None, None, clean(f"{text} {relation}"))
    sound = direction.find("sound")
    if _TEMPO_CHANGE.search(text):
        return None
    if (written := _in_words(text)) is not None:
        return written
    named = text if _TEMPO_WORD.search(text) else ""
    number = None if sound is None else sound_tempo(sound)
    if number is not None:
        return TempoText(_QUARTER, number, named, printed=False)
    return TempoText(None, None, named) if named else None


def _in_words(text: str) -> TempoText | None:
    """A tempo that is written out as words: "Allegro (\N{QUARTER NOTE} = 120)", "q. = 66"."""
    found = _WRITTEN_OUT.search(text)
    if found is None or (number := number_in(found["number"])) is None:
        return None
    beat = NoteValue(_NOTE_SIGNS[found["sign"].lower()], 1 if found["dot"] else 0)
    return TempoText(beat, number, text)


def sound_tempo(sound: etree._Element) -> Fraction | None:
    """Quarters a minute of a ``<sound>`` element, or None."""
    return _sensible(as_decimal(sound.get("tempo") or ""))


def _metronome(sign: etree._Element) -> tuple[NoteValue | None, Fraction | None, str]:
    """Beat, number, and the words of a relation such as "quarter = dotted quarter"."""
    units: list[list[str]] = []
    for child in sign:
        if child.tag == "beat-unit":
            units.append([text_of(child), ""])
        elif child.tag == "beat-unit-dot" and units:
            units[-1][1] += "."
    if not units or units[0][0] not in NOTE_KINDS:
        return None, None, ""
    if len(units) > 1:
        named = ["dotted " * len(dots) + kind for kind, dots in units]
        return None, None, " = ".join(named)
    beat = NoteValue(units[0][0], min(len(units[0][1]), 4))
    return beat, number_in(text_of(sign.find("per-minute"))), ""


def number_in(text: str) -> Fraction | None:
    """The number of "120", "c. 120", "120-132" (the upper end), "ca 92,5"."""
    found = [as_decimal(number.replace(",", ".")) for number in _NUMBER.findall(text)]
    return _sensible(max((number for number in found[:2] if number is not None), default=None))


def _sensible(number: Fraction | None) -> Fraction | None:
    return number if number is not None and 0 < number <= _HIGHEST_TEMPO else None


def clean(text: str, longest: int = 500) -> str:
    """One line without control characters or runs of blanks."""
    return " ".join(text.split())[:longest]
