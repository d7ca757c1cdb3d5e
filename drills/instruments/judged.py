"""Which fingering table an instrument is judged by, and what was assumed.

Scores say "Tuba" or "Horn", hardly ever how many valves it has or in which
pitch it is built; where the answer depends on it, the commonest instrument is
taken and the assumption said, so that the player can name another.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from drills.instruments.fingering import load_table
from drills.instruments.table import InstrumentFact, fact_of, instrument_of, plain
from drills.music.pitch import CONCERT, Transposition
from drills.music.score import Instrument


@dataclass(frozen=True, slots=True)
class EffortInstrument:
    """An instrument as the cost of a move sees it."""

    name: str
    """As the table of instruments has it, or the score's own."""
    table: str = ""
    """Name of the fingering table; empty where distance and register alone are judged."""
    shift: int = 0
    """Semitones from the written note to the table's note."""
    low: int | None = None
    high: int | None = None
    """Usual range without a table, as written MIDI numbers; None where not known."""
    assumptions: tuple[str, ...] = ()
    """What was taken for granted, in a player's words."""


@dataclass(frozen=True, slots=True)
class _Entry:
    table: str
    assumption: str = ""
    built: int = 0
    """Semitones from the table's instrument to this one: a tuba in F is 7 above B flat."""


_CLARINETS: Final = ("B flat", "A", "C", "D", "E flat")
_TRUMPETS: Final = ("B flat", "C", "D", "E flat", "F", "A")
_LOW_CLARINET: Final = "taken to go down to low E flat or C"
_AS_CLARINET: Final = "judged by the clarinet's fingerings"
_ALONE: Final = "moves are judged by distance and register alone"
_TUBA: Final = (
    'taken for a tuba in B flat with four valves; name another such as "F tuba" or "C tuba"'
)

_ENTRIES: Final[dict[str, _Entry]] = {
    **{name: _Entry("flute") for name in ("Flute", "Piccolo", "Alto flute", "Bass flute")},
    **{name: _Entry("oboe") for name in ("Oboe", "Oboe d'amore", "English horn")},
    "Bassoon": _Entry("bassoon"),
    "Contrabassoon": _Entry("bassoon", "judged by the bassoon's fingerings"),
    **{f"Clarinet in {key}": _Entry("clarinet") for key in _CLARINETS},
    **{
        name: _Entry("bass-clarinet", _LOW_CLARINET)
        for name in ("Alto clarinet", "Bass clarinet", "Basset horn", "Basset clarinet")
    },
    **{
        name: _Entry("bass-clarinet", _AS_CLARINET)
        for name in ("Contra-alto clarinet", "Contrabass clarinet")
    },
    **{
        f"{size} saxophone": _Entry("saxophone")
        for size in ("Sopranino", "Soprano", "Alto", "Tenor", "Bass")
    },
    "Baritone saxophone": _Entry("baritone-saxophone", "taken to have a low A key"),
    **{f"Trumpet in {key}": _Entry("trumpet") for key in _TRUMPETS},
    **{
        name: _Entry("trumpet")
        for name in (
            *("Piccolo trumpet", "Bass trumpet", "Cornet in B flat", "Cornet in A"),
            *(
                "Soprano cornet",
                "Flugelhorn",
                "Tenor horn",
                "Mellophone",
                "Baritone horn in treble clef",
            ),
        )
    },
    **{
        f"Horn in {key}": _Entry("horn", "taken for a double horn in F and B flat")
        for key in ("F", "E flat", "E", "D", "C", "G")
    },
    "Baritone horn": _Entry("euphonium", "judged by the euphonium's fingerings"),
    "Euphonium": _Entry("euphonium", "taken to have four valves"),
    "Euphonium in treble clef": _Entry("euphonium", "taken to have four valves"),
    "Trombone": _Entry("trombone", "taken for a tenor trombone with an F attachment"),
    "Bass trombone": _Entry("trombone", "judged with one attachment, in F"),
    "Alto trombone": _Entry("trombone", "judged as a trombone in E flat", built=5),
    "Tuba": _Entry("tuba", _TUBA),
    "Bass in E flat": _Entry("tuba", "taken to have four valves", built=5),
    "Bass in B flat": _Entry("tuba", "taken to have four valves"),
}
"""Instruments of drills.instruments.table that a table fits.  Woodwinds and the
trumpet family read their table as written, whatever they sound like."""

_TUBAS: Final = (
    (re.compile(r"\bc tuba\b|\btuba in c\b"), "C", 2),
    (re.compile(r"\b(?:eb|e flat|es) tuba\b|\btuba in (?:eb|e flat|es)\b"), "E flat", 5),
    (re.compile(r"\bf tuba\b|\btuba in f\b"), "F", 7),
    (re.compile(r"\b(?:bbb|bb|b flat) tuba\b|\btuba in (?:bb|b flat)\b"), "B flat", 0),
)


@lru_cache(maxsize=256)
def instrument_for(instrument: Instrument | str) -> EffortInstrument:
    """The table an instrument is judged by, with what was assumed.

    ``instrument`` is a part's, or a name as a player would type it.  Never
    raises for a name: one that is odd or missing is judged by distance and
    register alone, and says so.
    """
    asked = instrument if isinstance(instrument, str) else instrument.name
    found = instrument_of(instrument) if isinstance(instrument, str) else instrument
    fact = fact_of(found) or fact_of(instrument_of(asked))
    if fact is None:
        return EffortInstrument(asked, assumptions=(_unknown(asked),))
    taken = _taken_for(asked, fact)
    entry = _named_tuba(asked) or _ENTRIES.get(fact.name)
    if entry is None:
        alone = f"no fingering table for {fact.name}: {_ALONE}"
        return EffortInstrument(
            fact.name, low=_edge(fact, 0), high=_edge(fact, 1), assumptions=(*taken, alone)
        )
    said = (f"{fact.name}: {entry.assumption}",) if entry.assumption else ()
    shift = _shift(entry, fact, found.transposition)
    return EffortInstrument(fact.name, entry.table, shift, assumptions=(*taken, *said))


def _taken_for(asked: str, fact: InstrumentFact) -> tuple[str, ...]:
    """A name that the table has only a part of, such as "Alto Sax. 1" or "Nose flute"."""
    if plain(asked) in fact.aliases:
        return ()
    return (f"{asked!r} is taken for {fact.name}",)


def _unknown(asked: str) -> str:
    what = f"{asked!r} is no instrument that is known" if asked else "no instrument is named"
    return f"{what}: {_ALONE}; name one with --instrument"


def _named_tuba(asked: str) -> _Entry | None:
    """A tuba whose pitch the name gives."""
    name = plain(asked)
    for pattern, key, built in _TUBAS:
        if pattern.search(name):
            return _Entry("tuba", f"taken for a tuba in {key} with four valves", built)
    return None


def _shift(entry: _Entry, fact: InstrumentFact, moved: Transposition) -> int:
    """From the written note to the table's.

    A part without a transposition is read as its instrument is usually written.
    """
    table = load_table(entry.table)
    if not table.sounding:
        return 0
    chromatic = (fact.transposition if moved == CONCERT else moved).chromatic
    return chromatic - table.transposition - entry.built


def _edge(fact: InstrumentFact, end: int) -> int | None:
    pitch = (fact.low, fact.high)[end]
    return None if pitch is None else int(pitch.midi)
