"""Cutting a full score apart before it is parsed.

Problem: a player wants one part of a score of many; parsing the others costs
many times as much as reading the part.
Method: the text is cut at its ``<part>`` and ``<measure>`` tags.  Of every part
a skeleton is kept that has all its bars, with the notes of a bar left out where
nothing stands between them that concerns all players (marks, tempos, words,
chord symbols).  The skeleton is parsed at once, a part in full when it is read.
In well-formed XML a ``<`` never stands for itself, so that tags can be found as
text once comments are gone; a document with CDATA sections, where that is not
so, is not cut.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

_FOR_ALL: Final = (b"<rehearsal", b"<words", b"<metronome", b"<harmony", b" tempo=")
"""What makes a bar worth keeping in full: it concerns other players too."""
_AFTER_TAG: Final = frozenset(b" \t\r\n>/")
_NOTE_END: Final = b"</note>"
_PART_END: Final = b"</part>"
_ROOT: Final = re.compile(rb"<score-partwise(?:\s[^<>]*)?>")
_ROOT_END: Final = b"</score-partwise>"


@dataclass(frozen=True, slots=True)
class CutScore:
    """The text of a partwise score, cut apart."""

    skeleton: bytes
    """The score with the notes left out that nobody else needs."""
    opening: bytes
    """All that comes before the content of the root, its start tag included."""
    parts: tuple[bytes, ...]
    """Each ``<part>`` element in full."""
    bars: tuple[tuple[bytes, ...], ...]
    """Each ``<measure>`` element of each part in full."""

    def document(self, element: bytes) -> bytes:
        """A document of its own for a part or a bar, under the same root."""
        return self.opening + element + _ROOT_END


def cut(text: bytes) -> CutScore | None:
    """Cut a score apart, or None where it has fewer than two parts or cannot be cut."""
    without_comments = None if b"<![CDATA[" in text else _without_comments(text)
    if without_comments is None:
        return None
    head, *pieces = _split(without_comments, b"<part")
    root = _ROOT.search(head)
    if len(pieces) < 2 or root is None:
        return None
    skeleton = [head]
    parts: list[bytes] = []
    bars: list[tuple[bytes, ...]] = []
    for piece in pieces:
        end = piece.rfind(_PART_END)
        if end < 0:
            return None
        opening, *measures = _split(piece[:end], b"<measure")
        parts.append(piece[:end] + _PART_END)
        bars.append(tuple(measures))
        skeleton.append(opening)
        skeleton.extend(map(_thinned, measures))
        skeleton.append(piece[end:])
    return CutScore(b"".join(skeleton), head[: root.end()], tuple(parts), tuple(bars))


def _without_comments(text: bytes) -> bytes | None:
    """The text without its comments; None where one is not closed."""
    before, *comments = text.split(b"<!--")
    kept = [before]
    for comment in comments:
        _, closed, after = comment.partition(b"-->")
        if not closed:
            return None
        kept.append(after)
    return b"".join(kept) if comments else text


def _split(text: bytes, tag: bytes) -> list[bytes]:
    """The text before the first element ``tag``, then each with what follows it."""
    before, *pieces = text.split(tag)
    found = [[before]]
    for piece in pieces:
        if piece[:1] and piece[0] in _AFTER_TAG:
            found.append([tag, piece])
        else:
            found[-1] += (tag, piece)
    return [b"".join(together) for together in found]


def _thinned(measure: bytes) -> bytes:
    """The bar without its notes, unless something for all players stands in it."""
    first, *notes = measure.split(b"<note")
    kept = first + b"".join([note.partition(_NOTE_END)[2] for note in notes])
    return measure if any(sign in kept for sign in _FOR_ALL) else kept
