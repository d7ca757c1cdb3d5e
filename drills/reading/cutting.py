"""Cutting a full score apart before it is parsed.

Problem: a player wants one part of a score of many; parsing the others costs
many times as much as reading the part.
Method: the text is split at the ends of its notes, and what stands between the
notes is joined to a skeleton: every part with all its bars, signs and
directions.  Where something for all players stands in a bar (a mark, a tempo,
words, a chord symbol), the bar is put back with its notes, which say where in
the bar it stands.  The skeleton is parsed at once, a part in full when it is
read.
In well-formed XML a ``<`` never stands for itself, so that tags can be found as
text.  Comments, instructions and CDATA sections are the exception: a document
that has tags in them is not cut, and what was cut wrongly does not parse.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

_FOR_ALL: Final = (b"<rehearsal", b"<words", b"<metronome", b"<harmony", b" tempo=")
"""What makes a bar worth keeping with its notes."""
_AFTER_TAG: Final = frozenset((b" ", b"\t", b"\r", b"\n", b">", b"/"))
_NOTE_END: Final = b"</note>"
_PART_END: Final = b"</part>"
_ROOT: Final = re.compile(rb"<score-partwise(?:\s[^<>]*)?>")
_LONGEST_PROLOGUE: Final = 1 << 16
_ROOT_END: Final = b"</score-partwise>"
_PLAIN_COMMENT: Final = re.compile(rb"<!--[^<>]*-->|<\?[^<>]*\?>")
"""Comments and processing instructions that cannot be taken for elements."""


class CutScore:
    """The text of a partwise score, cut apart; made by ``cut``."""

    def __init__(self, text: bytes, root_end: int) -> None:
        self._text = text
        self._root_end = root_end
        """Where the content of the root begins."""
        self._parts: list[tuple[int, int]] = []
        self._next_parts = _places_of_parts(text, root_end)
        self._bars: dict[int, list[int]] = {}
        self.skeleton = b""
        """The score with the notes left out that nobody else needs."""

    def part(self, index: int) -> bytes:
        """One ``<part>`` in full, as a document of its own."""
        start, end = self._place(index)
        return self._document(self._text[start:end])

    def bar_with_notes(self, part: int, index: int) -> bytes | None:
        """One ``<measure>`` in full, as a document of its own; None where it has no notes."""
        text = self.bar_text(part, index)
        return None if text is None or b"<note" not in text else self._document(text)

    def bar_text(self, part: int, index: int) -> bytes | None:
        """The text of one ``<measure>``; None where the part ends before it."""
        if part not in self._bars:
            start, end = self._place(part)
            close = self._text.rfind(_PART_END, start, end)
            self._bars[part] = [*_tags(self._text, b"<measure", start, end), close]
        bars = self._bars[part]
        return self._text[bars[index] : bars[index + 1]] if index + 1 < len(bars) else None

    def _place(self, part: int) -> tuple[int, int]:
        """Where a part begins and ends; looked for no further than needed."""
        while len(self._parts) <= part:
            self._parts.append(next(self._next_parts))
        return self._parts[part]

    def _document(self, element: bytes) -> bytes:
        return b"".join((self._text[: self._root_end], element, _ROOT_END))


def cut(text: bytes) -> CutScore | None:
    """Cut a score apart, or None where it has fewer than two parts or cannot be cut."""
    root = _ROOT.search(text, 0, _LONGEST_PROLOGUE)
    *notes, last = text.split(_NOTE_END)
    begins = [note.find(b"<note") for note in notes]
    if root is None or not notes or min(begins) < 0:
        return None
    thin = b"".join([*(note[:at] for note, at in zip(notes, begins, strict=True)), last])
    rest = _PLAIN_COMMENT.sub(b"", thin[root.end() :])
    if b"<!" in rest or b"<?" in rest:
        return None
    places = list(_places_of_parts(thin, root.end()))
    if len(places) < 2:
        return None
    score = CutScore(text, root.end())
    skeleton = [thin[: places[0][0]]]
    for index, (start, end) in enumerate(places):
        skeleton += _skeleton_of(thin[start:end], index, score)
    skeleton.append(thin[places[-1][1] :])
    score.skeleton = b"".join(skeleton)
    return score


def _skeleton_of(thin: bytes, part: int, score: CutScore) -> Iterator[bytes]:
    """A part without its notes, but for the bars where something for all players stands."""
    starts = list(_tags(thin, b"<measure", 0, len(thin)))
    end = thin.rfind(_PART_END)
    if not starts or end < 0 or not any(sign in thin for sign in _FOR_ALL):
        yield thin
        return
    yield thin[: starts[0]]
    for index, (start, after) in enumerate(zip(starts, [*starts[1:], end], strict=True)):
        measure = thin[start:after]
        wanted = any(sign in measure for sign in _FOR_ALL)
        yield (score.bar_text(part, index) if wanted else None) or measure
    yield thin[end:]


def _places_of_parts(text: bytes, start: int) -> Iterator[tuple[int, int]]:
    """Where each ``<part>`` begins and ends."""
    end = start
    while (begin := next(_tags(text, b"<part", end, len(text)), -1)) >= 0:
        opened = text.find(b">", begin)
        if opened < 0:
            return
        end = opened + 1
        if text[opened - 1 : opened] != b"/":
            closed = text.find(_PART_END, opened)
            if closed < 0:
                return
            end = closed + len(_PART_END)
        yield begin, end


def _tags(text: bytes, tag: bytes, start: int, end: int) -> Iterator[int]:
    """Where elements of that name begin."""
    at = text.find(tag, start, end)
    while at >= 0:
        if text[at + len(tag) : at + len(tag) + 1] in _AFTER_TAG:
            yield at
        at = text.find(tag, at + len(tag), end)
