"""Bars that a player types -> MusicXML: plain words, or ABC.

    4/4 F major: 16ths c5 bb4 c5 e5 | quarters f5 r half a4      plain words; see words.py
    M:4/4 L:1/16 K:F cBce ...                                    ABC 2.1; has a field K: or L:

Notes are written for the player, whose instrument sets clef and transposition.  A file of
typed bars begins with fields, a line each (title, composer, part, instrument, tempo), all
of which may be left out; ``#`` begins a line of remarks.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from drills.errors import DrillsError, ReadError, UsageError
from drills.instruments.table import InstrumentFact, find_fact
from drills.music.pitch import CONCERT
from drills.music.score import TREBLE
from drills.reading.limits import Limits
from drills.reading.other.foreign import Foreign, Translation
from drills.reading.other.player import Player
from drills.reading.other.scorexml import Heading, MadePart, score_bytes
from drills.reading.other.word_notes import BadWordError
from drills.reading.other.words import read_words
from drills.reading.source import Typed

_ABC_FIELD: Final = re.compile(r"(?:^|[\s\[])[XMLKQV]:", re.MULTILINE)
_FIELD: Final = re.compile(r"[ \t]*(title|composer|part|instrument|tempo)[ \t]*:[ \t]*(.*)", re.I)
_UNNAMED: Final = "Notes"
_SLOWEST, _FASTEST = 5, 1000


@dataclass(frozen=True, slots=True)
class _Sheet:
    """What was typed, with what it is for."""

    text: str
    instrument: str = ""
    part: str = ""
    heading: Heading = field(default_factory=Heading)
    tempo: Fraction | None = None


def from_typed(typed: Typed, limits: Limits) -> Translation:
    """Bars typed on a command line; raises UsageError, which names the very word."""
    return _document(_Sheet(typed.text, typed.instrument), limits, "--notes", UsageError)


def from_file(foreign: Foreign) -> Translation:
    """A file of typed bars; raises ReadError, which names the very word."""
    sheet = _fields(foreign.data.decode("utf-8", "replace"), foreign.where)
    return _document(sheet, foreign.limits, foreign.where, ReadError)


def _fields(text: str, where: str) -> _Sheet:
    """The fields at the head of a file, and the notes below them."""
    lines = [line for line in text.splitlines() if not line.lstrip().startswith("#")]
    said: dict[str, str] = {}
    while lines and (not lines[0].strip() or (found := _FIELD.fullmatch(lines[0])) is not None):
        if lines[0].strip() and found is not None:
            said[found[1].lower()] = found[2].strip()
        lines.pop(0)
    return _Sheet(
        "\n".join(lines),
        said.get("instrument", ""),
        said.get("part", ""),
        Heading(said.get("title", ""), said.get("composer", "")),
        _tempo(said["tempo"], where) if "tempo" in said else None,
    )


def _tempo(text: str, where: str) -> Fraction:
    try:
        number = Fraction(text)
    except (ValueError, ZeroDivisionError):
        number = Fraction(0)
    if not _SLOWEST <= number <= _FASTEST:
        raise ReadError(
            f"{where}: tempo: {text!r} is no number of quarters a minute, such as tempo: 96"
        )
    return number


def _document(sheet: _Sheet, limits: Limits, where: str, error: type[DrillsError]) -> Translation:
    try:
        fact = find_fact(sheet.instrument) if sheet.instrument else None
    except UsageError as wrong:
        raise error(f"{where}: {wrong}") from wrong
    if not sheet.text.strip():
        raise error(f'{where}: no notes; write, for example, "4/4 F major: 16ths c5 bb4 c5 e5"')
    if len(sheet.text) > limits.notes:
        raise limits.exceeded("notes", f"{len(sheet.text):,} characters of", where)
    try:
        if _ABC_FIELD.search(sheet.text):
            from drills.reading.other.typed_abc import abc_document  # noqa: PLC0415 - only for ABC

            name = sheet.part or (fact.name if fact else _UNNAMED)
            return abc_document(sheet.text, Player(name, fact), sheet.heading, limits, where)
        found = read_words(sheet.text)
    except BadWordError as wrong:
        raise error(f"{where}: {wrong}") from wrong
    bars = found.bars
    if sheet.tempo is not None:
        bars = (replace(bars[0], tempo=sheet.tempo), *bars[1:])
    name = sheet.part or (fact.name if fact else _UNNAMED)
    made = MadePart(
        name,
        bars,
        fact.clef if fact else TREBLE,
        fact.transposition if fact else CONCERT,
        instrument=fact.name if fact else "",
    )
    return Translation(score_bytes([made], sheet.heading), (*found.remarks, *_about(fact)))


def _about(fact: InstrumentFact | None) -> tuple[str, ...]:
    """What is assumed where no instrument was named."""
    told = (
        "No instrument was named: the notes are written in treble clef and sound as written; "
        "give --instrument (in a file, instrument: clarinet)."
    )
    return () if fact else (told,)
