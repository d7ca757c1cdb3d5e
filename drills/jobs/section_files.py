"""A section's leaves -> the content of its files: the leader's, and one for each player.

Problem: seventeen players' sheets are many pages, and the section's page belongs
into every player's file.  Method: a leaf (a sheet, or the page of the section) is
engraved once, in portions that are begun while the next sheets are still being
made; afterwards each file is put together from the pages of its leaves.

Nothing here touches a file that the player sees.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import accumulate
from typing import Final

from drills.output.engrave import Engraved, Engraver, cores
from drills.output.files import ENDINGS
from drills.output.lilypond.document import Leaf, leaves_text
from drills.output.lilypond.page import Page
from drills.output.pictures import marked_png, marked_svg
from drills.output.portions import even_counts, leaf_weight

PORTIONS: Final = (900, 1800, 3500)
"""Weights of the leaves that one LilyPond engraves, the last one from then on: the first is
begun soon, while the other sheets are being made; none takes more than a second or two, so
that all end at about the same time, and none takes much memory."""


@dataclass(frozen=True, slots=True)
class FileWanted:
    """One file to be put together."""

    name: str
    """Without an ending."""
    leaves: tuple[int, ...]
    """Numbers of its leaves, in order."""
    title: str
    subject: str
    mark: str

    def of(self, leaves: Sequence[int]) -> FileWanted:
        """The same with its leaves."""
        return replace(self, leaves=tuple(leaves))


@dataclass(frozen=True, slots=True)
class Assembled:
    """A file of one format; pictures have one content for each page."""

    wanted: FileWanted
    kind: str
    contents: tuple[bytes, ...]
    pages: int = 0


@dataclass(slots=True)
class Portions:
    """Leaves on their way to LilyPond, portion by portion."""

    engraver: Engraver | None
    """None where nothing is printed."""
    page: Page
    mark: str
    leaves: list[Leaf] = field(default_factory=list)
    sizes: list[int] = field(default_factory=list)
    """How many leaves each portion has."""
    waiting: list[Leaf] = field(default_factory=list)
    weight: int = 0

    def add(self, leaf: Leaf) -> int:
        """Take a leaf; returns its number."""
        weight = leaf_weight(leaf)
        most = PORTIONS[min(len(self.sizes), len(PORTIONS) - 1)]
        if self.waiting and self.weight + weight > most:
            self._send()
        self.leaves.append(leaf)
        self.waiting.append(leaf)
        self.weight += weight
        return len(self.leaves) - 1

    def finish(self) -> None:
        """Begin to engrave what is left, shared among the cores so that all end together."""
        left, self.waiting = self.waiting, []
        at = 0
        for count in even_counts([leaf_weight(leaf) for leaf in left], cores()):
            self.waiting = left[at : at + count]
            self._send()
            at += count

    def _send(self) -> None:
        """Begin to engrave what is waiting."""
        if self.engraver is not None:
            self.engraver.add(leaves_text(self.waiting, self.page, self.mark))
        self.sizes.append(len(self.waiting))
        self.waiting, self.weight = [], 0


def assembled(
    files: Sequence[FileWanted],
    sizes: Sequence[int],
    engraved: Engraved,
    formats: Sequence[str],
) -> list[Assembled]:
    """Every file in every printed format; the portions had ``sizes`` leaves each."""
    places = _places(sizes, engraved.pages)
    made: list[Assembled] = []
    if "pdf" in formats:
        made += _pdfs(files, places, engraved.pdfs)
    starts = list(accumulate((sum(counts) for counts in engraved.pages), initial=0))
    pictures = (("png", engraved.pngs, marked_png), ("svg", engraved.svgs, marked_svg))
    for kind, pages, marked in pictures:
        if kind in formats:
            for wanted in files:
                numbers = [
                    starts[portion] + page
                    for leaf in wanted.leaves
                    for portion, page in places[leaf]
                ]
                found = tuple(marked(pages[number], wanted.mark) for number in numbers)
                made.append(Assembled(wanted, kind, found, len(found)))
    return made


def _places(
    sizes: Sequence[int], pages: Sequence[Sequence[int]]
) -> list[tuple[tuple[int, int], ...]]:
    """For each leaf its pages, each by its portion and its number there."""
    found: list[tuple[tuple[int, int], ...]] = []
    for portion, (size, counts) in enumerate(zip(sizes, pages, strict=True)):
        starts = list(accumulate(counts, initial=0))
        found += [
            tuple((portion, page) for page in range(start, start + count))
            for start, count in zip(starts[:size], counts, strict=True)
        ]
    return found


def _pdfs(
    files: Sequence[FileWanted],
    places: Sequence[tuple[tuple[int, int], ...]],
    pdfs: Sequence[bytes],
) -> list[Assembled]:
    from drills.output.pdf import PageStore  # noqa: PLC0415 - imported while LilyPond works

    made = []
    with PageStore(pdfs) as store:
        for wanted in files:
            pages = [place for leaf in wanted.leaves for place in places[leaf]]
            content = store.document(pages, wanted.title, wanted.subject, wanted.mark)
            made.append(Assembled(wanted, "pdf", (content,), len(pages)))
    return made


def text_file(wanted: FileWanted, leaves: Sequence[Leaf], page: Page) -> Assembled:
    """The LilyPond text of one file."""
    text = leaves_text([leaves[leaf] for leaf in wanted.leaves], page, wanted.mark)
    return Assembled(wanted, "ly", (text.encode(),))


def named(one: Assembled) -> Iterator[tuple[str, bytes, int]]:
    """Each file of an assembled one: its name, its content, its pages."""
    count = len(one.contents)
    for number, content in enumerate(one.contents, 1):
        page = f"-{number:0{len(str(count))}}" if count > 1 else ""
        yield f"{one.wanted.name}{page}{ENDINGS[one.kind]}", content, one.pages if not page else 1
