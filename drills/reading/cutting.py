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
from dataclasses import dataclass, field
from typing import Final

_FOR_ALL: Final = (b"<rehearsal", b"<words", b"<metronome", b"<harmony", b" tempo=")
"""What makes a bar worth keeping in full: it concerns other players too."""
_AFTER_TAG: Final = frozenset(b" \t\r\n>/")
_NOTE_END: Final = b"</note>"
_PART_END: Final = b"</part>"
_ROOT: Final = re.compile(rb"<score-partwise(?:\s[^<>]*)?>")
_LONGEST_PROLOGUE: Final = 1 << 16
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
    _bars: dict[int, list[bytes]] = field(default_factory=dict)

    def bar(self, part: int, index: int) -> bytes | None:
        """One ``<measure>`` element of a part in full; None where the part ends before it."""
        if part not in self._bars:
            self._bars[part] = _split(self.parts[part].removesuffix(_PART_END), b"<measure")[1:]
        bars = self._bars[part]
        return bars[index] if index < len(bars) else None

    def document(self, element: bytes) -> bytes:
        """A document of its own for a part or a bar, under the same root."""
        return self.opening + element + _ROOT_END


def cut(text: bytes) -> CutScore | None:
    """Cut a score apart, or None where it has fewer than two parts or cannot be cut."""
    root = _ROOT.search(text, 0, _LONGEST_PROLOGUE)
    plain = _without_comments(text, root.end()) if root is not None else None
    if root is None or plain is None:
        return None
    head, *pieces = _split(plain, b"<part")
    if len(pieces) < 2:
        return None
    skeleton = [head]
    parts: list[bytes] = []
    for piece in pieces:
        end = piece.rfind(_PART_END)
        if end < 0:
            return None
        parts.append(piece[:end] + _PART_END)
        skeleton.append(_thinned_part(piece[:end]))
        skeleton.append(piece[end:])
    return CutScore(b"".join(skeleton), text[: root.end()], tuple(parts))


def _without_comments(text: bytes, start: int) -> bytes | None:
    """The text from ``start`` without comments; None where it has other declarations."""
    first, *marked = text[start:].split(b"<!")
    kept = [text[:start], first]
    for piece in marked:
        closed = piece.find(b"-->")
        if not piece.startswith(b"--") or closed < 2:
            return None
        kept.append(piece[closed + 3 :])
    return b"".join(kept) if marked else text


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


def _thinned_part(part: bytes) -> bytes:
    """The part without its notes, but for the bars where something for all players stands."""
    thin = _without_notes(part)
    if not any(sign in thin for sign in _FOR_ALL):
        return thin
    opening, *measures = _split(part, b"<measure")
    return b"".join((opening, *map(_thinned_bar, measures)))


def _thinned_bar(measure: bytes) -> bytes:
    thin = _without_notes(measure)
    return measure if any(sign in thin for sign in _FOR_ALL) else thin


def _without_notes(text: bytes) -> bytes:
    first, *notes = text.split(b"<note")
    return first + b"".join([note.partition(_NOTE_END)[2] for note in notes])
