"""Who typed bars are for."""

from __future__ import annotations

from dataclasses import dataclass

from drills.instruments.table import InstrumentFact


@dataclass(frozen=True, slots=True)
class Player:
    """The name of a part, and the instrument that it is written for."""

    name: str
    fact: InstrumentFact | None = None
    """None where no instrument was named: treble clef, sounding as written."""
