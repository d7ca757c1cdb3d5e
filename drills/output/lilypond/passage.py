"""Bars that belong together, how they are set, and on which pages they turn out to stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from drills.music.score import Bar


@dataclass(frozen=True, slots=True)
class Passage:
    """Bars that belong together, and how they are set."""

    bars: tuple[Bar, ...]
    repeated: bool = False
    """Between repeat signs."""
    line_ends: bool = False
    """A new system begins after it."""
    rows: tuple[int, ...] = ()
    """Bars on each system; empty where LilyPond decides."""
    double: bool = False
    """A double bar line stands after it."""
    first: str = ""
    """LilyPond's label of the page on which its first bar stands; none where empty."""
    last: str = ""
    """The same of its last bar."""


def labels_at(passage: Passage, place: int) -> Iterator[str]:
    """The labels before one of its bars, counted from 1."""
    for name, at in ((passage.first, 1), (passage.last, len(passage.bars))):
        if name and at == place:
            yield rf"\label #'{name}"


def between(passages: Sequence[Passage], name: str) -> list[Passage]:
    """Passages that tell on which pages they begin and end; ``name`` is in both labels."""
    found = list(passages)
    found[0] = replace(found[0], first=first_label(name))
    found[-1] = replace(found[-1], last=last_label(name))
    return found


def first_label(name: str) -> str:
    """The label of the page on which something begins."""
    return f"from-{name}"


def last_label(name: str) -> str:
    """The label of the page on which it ends."""
    return f"to-{name}"
