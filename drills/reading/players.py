"""Which instrument a part is played on, bar by bar.

A part says that its player changes by the instrument that its notes name, or by
``<instrument-change>`` (MusicXML 4.0, inside ``<sound>``) with a new sound.  A part of
drums names an instrument for each note: that is no change.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from lxml import etree

from drills.music.pitch import Transposition
from drills.music.score import Instrument
from drills.reading.clusters import Cluster, RawBar
from drills.reading.partlist import ScorePart
from drills.reading.xmltext import child_text


@dataclass(frozen=True, slots=True)
class _Playing:
    """What a player has in their hands."""

    identifier: str = ""
    """That of the part list; "" at the start of the part."""
    sound: str = ""
    """Where a change names another one."""


class Players:
    """The instrument of each bar of a part."""

    def __init__(self, part: ScorePart, raw: Sequence[RawBar]) -> None:
        self._part = part
        self._playing: list[_Playing] = []
        drums = any(head.unpitched for bar in raw for c in bar.clusters for head in c.heads)
        now = _Playing()
        for bar in raw:
            changes = [] if drums else list(_changes(bar))
            for place, change in changes:
                if not any(cluster.start < place for cluster in bar.clusters if cluster.heads):
                    now = change
            named = next(filter(None, map(_named, bar.clusters)), "")
            if named and len(part.players) > 1 and not drums and named != now.identifier:
                now = _Playing(named)
            self._playing.append(now)
            if changes:
                now = changes[-1][1]

    def instrument(self, index: int, transposition: Transposition | None) -> Instrument:
        """What is played in the bar of that index."""
        now = self._playing[index]
        return self._part.instrument(transposition, now.identifier, now.sound)


def _changes(bar: RawBar) -> Iterator[tuple[Fraction, _Playing]]:
    """The changes in a bar with their places."""
    for placed in bar.others:
        element = placed.element
        sound = element if element.tag == "sound" else element.find("sound")
        if sound is not None and element.tag in {"sound", "direction"}:
            for change in sound.iterfind("instrument-change"):
                yield placed.start, _change(change)


def _change(change: etree._Element) -> _Playing:
    return _Playing(change.get("id") or "", child_text(change, "instrument-sound"))


def _named(cluster: Cluster) -> str:
    found = cluster.fields.get("instrument") if cluster.heads else None
    return "" if found is None else found.get("id") or ""
