"""The list of a book: a spot put in, taken out, moved; notes, tempo, the day to meet changed.

Problem.  A page changes a file that the player also writes by hand; comments, order and the
player's own way of writing must stay.  Method.  As in new_book.py the text is changed by
lines.  The entry of a spot is its ``[[part.spot]]`` line with what follows, up to the next
table, without the comments that stand before that; a comment right above the line belongs to
it.  Every outcome is read again and compared with what it must say.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Final

from drills.errors import BookError
from drills.project.book import Book, BookPart, BookSpot, parse_book
from drills.project.new_book import FoundPart, extended, new_book, quoted

_TABLE: Final = re.compile(r"\s*\[")
_PART: Final = re.compile(r"\s*\[\[\s*part\s*\]\]")
_SPOT: Final = re.compile(r"\s*\[\[\s*part\s*\.\s*spot\s*\]\]")
_KEY: Final = r"\s*{}\s*="
_REMEMBERED: Final = ("# Marked in the score: ", "# Proposed as hard: ")
"""Comments of new_book.py, which belong to the part."""
_ADVICE: Final = "write each part under [[part]] and each spot under [[part.spot]]"


@dataclass(frozen=True, slots=True)
class Entry:
    """Where the entry of a spot stands: index of its part in the book, and its own there."""

    part: int
    spot: int


def with_part(content: bytes | None, path: Path, part: FoundPart) -> tuple[str, int]:
    """The text of a book that names the part, and the index of it; ``content`` None for no book."""
    bare = replace(part, spots=())
    if content is None:
        text = new_book(path.resolve().parent.name, [bare])
    else:
        text = extended(content, path, [bare])
    book = parse_book(text.encode(), path)
    names = (None, part.part, str(part.number))
    for index, entry in enumerate(book.parts):
        if entry.path == path.parent / part.file and entry.part in names:
            return text, index
    raise BookError(f"{path}: the part cannot be found in it again; {_ADVICE}")


def spot_text(at: str, words: str, note: str, goal: int | None = None) -> str:
    """A new entry; ``words`` say the place for reading, ``goal`` is in beats a minute."""
    told = "".join(c for c in words if c.isprintable())
    text = f"[[part.spot]]\nat = {quoted(at)}{f'  # {told}' if told else ''}\n"
    text += f"note = {quoted(note)}\n" if note else ""
    return text + (f"goal = {goal}\n" if goal is not None else "")


def put_in(text: str, path: Path, entry: Entry, spot: str) -> str:
    """The book with the text of an entry at a place of its part's list.

    Raises BookError where ``spot`` is no entry of one spot, or the book is written in a way
    into which it cannot be put.
    """
    lines, book = _lines(text), _book(text, path)
    blocks = _blocks(lines, book, path)
    new = spot.replace("\r\n", "\n").strip("\n").split("\n")
    own = blocks[entry.part].spots
    if not 0 <= entry.spot <= len(own):
        raise BookError(f"{path}: the list has changed; look at it again")
    if entry.spot < len(own):
        at = own[entry.spot][0]
        added = [*new, ""]
    else:
        at = blocks[entry.part].end
        added = ["", *new]
    outcome = "\n".join((*lines[:at], *added, *lines[at:]))
    before, after = list(book.parts[entry.part].spots), _parts(outcome, path)
    spots = list(after[entry.part].spots) if entry.part < len(after) else []
    if len(spots) != len(before) + 1:
        raise BookError(f"{path}: this is no entry of a spot; {_ADVICE}")
    before.insert(entry.spot, spots[entry.spot])
    _check(after, path, _with(book.parts, entry.part, before))
    return _like(text, outcome)


def taken_out(text: str, path: Path, entry: Entry) -> tuple[str, str]:
    """The book without a spot, and the text of its entry, with which it can be put in again."""
    lines, book = _lines(text), _book(text, path)
    first, end = _own(_blocks(lines, book, path), entry, path)
    taken = "\n".join(lines[first:end]).strip("\n") + "\n"
    while end < len(lines) and not lines[end].strip():
        end += 1
    outcome = "\n".join((*lines[:first], *lines[end:])).rstrip("\n") + "\n"
    spots = [one for n, one in enumerate(book.parts[entry.part].spots) if n != entry.spot]
    _check(_parts(outcome, path), path, _with(book.parts, entry.part, spots))
    return _like(text, outcome), taken


def moved(text: str, path: Path, entry: Entry, to: int) -> str:
    """The book with a spot at another place of the list of its part."""
    without, taken = taken_out(text, path, entry)
    return put_in(without, path, Entry(entry.part, to), taken)


def noted(text: str, path: Path, entry: Entry, note: str) -> str:
    """The book with another note for a spot; an empty one takes it away."""
    lines, book = _lines(text), _book(text, path)
    first, end = _own(_blocks(lines, book, path), entry, path)
    key = re.compile(_KEY.format("note"))
    kept = [line for line in lines[first:end] if not key.match(line)]
    if note:
        at = next(n for n, line in enumerate(kept) if re.match(_KEY.format("at"), line))
        kept.insert(at + 1, f"note = {quoted(note)}")
    outcome = "\n".join((*lines[:first], *kept, *lines[end:]))
    spots = list(book.parts[entry.part].spots)
    spots[entry.spot] = replace(spots[entry.spot], note=note.strip())
    _check(_parts(outcome, path), path, _with(book.parts, entry.part, spots))
    return _like(text, outcome)


def at_tempo(text: str, path: Path, part: int, tempo: int) -> str:
    """The book with another performing tempo for a part, in beats a minute."""
    lines, book = _lines(text), _book(text, path)
    block = _blocks(lines, book, path)[part]
    end = block.spots[0][0] if block.spots else block.end
    key = re.compile(_KEY.format("tempo"))
    kept = [line for line in lines[block.first : end] if not key.match(line)]
    file = next(n for n, line in enumerate(kept) if re.match(_KEY.format("file"), line))
    named = [n for n, line in enumerate(kept) if re.match(_KEY.format("part"), line)]
    kept.insert(max(file, *named, 0) + 1, f"tempo = {tempo}")
    outcome = "\n".join((*lines[: block.first], *kept, *lines[end:]))
    after = _parts(outcome, path)
    wanted = replace(book.parts[part], tempo=after[part].tempo)
    if after[part].tempo != tempo:
        raise BookError(f"{path}: written in a way that cannot be changed; {_ADVICE}")
    _check(after, path, (*book.parts[:part], wanted, *book.parts[part + 1 :]))
    return _like(text, outcome)


def meeting_on(text: str, path: Path, day: date) -> str:
    """The book with the day of the first rehearsal."""
    lines, book = _lines(text), _book(text, path)
    top = next((n for n, line in enumerate(lines) if _TABLE.match(line)), len(lines))
    key, title = re.compile(_KEY.format("first-rehearsal")), re.compile(_KEY.format("title"))
    kept = [line for line in lines[:top] if not key.match(line)]
    named = next((n + 1 for n, line in enumerate(kept) if title.match(line)), 0)
    kept.insert(named, f"first-rehearsal = {day}")
    outcome = "\n".join((*kept, *lines[top:]))
    after = _book(outcome, path)
    if after.days != replace(book.days, first_rehearsal=day) or after.title != book.title:
        raise BookError(f"{path}: written in a way that cannot be changed; {_ADVICE}")
    _check(after.parts, path, book.parts)
    return _like(text, outcome)


# --- lines ---------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Block:
    """The lines of a part."""

    first: int
    end: int
    """After the last line that says something; what follows is about the next part."""
    spots: tuple[tuple[int, int], ...]
    """First line and the line after the last, of each spot."""


def _lines(text: str) -> list[str]:
    return text.replace("\r\n", "\n").split("\n")


def _like(text: str, outcome: str) -> str:
    """With the ends of lines of the player's own text."""
    return outcome.replace("\n", "\r\n") if "\r\n" in text else outcome


def _book(text: str, path: Path) -> Book:
    return parse_book(text.encode(), path)


def _parts(text: str, path: Path) -> tuple[BookPart, ...]:
    try:
        return parse_book(text.encode(), path).parts
    except BookError as error:
        raise BookError(f"{path}: written in a way that cannot be changed; {_ADVICE}") from error


def _with(parts: Sequence[BookPart], index: int, spots: Sequence[BookSpot]) -> list[BookPart]:
    return [
        replace(part, spots=tuple(spots)) if n == index else part for n, part in enumerate(parts)
    ]


def _check(found: Sequence[BookPart], path: Path, wanted: Sequence[BookPart]) -> None:
    if list(found) != list(wanted):
        raise BookError(f"{path}: written in a way that cannot be changed; {_ADVICE}")


def _blocks(lines: Sequence[str], book: Book, path: Path) -> list[_Block]:
    """The lines of every part; raises BookError for a book that is written otherwise."""
    heads = [n for n, line in enumerate(lines) if _PART.match(line)]
    found = []
    for number, first in enumerate(heads):
        stop = heads[number + 1] if number + 1 < len(heads) else len(lines)
        starts = [n for n in range(first, stop) if _SPOT.match(lines[n])]
        tops = [n for n in range(first + 1, stop) if _TABLE.match(lines[n])]
        ends = [_said(lines, n, _next(tops, n, stop)) for n in starts]
        spots = [
            (_above(lines, n, before), end)
            for n, before, end in zip(starts, [first + 1, *ends], ends, strict=False)
        ]
        end = _own_comments(lines, _said(lines, first, stop), stop)
        found.append(_Block(first, end, tuple(spots)))
    counts = [len(part.spots) for part in book.parts]
    if [len(block.spots) for block in found] != counts:
        raise BookError(f"{path}: written in a way that cannot be changed; {_ADVICE}")
    return found


def _next(tops: Sequence[int], line: int, stop: int) -> int:
    return min((n for n in tops if n > line), default=stop)


def _said(lines: Sequence[str], first: int, stop: int) -> int:
    """The line after the last one that is neither empty nor a comment."""
    while stop > first + 1 and (not lines[stop - 1].strip() or _is_comment(lines[stop - 1])):
        stop -= 1
    return stop


def _own_comments(lines: Sequence[str], end: int, stop: int) -> int:
    """Over the comments right under the last line, unless a table follows at once."""
    last = end
    while last < stop and _is_comment(lines[last]):
        last += 1
    return last if last == len(lines) or not lines[last].strip() else end


def _above(lines: Sequence[str], first: int, least: int) -> int:
    """Up over the comments right above a line, not over those that belong to the part."""
    while (
        first > least
        and _is_comment(lines[first - 1])
        and not lines[first - 1].startswith(_REMEMBERED)
    ):
        first -= 1
    return first


def _is_comment(line: str) -> bool:
    return line.lstrip().startswith("#")


def _own(blocks: Sequence[_Block], entry: Entry, path: Path) -> tuple[int, int]:
    try:
        if entry.part < 0 or entry.spot < 0:
            raise IndexError
        return blocks[entry.part].spots[entry.spot]
    except IndexError as error:
        raise BookError(f"{path}: the list has changed; look at it again") from error
