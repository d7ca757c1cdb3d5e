"""Which notes are held over from the note before.

A note that says it is tied from before (``<tie>``, or ``<tied>`` alone) is held
over where a note of its pitch ends just then: one of its own voice that says so
too before one of another voice, and these before notes that do not say so, as
exporters forget it; what is not printed comes last.  A note that is the last of its
voice in a bar that it leaves unfilled may be tied over the gap.  A tie that leads
nowhere (let it ring, or forgotten) is no tie, and a note that claims to be held over
from nothing is an attack.  A chord is held over if all its tones are.  At the start
of a later ending the note before stands elsewhere on the page, so there the claim is
believed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from drills.music.pitch import Pitch, Tone
from drills.reading.clusters import Cluster, Head


@dataclass(frozen=True, slots=True)
class TieEnds:
    """How a note is tied."""

    start: bool = False
    stop: bool = False
    voice: str = ""
    """The voice that it is tied from, where that is another one."""
    fills: bool = False
    """It is tied on over a gap at the end of its bar."""


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
    gap_end: Fraction | None = None
    """The end of the bar, for a note after which its voice leaves a gap up to there."""

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
    sources = _sources(claims, every())
    tied_on: dict[int, bool] = {}
    """Keys of notes that are tied on, and whether over a gap."""
    tied_from: dict[int, str] = {}
    """Keys of notes that are tied from before, and the other voice that they come from."""
    for held in claims:
        found = [_source(held, sources[held.at, _sound(tone)]) for tone in held.tones]
        known = [source for source in found if source is not None]
        if len(known) == len(found):
            voices = {source.cluster.voice for source in known}
            same = held.cluster.voice in voices or len(voices) != 1
            tied_from[held.cluster.key] = "" if same else voices.pop()
            tied_on |= {source.cluster.key: source.end != held.at for source in known}
        elif held.after_jump and held.cluster.start == 0:
            tied_from[held.cluster.key] = ""
    return {
        key: TieEnds(
            key in tied_on, key in tied_from, tied_from.get(key, ""), tied_on.get(key, False)
        )
        for key in sorted({*tied_on, *tied_from})
    }


def _sources(
    claims: Sequence[Held], every: Iterable[Held]
) -> dict[tuple[Fraction, str], list[Held]]:
    """The notes that end where a claim begins, by that place and their sound."""
    found: dict[tuple[Fraction, str], list[Held]] = {
        (held.at, _sound(tone)): [] for held in claims for tone in held.tones
    }
    for held in every:
        over_gap = held.gap_end if _has_sign(held.cluster, _BEGINS) else None
        for tone in held.tones:
            for end in dict.fromkeys((held.end, over_gap)):
                if end is not None and (end, _sound(tone)) in found:
                    found[end, _sound(tone)].append(held)
    return found


def _source(claim: Held, ending: Sequence[Held]) -> Held | None:
    """The note that is held on into ``claim``; see the module's docstring."""
    own = claim.cluster

    def rank(held: Held) -> tuple[bool, bool, bool]:
        other = held.cluster
        return (
            other.is_printed != own.is_printed,
            not _has_sign(other, _BEGINS),
            other.voice != own.voice,
        )

    fitting = [held for held in ending if held.cluster is not own]
    return min(fitting, key=rank, default=None)


_BEGINS: Final = frozenset({"start", "continue"})
_ENDS: Final = frozenset({"stop", "continue"})
"""Types of a tie's sign (MusicXML 4.0, ``start-stop`` and ``tied-type``)."""


def _claims(cluster: Cluster) -> bool:
    """True where every printed head says that it is tied from before."""
    return all(_is_signed(head, _ENDS) for head in cluster.printed_heads)


def _has_sign(cluster: Cluster, types: frozenset[str]) -> bool:
    return any(_is_signed(head, types) for head in cluster.printed_heads)


def _is_signed(head: Head, types: frozenset[str]) -> bool:
    for path in ("tie", "notations/tied"):
        if path.partition("/")[0] in head.fields:
            signs = head.element.iterfind(path)
            if any(sign.get("type") in types for sign in signs):
                return True
    return False


def _sound(tone: Tone) -> str:
    """Equal for tones that a tie can join, enharmonic ones included."""
    return str(tone.midi) if isinstance(tone, Pitch) else str(tone)
