"""Which notes are held over from the note before.

A tie needs both its ends: a note that asks to be tied (``<tie>``, or ``<tied>``
alone) and, where it stops sounding, a note of the same pitch that is tied from
it.  A tie that leads nowhere (let it ring, or forgotten) is no tie; a note that
claims to be held over from nothing is an attack.  At the start of a second
ending the note before stands elsewhere on the page, so there the claim is
believed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from lxml import etree

from drills.music.pitch import Pitch, Tone
from drills.reading.clusters import Cluster


@dataclass(frozen=True, slots=True)
class TieEnds:
    """How a note is tied."""

    start: bool = False
    stop: bool = False


@dataclass(frozen=True, slots=True)
class Held:
    """A note on the staff, as far as ties are concerned."""

    cluster: Cluster
    tones: tuple[tuple[etree._Element, Tone], ...]
    at: Fraction
    """From the start of the part."""
    after_jump: bool
    """The bar begins a later ending."""

    @property
    def end(self) -> Fraction:
        """Where it ends, from the start of the part."""
        return self.at + self.cluster.time.length


def resolve(notes: Sequence[Held]) -> dict[int, TieEnds]:
    """The ties of every note that has one, by the cluster's key."""
    starts: dict[tuple[Fraction, str], int] = {}
    for held in notes:
        for element, tone in held.tones:
            if _asks(element, "start"):
                starts[held.end, _sound(tone)] = held.cluster.key
    tied_on: set[int] = set()
    tied_from: set[int] = set()
    for held in notes:
        sources = [starts.get((held.at, _sound(tone))) for _, tone in held.tones]
        claims = [_asks(element, "stop") for element, _ in held.tones]
        if all(claims) and all(source is not None for source in sources):
            tied_from.add(held.cluster.key)
            tied_on.update(source for source in sources if source is not None)
        elif all(claims) and held.after_jump and held.cluster.start == 0:
            tied_from.add(held.cluster.key)
    return {key: TieEnds(key in tied_on, key in tied_from) for key in sorted(tied_on | tied_from)}


def _asks(note: etree._Element, end: str) -> bool:
    """True where the note carries that end of a tie, to be heard or to be seen."""
    for path in ("tie", "notations/tied"):
        if any(sign.get("type") in {end, "continue"} for sign in note.iterfind(path)):
            return True
    return False


def _sound(tone: Tone) -> str:
    """Equal for tones that a tie can join, enharmonic ones included."""
    return str(tone.midi) if isinstance(tone, Pitch) else str(tone)
