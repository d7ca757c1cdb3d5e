"""What is wanted: for which instrument a part is rewritten, and in which sense.

Light on purpose: the command line imports it before there is any work.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from drills.instruments.table import InstrumentFact, find_fact


class How(StrEnum):
    """What stays the same when the instrument changes, octaves aside."""

    SOUNDING = "sounding"
    """The pitch that sounds: the other player joins in, and reads transposed notes."""
    WRITTEN = "written"
    """The notes that are read: the same letters, sounding as the other instrument does."""


@dataclass(frozen=True, slots=True)
class Rewriting:
    """An instrument, and how a part is rewritten for it."""

    instrument: InstrumentFact
    """The row of the table of instruments: its transposition, range and clefs count."""
    how: How = How.SOUNDING


def rewriting_for(name: str, how: How = How.SOUNDING) -> Rewriting:
    """The rewriting for an instrument as a player names it, in any language of the table.

    Raises UsageError with the nearest names where there is none.
    """
    return Rewriting(find_fact(name), how)
