"""Slurs as pairs of notes, each with a number used once in the part.

MusicXML reuses the numbers 1 to 16 and writes a slur's ends in the order of the
file, which is not that of time where there are several voices.  Ends are
therefore sorted by time (grace notes before the note they lead to) and paired
by number, within a voice where that is possible: some exporters number the
slurs of each voice anew.  An end without its partner is dropped.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from drills.reading.clusters import Cluster


@dataclass(frozen=True, slots=True)
class SlurEnds:
    """The slurs that begin and end on a note."""

    starts: tuple[int, ...] = ()
    stops: tuple[int, ...] = ()


def number_slurs(placed: Iterable[tuple[Fraction, Cluster]]) -> dict[int, SlurEnds]:
    """The slurs of every note that has one, by the cluster's key.

    ``placed``: clusters with their place from the start of the part.
    """
    signed = [pair for pair in placed if any("notations" in h.fields for h in pair[1].heads)]
    ordered = sorted(
        signed, key=lambda pair: (pair[0], not pair[1].grace, pair[1].voice, pair[1].key)
    )
    pairs = _Pairs()
    for _, cluster in ordered:
        signs = [sign for head in cluster.heads for sign in head.element.iterfind("notations/slur")]
        for sign in signs:
            if sign.get("type") == "stop":
                pairs.stop(sign.get("number") or "1", cluster)
        for sign in signs:
            if sign.get("type") == "start":
                pairs.start(sign.get("number") or "1", cluster)
    return pairs.ends()


class _Pairs:
    """Slurs that have begun, and those that are complete."""

    def __init__(self) -> None:
        self._open: dict[str, dict[str, int]] = {}
        """Cluster where a slur began, by its number and then its voice."""
        self._starts: dict[int, list[int]] = {}
        self._stops: dict[int, list[int]] = {}
        self._count = 0

    def start(self, number: str, cluster: Cluster) -> None:
        """A slur begins; one of the same number that was never ended is forgotten."""
        self._open.setdefault(number, {})[cluster.voice] = cluster.key

    def stop(self, number: str, cluster: Cluster) -> None:
        """A slur ends: that of its voice, else the one begun last in another."""
        begun = self._open.get(number)
        if not begun:
            return
        start = begun.pop(cluster.voice if cluster.voice in begun else next(reversed(begun)))
        self._count += 1
        self._starts.setdefault(start, []).append(self._count)
        self._stops.setdefault(cluster.key, []).append(self._count)

    def ends(self) -> dict[int, SlurEnds]:
        """The complete slurs by cluster."""
        return {
            key: SlurEnds(tuple(self._starts.get(key, ())), tuple(self._stops.get(key, ())))
            for key in self._starts.keys() | self._stops.keys()
        }
