"""Which notes are held over from the note before.

A note that says it is tied from before (``<tie>``, or ``<tied>`` alone) is held
over where a note of its pitch ends just then; whether that one says so too does
not matter, as exporters forget it.  A tie that leads nowhere (let it ring, or
forgotten) is no tie, and a note that claims to be held over from nothing is an
attack.  A chord is held over if all its tones are.  At the start of a later
ending the note before stands elsewhere on the page, so there the claim is
believed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

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

    @property
    def end(self) -> Fraction:
        """Where it ends, from the start of the part."""
        return self.at + self.cluster.time.length


def may_be_tied(cluster: Cluster) -> bool:
    """True for a note that may carry the sign of a tie."""
    return any("tie" in head.fields or "notations" in head.fields for head in cluster.heads)


def resolve(signed: Sequence[Held], every: Callable[[], Iterable[Held]]) -> dict[int, TieEnds]:
    """The ties of every note that has one, by the cluster's key.

    ``signed``: the notes for which ``may_be_tied`` is true.  ``every`` gives all
    notes of the staff; it is asked only where a note claims to be tied.
    """
    claims = [held for held in signed if _claims(held.cluster)]
    if not claims:
        return {}
    wanted = {(held.at, _sound(tone)) for held in claims for tone in held.tones}
    ending: dict[tuple[Fraction, str], int] = {}
    for held in every():
        for tone in held.tones:
            place = (held.end, _sound(tone))
            if place in wanted:
                ending[place] = held.cluster.key
    tied_on: set[int] = set()
    tied_from: set[int] = set()
    for held in claims:
        sources = [ending.get((held.at, _sound(tone))) for tone in held.tones]
        if all(source is not None for source in sources):
            tied_from.add(held.cluster.key)
            tied_on.update(source for source in sources if source is not None)
        elif held.after_jump and held.cluster.start == 0:
            tied_from.add(held.cluster.key)
    return {key: TieEnds(key in tied_on, key in tied_from) for key in sorted(tied_on | tied_from)}


def _claims(cluster: Cluster) -> bool:
    """True where every printed head says that it is tied from before."""
    return all(_is_stopped(head) for head in cluster.printed_heads)


def _is_stopped(head: Head) -> bool:
    for path in ("tie", "notations/tied"):
        if path.partition("/")[0] in head.fields:
            signs = head.element.iterfind(path)
            if any(sign.get("type") in {"stop", "continue"} for sign in signs):
                return True
    return False


def _sound(tone: Tone) -> str:
    """Equal for tones that a tie can join, enharmonic ones included."""
    return str(tone.midi) if isinstance(tone, Pitch) else str(tone)
