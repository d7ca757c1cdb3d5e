"""Phrases that several sentences about a take are made of: numbers, notes, moves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from drills.listening.paper import OnPaper
from drills.listening.verdict import NoteVerdict

_COUNTS: Final = (
    *("no", "one", "two", "three", "four", "five", "six"),
    *("seven", "eight", "nine", "ten", "eleven", "twelve"),
)


def count_words(count: int) -> str:
    """ "four"; figures from 13 on."""
    return _COUNTS[count] if count < len(_COUNTS) else str(count)


def begun(words: str) -> str:
    """A sentence begun with a capital letter."""
    return words[:1].upper() + words[1:]


def placed(number: int, paper: OnPaper) -> str:
    """ "11 in bar 33"."""
    bar = paper.bar(number)
    return f"{number} in {bar}" if bar else str(number)


def move(number: int, paper: OnPaper) -> str:
    """The move to a note: "the move from 7 to 8 in bar 33"."""
    if number == 1:
        return "note 1"
    bar = paper.bar(number)
    return f"the move from {number - 1} to {number}" + (f" in {bar}" if bar else "")


def slowly(number: int) -> str:
    """What to play slowly around a note."""
    return f"play {max(number - 1, 1)} to {number + 1} slowly"


def hard(number: int, paper: OnPaper) -> str:
    """That a move is one of the sheet's hard ones, and why."""
    if number not in paper.hard:
        return ""
    why = f" ({paper.hard[number]})" if paper.hard[number] else ""
    return f", one of the hard moves of the sheet{why}"


def among(off: Sequence[NoteVerdict], paper: OnPaper) -> str:
    """How many more moves were off, and how many of all are hard ones."""
    if len(off) == 1:
        return ""
    count = sum(note.number in paper.hard for note in off)
    if count > 1 or (count and off[0].number not in paper.hard):  # of the first it was said
        both = "both " if count == len(off) == 2 else ""
        which = "is a hard one" if count == 1 else f"are {both}hard ones"
        return f"; of {len(off)} moves that were off, {count} {which} of the sheet"
    more = len(off) - 1
    return f", and {count_words(more)} more {'was' if more == 1 else 'were'} off"
