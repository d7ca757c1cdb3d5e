"""What is written over and under the staff: marks, tempos, words, dynamics.

Exporters write one thing in many ways.  A rehearsal mark may be
``<rehearsal>``, boxed ``<words>`` or words that read ``[E]``; a tempo may be a
``<metronome>``, a number for playback only (``<sound tempo>``) or a word such
as Allegro.  These functions take one ``<direction>`` and say what it means.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from lxml import etree

from drills.music.time import NOTE_KINDS, NoteValue
from drills.reading.glyphs import in_plain_text, of_symbol, without_empty_brackets
from drills.reading.xmltext import as_decimal, as_int, text_of

_QUARTER: Final = NoteValue("quarter")
_NUMBER: Final = re.compile(r"\d{1,9}(?:[.,]\d{1,4})?")
_HIGHEST_TEMPO: Final = 1_000
_BOXES: Final = {"rectangle", "square", "circle", "oval", "diamond", "bracket", "triangle"}
_MARK: Final = re.compile(r"[A-Za-z]|([A-Z])\1|[A-Z]{1,2}\d{1,2}|\d{1,4}[A-Za-z]?")
"""How a boxed or bracketed word must read to be a rehearsal mark: E, AA, B2, 33."""
_BOLD_MARK: Final = re.compile(r"([A-Z])\1?")
"""A bold word without a box is a mark only if it is a capital letter: E, AA."""
_UNDER_THE_STAFF: Final = -40
"""Tenths from the top line of a five-line staff (MusicXML 4.0, attribute ``default-y``)."""
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
    r"(?<!senza )(?<!sans )(?<!ohne )(?<!non )\b(?:rit(?:ard(?:ando)?|en(?:uto)?)?"
    r"|rall(?:ent(?:ando|ir)?)?|accel(?:er(?:ando|ate)?)?|allarg(?:ando)?|stringendo|string(?=\.)"
    r"|calando|slentando|slow(?:ing)? down|getting|c[ée]dez|retenu|langsamer werdend)(?!\w)",
    re.IGNORECASE,
)
"""Words that bend the tempo (common practice): a playback number beside them is a step on
the way.  Whole words, so that "Allegro ritmico" is none, and none that says it is left out."""
_TEMPO_RETURN: Final = re.compile(r"\b(a tempo|(in )?tempo (i|1|primo)\b)", re.IGNORECASE)
"""Words after which a number is the tempo again, whatever bent it before."""
_NOTE_SIGNS: Final = {
    "\N{QUARTER NOTE}": "quarter",
    "\N{EIGHTH NOTE}": "eighth",
    "\N{MUSICAL SYMBOL WHOLE NOTE}": "whole",
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
_FRACTIONS: Final = {
    "1/1": "whole",
    "1/2": "half",
    "1/4": "quarter",
    "1/8": "eighth",
    "1/16": "16th",
}
"""Note values as fractions of a whole, as in "MM 1/4 = 90"."""
_WRITTEN_OUT: Final = re.compile(
    rf"(?:\bM\.?\s?M\.?\s*)?(?<![\w/])(?P<sign>[{''.join(_NOTE_SIGNS)}]|1/(?:16|[1248]))(?P<dot>\s*\.)?"
    r"\s*=\s*(?:ca?\.?\s*)?"
    r"(?P<number>\d[\d.,]*(?:\s*[-\N{EN DASH}]\s*\d+)?)",
    re.IGNORECASE,
)
_OF_THE_BEAT: Final = re.compile(
    r"\(?\bM\.?\s?M\.?\s*=?\s*(?:ca?\.?\s*)?"
    r"(?P<number>\d{2,3}(?:\s*[-\N{EN DASH}]\s*\d{2,3})?)\b\)?"
)
"""A metronome number (Maelzel's) without a note value, as in "M.M. 90"."""
_HOLE: Final = re.compile(
    r"[(\[]?\s*=\s*(?:ca?\.?\s*)?\d[\d.,]*(?:\s*[-\N{EN DASH}]\s*\d+)?\s*[)\]]?"
)
"""A number whose note got lost on the way, as in "( = 84)"."""
_NAVIGATION: Final = re.compile(
    r"\b(fine|coda|segno|d\.\s?[cs]\.|da capo|dal segno|tacet)\b", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class TempoText:
    """A tempo as one direction gives it."""

    beat: NoteValue | None
    """None for that of the metre, and where there is no number."""
    number: Fraction | None
    text: str
    printed: bool = True
    """False where the number is for playback only."""
    said: str = ""
    """The words of the direction that the mark stands for."""


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
        return "" if _may_be_dynamic(words) else text
    bracketed = _BRACKETED.fullmatch(text)
    return bracketed[1] if bracketed and _MARK.fullmatch(bracketed[1]) else ""


def _may_be_dynamic(words: etree._Element) -> bool:
    """True for a letter in italics or under the staff: "P", "F" are written so."""
    direction = next(words.iterancestors("direction"), None)
    below = direction is not None and direction.get("placement") == "below"
    height = as_decimal(words.get("default-y") or "")
    return (
        words.get("font-style") == "italic"
        or below
        or (height is not None and height < _UNDER_THE_STAFF)
    )


def words(direction: etree._Element) -> str:
    """The words of a direction in one line, rehearsal marks left out."""
    found = []
    for sign in direction.iterfind("direction-type/*"):
        if sign.tag == "words" and not _mark(sign):
            found.append(text_of(sign))
        elif sign.tag == "symbol":
            found.append(of_symbol(text_of(sign)))
    return without_empty_brackets(clean(" ".join(found)))


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
    found = _printed_tempo(direction, text) or _tempo_of(direction, text)
    if found is None or found.number is None:
        return found
    return replace(found, text=clean(_HOLE.sub("", found.text)))


def _printed_tempo(direction: etree._Element, text: str) -> TempoText | None:
    """What a ``<metronome>`` says; a relation takes its number from playback."""
    for sign in direction.iterfind("direction-type/metronome"):
        beat, number, relation = _metronome(sign)
        if number is not None:
            return TempoText(beat, number, text, said=text)
        if relation:
            played = _played(direction)
            beat = None if played is None else _QUARTER
            return TempoText(beat, played, clean(f"{text} {relation}"), printed=False, said=text)
    return None


def _tempo_of(direction: etree._Element, text: str) -> TempoText | None:
    """What words and playback say."""
    if _TEMPO_CHANGE.search(text) and not _TEMPO_RETURN.search(text):
        return None
    if (written := _in_words(text)) is not None:
        return written
    named = text if _TEMPO_WORD.search(text) else ""
    played = _played(direction)
    if played is not None:
        return TempoText(_QUARTER, played, named, printed=False, said=named)
    return TempoText(None, None, named, said=named) if named else None


def _played(direction: etree._Element) -> Fraction | None:
    sound = direction.find("sound")
    return None if sound is None else sound_tempo(sound)


def _in_words(text: str) -> TempoText | None:
    """A tempo that is written out as words: "Allegro (\N{QUARTER NOTE} = 120)", "q. = 66"."""
    found = _WRITTEN_OUT.search(text) or _OF_THE_BEAT.search(text)
    if found is None or (number := number_in(found["number"])) is None:
        return None
    rest = without_empty_brackets(clean(f"{text[: found.start()]}{text[found.end() :]}"))
    if found.re is _OF_THE_BEAT:
        return TempoText(None, number, rest, said=text)
    sign = found["sign"].lower()
    kind = _FRACTIONS.get(sign) or _NOTE_SIGNS[sign]
    beat = NoteValue(kind, 1 if found["dot"] else 0)
    return TempoText(beat, number, rest, said=text)


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
    return " ".join(in_plain_text(text).split())[:longest]
