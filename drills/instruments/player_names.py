"""Who plays from a staff, as its name says: "Trombone 1, 2" is for two, "Horns 1-4" for four.

Conventions (common practice of band and orchestra scores).  Numbers are figures or Roman
numerals, parted by commas, "&", "+", "/", "and" or a dot; two with a dash between them are a
range.  A key after them stays behind each player's number: "Horn 1, 2 in F" is for "Horn 1
in F" and "Horn 2 in F".  A name in the plural loses its s where the table of instruments
knows the rest.
"""

from __future__ import annotations

import re
from typing import Final

from drills.instruments.table import instrument_of

MOST_PLAYERS: Final = 8
"""On one staff."""
_ROMAN: Final = ("I", "II", "III", "IV", "V", "VI", "VII", "VIII")
_ONE: Final = r"(?:\d{1,2}|VIII|VII|VI|IV|V|III|II|I)"
_BETWEEN: Final = r"(?:,|&|\+|/|\.|-|\N{EN DASH}|and|und|et|e)"
_JOINED: Final = re.compile(
    rf"(?P<base>.*?)\s*\b(?P<first>{_ONE})(?P<more>(?:\s*{_BETWEEN}\s*{_ONE})+)\.?"
    r"(?P<rest>\s+in\s+.*|\s*\(.*\))?\s*$"
)
_NUMBERED: Final = re.compile(rf"\s{_ONE}\.?$")
_RANGE: Final = re.compile(rf"\s*(?:-|\N{{EN DASH}})\s*({_ONE})$")


def players_named(name: str) -> tuple[str, ...]:
    """The players that a staff's name lists, each with a name of their own.

    Empty for a name that lists none: "Trombone", "Clarinet 2".
    """
    found = _JOINED.fullmatch(name.strip())
    if found is None or not found["base"]:
        return ()
    words = [found["first"], *re.findall(_ONE, found["more"])]
    roman = not words[0].isdigit()
    if any(word.isdigit() == roman for word in words):
        return ()
    numbers = [_ROMAN.index(word) + 1 if roman else int(word) for word in words]
    if len(numbers) == 2 and _RANGE.fullmatch(found["more"]):
        numbers = list(range(numbers[0], numbers[1] + 1))
    if sorted(set(numbers)) != numbers or not 2 <= len(numbers) <= MOST_PLAYERS:
        return ()
    base, rest = singular(found["base"]), found["rest"] or ""
    return tuple(f"{base} {_ROMAN[n - 1] if roman else n}{rest}" for n in numbers)


def in_group(numbers: str, group: str) -> str:
    """The name of a staff that is called by numbers alone: "Horn 1 in F" in "Horns in F".

    Of several: "Horns 1, 2 in F" for "1 2" or "1.2.".
    """
    listed = [word.upper() for word in re.findall(rf"{_ONE}(?![A-Z])", numbers, re.IGNORECASE)]
    base, key, rest = group.partition(" in ")
    if len(listed) == 1:
        base = singular(base)
    return f"{base} {', '.join(listed) or numbers}{key}{rest}"


def singular(name: str) -> str:
    """The name of one such instrument: "Horn" for "Horns", where the table knows it."""
    one = name.removesuffix("s")
    return one if one != name and instrument_of(one).known else name


def numbered(name: str, number: int) -> str:
    """A player's name on a staff that does not list them: "Horn 1 in F" for "Horns in F".

    Of a staff that has a number itself: "Clarinet 2, player 1".
    """
    found = _JOINED.fullmatch(name.strip())
    if found is not None:
        name = f"{found['base']}{found['rest'] or ''}"
    base, key, rest = name.partition(" in ")
    if _NUMBERED.search(base):
        return f"{name}, player {number}"
    return f"{singular(base)} {number}{key}{rest}"
