"""Opening a MusicXML file that may come from anyone.

Problem: a score is a file from a stranger.  It may be huge, deeply nested, a
bomb of entities, packed a thousandfold, mislabelled or no score at all.
Method: bytes are counted before they are read, unpacked or decoded by our own
hand, parsed by lxml without entities, document type or network, and what is
counted in the tree (bars, notes, beats ...) is compared with ``Limits`` before
anything is built from it.  Nothing is ever fetched: the standard DOCTYPE of
MusicXML is accepted and ignored, one with declarations of its own is refused.
"""

from __future__ import annotations

import re
from typing import Final

from lxml import etree

from drills.errors import NotMusicXMLError, ReadError
from drills.reading.check import check_score, check_size
from drills.reading.cutting import CutScore, cut
from drills.reading.encoding import without_illegal
from drills.reading.limits import Limits
from drills.reading.shape import to_partwise

_ROOTS: Final = ("score-partwise", "score-timewise")
_LONGEST_TAIL: Final = 4_000
"""How far from the end of a file the score's end tag is looked for."""
_LONGEST_PROLOGUE: Final = 1 << 16
_LIBXML_DEPTH: Final = 256
"""Nesting that libxml2 refuses unless it is told otherwise."""
_END: Final = re.compile(rb"</(?:[A-Za-z_][\w.-]*:)?score-(?:part|time)wise\s*>")
_OWN_DECLARATIONS: Final = re.compile(rb"<!DOCTYPE[^>\[]*\[|<!ENTITY", re.IGNORECASE)


class ScoreTree:
    """A score that was opened within limits; made by ``tree_of``."""

    def __init__(
        self, root: etree._Element, text: bytes, parts: CutScore | None, limits: Limits, where: str
    ) -> None:
        self.root = root
        """Partwise, without comments, instructions and namespaces.  In a score of
        several parts a bar that has nothing but notes may have lost them here;
        ``part`` and ``bar_with_notes`` give them in full."""
        self.limits = limits
        self.where = where
        """How messages about the file begin."""
        self._text = text
        self._cut = parts
        self._bars: dict[int, list[etree._Element]] = {}
        self._parts: dict[int, etree._Element] = {}
        if parts is None:
            self._parts = dict(enumerate(root.findall("part")))

    def part(self, index: int) -> etree._Element:
        """The part of that index in full, checked.

        Raises ReadError or LimitError.
        """
        if index not in self._parts and self._cut is not None:
            try:
                root = to_partwise(parse_document(self._cut.part(index), self.limits, self.where))
                check_score(root, self.limits, self.where)
                self._parts[index] = root.findall("part")[0]
            except ReadError:
                self._read_whole()
        if index not in self._parts:
            raise ReadError(
                f"{self.where}: its parts are nested in each other; export the score again"
            )
        return self._parts[index]

    def bar_with_notes(self, part: int, bar: int) -> etree._Element | None:
        """One bar of a part in full; None where there is none, or no note in it."""
        if part not in self._parts and self._cut is not None:
            text = self._cut.bar_with_notes(part, bar)
            if text is None:
                return None
            try:
                return to_partwise(parse_document(text, self.limits, self.where)).find("measure")
            except ReadError:
                self._read_whole()
        if part not in self._bars:
            self._bars[part] = self.part(part).findall("measure")
        bars = self._bars[part]
        return bars[bar] if bar < len(bars) and bars[bar].find("note") is not None else None

    def _read_whole(self) -> None:
        """Give up cutting: whatever is wrong, the whole text shows it better."""
        self._cut = None
        root = to_partwise(parse_document(self._text, self.limits, self.where))
        check_score(root, self.limits, self.where)
        self._parts = dict(enumerate(root.findall("part")))


def tree_of(text: bytes, limits: Limits, where: str) -> ScoreTree:
    """The score in a text in UTF-8 that begins as XML.

    Raises ReadError, LimitError or NotMusicXMLError.
    """
    text = _without_tail(text)
    check_size(text, limits, where)
    text, parts, root = _cut_and_parsed(text, limits, where)
    if etree.QName(root).localname not in _ROOTS:
        raise NotMusicXMLError(
            f"{where}: XML of another kind (it begins with <{etree.QName(root).localname}>); "
            "export the score as MusicXML"
        )
    root = to_partwise(root)
    check_score(root, limits, where)
    return ScoreTree(root, text, parts, limits, where)


def _cut_and_parsed(
    text: bytes, limits: Limits, where: str
) -> tuple[bytes, CutScore | None, etree._Element]:
    """The text, what it was cut into (None: it was not), and the root that was parsed."""
    parts = cut(text)
    if parts is not None:
        try:
            return text, parts, parse_document(parts.skeleton, limits, where)
        except ReadError:
            parts = None
    try:
        return text, None, parse_document(text, limits, where)
    except ReadError:
        legal = without_illegal(text)
        if legal == text:
            raise
        return legal, None, parse_document(legal, limits, where)


def _without_tail(text: bytes) -> bytes:
    """The text up to the end of the score: what comes after it is not XML."""
    tail = text[-_LONGEST_TAIL:]
    ends = list(_END.finditer(tail))
    return text[: len(text) - len(tail) + ends[-1].end()] if ends else text


def parse_document(text: bytes, limits: Limits, where: str) -> etree._Element:
    """The root of a document; nothing is fetched, expanded or declared by it."""
    if _OWN_DECLARATIONS.search(text, 0, _LONGEST_PROLOGUE):
        raise _own_declarations(where)
    parser = etree.XMLParser(
        encoding="utf-8",
        resolve_entities=False,
        no_network=True,
        load_dtd=False,
        dtd_validation=False,
        huge_tree=limits.depth > _LIBXML_DEPTH,
        remove_comments=True,
        remove_pis=True,
        remove_blank_text=True,
    )
    try:
        root = etree.fromstring(text, parser)
    except etree.XMLSyntaxError as error:
        if "xcessive depth" in str(error):
            raise limits.exceeded("depth", f"more than {_LIBXML_DEPTH}", where) from error
        raise ReadError(
            f"{where}: not well-formed XML ({error.msg}); export it again, or open and save it "
            "in a notation program"
        ) from error
    dtd = root.getroottree().docinfo.internalDTD
    if dtd is not None and dtd.entities():  # type: ignore[union-attr]  # absent from the stubs
        raise _own_declarations(where)
    return root


def _own_declarations(where: str) -> ReadError:
    return ReadError(
        f"{where}: the file declares entities of its own, which no score needs and which "
        "can hide an attack; export it again"
    )
