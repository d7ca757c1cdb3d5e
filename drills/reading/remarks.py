"""What the reader left out, mended or assumed, in a player's words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum
from typing import Final

from drills.instruments.table import fact_of, misses_transposition
from drills.music.score import Bar
from drills.reading.clusters import Cluster, RawBar
from drills.reading.xmltext import names_of_bars

_MOST_BARS: Final = 8

CHORDS_FROM: Final = "Chord symbols are those of the part"
"""How the remark begins that a sheet without chords has no use for."""


class Remark(StrEnum):
    """Things that are worth a remark where they happen; the value is the sentence."""

    CUE = "Cue notes belong to another player and are not drilled"
    HIDDEN = "Notes that the score does not print are not drilled"
    GRACE = "Grace notes without a note to lead to are left out"
    LENGTH = "Printed values and lengths contradict each other; the lengths are kept"
    NO_LENGTH = "Notes without any length are left out"
    OVERLAP = "Notes of one voice overlap and are read as two voices"
    CROWDED = "So many notes of one voice overlap that some are left out"
    OTHER_STAFF = "Notes that move to another staff are not in this part"
    SLASHES = "Slashes or repeat signs stand for notes that the file does not spell out"
    TREMOLO = "A tremolo between two notes is read as two plain notes"
    FREE = "There is no time signature; beats are counted as before"
    TIME_INSIDE = "A time signature in the middle of a bar is read with the next bar"


def sentence(remark: str, numbers: Iterable[str]) -> str:
    """``Cue notes ... (bars 3, 7 and 9).``"""
    distinct = list(dict.fromkeys(number or "without number" for number in numbers))
    shown, more = distinct[:_MOST_BARS], len(distinct) - _MOST_BARS
    if more > 0:
        listed = f"{', '.join(shown)} and {more} more"
    elif len(shown) > 1:
        listed = f"{', '.join(shown[:-1])} and {shown[-1]}"
    else:
        listed = shown[0]
    return f"{remark} ({'bars' if len(distinct) > 1 else 'bar'} {listed})."


def about_bars(raw: Sequence[RawBar], lost: Iterable[tuple[Remark, int]]) -> tuple[str, ...]:
    """One sentence for each thing that happened, with the bars where it did."""
    found: dict[Remark, list[int]] = {}
    for remark, index in lost:
        found.setdefault(remark, []).append(index)
    for bar in raw:
        for remark in _in_bar(bar):
            found.setdefault(remark, []).append(bar.index)
    names = names_of_bars([bar.measure for bar in raw])
    return tuple(
        sentence(remark, (names[index] for index in sorted(set(found[remark]))))
        for remark in Remark
        if remark in found
    )


def _in_bar(bar: RawBar) -> Iterator[Remark]:
    if bar.crosses:
        yield Remark.OTHER_STAFF
    for cluster in bar.clusters:
        yield from _of_cluster(cluster)
    for placed in bar.others:
        if placed.element.tag != "attributes":
            continue
        for style in ("slash", "measure-repeat", "beat-repeat"):
            for sign in placed.element.iterfind(f"measure-style/{style}"):
                if sign.get("type") == "start":
                    yield Remark.SLASHES
        for sign in placed.element.iterfind("time"):
            if sign.find("senza-misura") is not None:
                yield Remark.FREE
            elif 0 < placed.start < bar.end:
                yield Remark.TIME_INSIDE


def _of_cluster(cluster: Cluster) -> Iterator[Remark]:
    if not cluster.heads:
        return
    if "cue" in cluster.fields:
        yield Remark.CUE
    elif all(head.hidden for head in cluster.heads):
        yield Remark.HIDDEN
    elif cluster.time.length == 0 and not cluster.grace:
        yield Remark.NO_LENGTH
    elif cluster.time.contradicts:
        yield Remark.LENGTH
    if "notations" in cluster.fields:
        for tremolo in cluster.element.iterfind("notations/ornaments/tremolo"):
            if tremolo.get("type") in {"start", "stop"}:
                yield Remark.TREMOLO


def about_part(bars: Sequence[Bar], staves: int, staff: int) -> Iterator[str]:
    """What is true of the part as a whole."""
    instrument = bars[0].instrument
    fact = fact_of(instrument)
    if fact is not None and misses_transposition(instrument):
        usual = fact.transposition.chromatic
        yield (
            f"The file does not say that it transposes, although a part for "
            f"{instrument.name} usually does ({abs(usual)} semitones "
            f"{'down' if usual < 0 else 'up'}); it is taken to sound as written."
        )
    if staves > 1:
        yield (
            f"The part has {staves} staves; this is staff {staff}. "
            "Choose another staff by the number that the list of parts gives it."
        )


CONCERT_SCORE: Final = (
    "The score is written at concert pitch; this part is written for its player, transposed "
    "as the score says."
)
"""For a part of a concert score that a player would read transposed."""


UNNAMED_CHORDS: Final = (
    "The score's chord symbols name no chords (only functions, or N.C. all through); "
    "chords are read from the notes."
)
"""For a part whose chord symbols are of no use."""


def chords_from(name: str) -> str:
    """Where chord symbols come from that the part itself does not have."""
    return f"{CHORDS_FROM} {name}, written for this player."
