"""Slurs as pairs of notes, each with a number used once in the part.

MusicXML reuses the numbers 1 to 16 and writes a slur's ends in the order of the
file, which is not that of time where there are several voices.  Ends are
therefore sorted by time (grace notes before the note they lead to) and paired
by number; an end without its partner is dropped.
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
    ordered = sorted(
        placed, key=lambda pair: (pair[0], not pair[1].grace, pair[1].voice, pair[1].key)
    )
    open_slurs: dict[str, int] = {}
    starts: dict[int, list[int]] = {}
    stops: dict[int, list[int]] = {}
    count = 0
    for _, cluster in ordered:
        signs = [sign for head in cluster.heads for sign in head.element.iterfind("notations/slur")]
        for sign in signs:
            number = sign.get("number") or "1"
            if sign.get("type") == "stop" and number in open_slurs:
                begun = open_slurs.pop(number)
                count += 1
                starts.setdefault(begun, []).append(count)
                stops.setdefault(cluster.key, []).append(count)
        for sign in signs:
            if sign.get("type") == "start":
                open_slurs[sign.get("number") or "1"] = cluster.key
    return {
        key: SlurEnds(tuple(starts.get(key, ())), tuple(stops.get(key, ())))
        for key in starts.keys() | stops.keys()
    }
