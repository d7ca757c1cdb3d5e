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
from drills.reading.clusters import Cluster, Head


@dataclass(frozen=True, slots=True)
class TieEnds:
    """How a note is tied."""

    start: bool = False
    stop: bool = False


@dataclass(frozen=True, slots=True)
class Held:
    """A note on the staff, as far as ties are concerned."""

    cluster: Cluster
    tones: tuple[Tone, ...]
    """Those of its printed heads, in their order."""
    at: Fraction
    """From the start of the part."""
    after_jump: bool
    """The bar begins a later ending."""


def may_be_tied(cluster: Cluster) -> bool:
    """True for a note that may carry the sign of a tie."""
    return any("tie" in head.fields or "notations" in head.fields for head in cluster.heads)


def resolve(notes: Sequence[Held]) -> dict[int, TieEnds]:
    """The ties of every note that has one, by the cluster's key."""
    starts: dict[tuple[Fraction, str], int] = {}
    for held in notes:
        end = held.at + held.cluster.time.length
        for head, tone in zip(held.cluster.printed_heads, held.tones, strict=True):
            if _asks(head, "start"):
                starts[end, _sound(tone)] = held.cluster.key
    tied_on: set[int] = set()
    tied_from: set[int] = set()
    for held in notes:
        if not all(_asks(head, "stop") for head in held.cluster.printed_heads):
            continue
        sources = [starts.get((held.at, _sound(tone))) for tone in held.tones]
        if all(source is not None for source in sources):
            tied_from.add(held.cluster.key)
            tied_on.update(source for source in sources if source is not None)
        elif held.after_jump and held.cluster.start == 0:
            tied_from.add(held.cluster.key)
    return {key: TieEnds(key in tied_on, key in tied_from) for key in sorted(tied_on | tied_from)}


def _asks(head: Head, end: str) -> bool:
    """True where the note carries that end of a tie, to be heard or to be seen."""
    if "tie" in head.fields and _ends(head.element, "tie", end):
        return True
    return "notations" in head.fields and _ends(head.element, "notations/tied", end)


def _ends(note: etree._Element, path: str, end: str) -> bool:
    return any(sign.get("type") in {end, "continue"} for sign in note.iterfind(path))


def _sound(tone: Tone) -> str:
    """Equal for tones that a tie can join, enharmonic ones included."""
    return str(tone.midi) if isinstance(tone, Pitch) else str(tone)
