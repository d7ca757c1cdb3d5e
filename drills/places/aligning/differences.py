"""What did not fit when parts were laid on one time line, in a player's words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from drills.music.score import Part
from drills.places.aligning.pairing import Unit
from drills.places.bar_names import bar_name

REMARKS_OF_A_PART: Final = 3
"""Differences that are told of one part; of more, their number."""


def differences(parts: Sequence[Part], rows: Sequence[dict[int, Unit]], part: int) -> list[str]:
    """How a part differs from the first one that has the bar in question."""
    told = (_missing, _numbered, _longer)
    found = [remark for tell in told for remark in tell(parts, rows, part)]
    more = len(found) - REMARKS_OF_A_PART
    if more > 0:
        found[REMARKS_OF_A_PART:] = [f"{parts[part].name} differs in {more} more bars"]
    return found


def _missing(parts: Sequence[Part], rows: Sequence[dict[int, Unit]], part: int) -> Iterator[str]:
    """Stretches of bars that only others have."""
    own = [part in row for row in rows]
    if not any(own):
        yield f"{parts[part].name} has no bars"
        return
    edges = [i for i, (one, two) in enumerate(pairwise([True, *own, True])) if one != two]
    for low, high in zip(edges[::2], edges[1::2], strict=True):
        other, first = min(rows[low].items())
        last = next((row[other] for row in reversed(rows[low:high]) if other in row), first)
        name = parts[other].name
        if first is last:
            yield f"{parts[part].name} lacks bar {_name(parts, other, first)} of {name}"
        else:
            yield (
                f"{parts[part].name} lacks bars {_name(parts, other, first)} to "
                f"{_name(parts, other, last)} of {name}"
            )


def _name(parts: Sequence[Part], part: int, unit: Unit) -> str:
    return bar_name(parts[part], unit.bars[0])


def _numbered(parts: Sequence[Part], rows: Sequence[dict[int, Unit]], part: int) -> Iterator[str]:
    """Where its numbers begin to differ from those of the first part that has the bar."""
    agreed = True
    for row in rows:
        other, theirs = min(row.items())
        if part not in row or other == part:
            continue
        same = row[part].number == theirs.number
        if agreed and not same:
            yield (
                f"bar {_name(parts, other, theirs)} of {parts[other].name} is bar "
                f"{_name(parts, part, row[part])} in {parts[part].name}"
            )
        agreed = same


def _longer(parts: Sequence[Part], rows: Sequence[dict[int, Unit]], part: int) -> Iterator[str]:
    for row in rows:
        other, theirs = min(row.items())
        if part in row and row[part].length != theirs.length:
            yield (
                f"bar {_name(parts, part, row[part])} of {parts[part].name} lasts "
                f"{row[part].length} quarters, that of {parts[other].name} {theirs.length}"
            )
