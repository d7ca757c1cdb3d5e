"""Reads the notes of one bar at a time, remembering value and ties from bar to bar."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from maker.music import VALUES, Direction, Event
from maker.pitches import Pitch

_TOKEN: Final = re.compile(
    r"""
    (?P<words>"[^"]*")
    | !(?P<sign>[a-z]+|<|>|\.)
    | (?P<open>\d)\{
    | (?P<close>\})
    | (?P<bar>R)
    | (?:\[(?P<graces>[^\]]*)\])?
      (?P<head>r|[A-G](?:\#\#|bb|\#|b)?\d)
      (?P<value>[whqest]\.{0,2})?
      (?P<after>[()~>^'_@+,]*)
    """,
    re.VERBOSE,
)
_SIGNS: Final = {
    ">": "accent",
    "^": "strong-accent",
    "'": "staccato",
    "_": "tenuto",
    "@": "fermata",
    "+": "trill-mark",
    ",": "breath-mark",
}
_NORMAL: Final = {2: 3, 3: 2, 4: 3, 5: 4, 6: 4, 7: 4}
"""How many ordinary notes a tuplet's notes take the time of (2 and 4: compound time)."""
_WEDGES: Final = {"<": "crescendo", ">": "diminuendo", ".": "stop"}


class BarReader:
    """The state of one part while its bars are read in order."""

    def __init__(self) -> None:
        self._value = "q"
        self._dots = 0
        self._tied: Pitch | None = None
        self._waiting: list[Direction] = []

    @property
    def is_open(self) -> bool:
        """True while a tie or a sign waits for the next bar."""
        return self._tied is not None or bool(self._waiting)

    def read(self, cell: str, length: Fraction) -> list[Event]:
        """The events of a bar; ValueError where it is not exactly full."""
        self._at = Fraction(0)
        self._tuplet: tuple[int, int] | None = None
        self._opening = False
        self._events: list[Event] = []
        for token in _tokens(cell):
            self._take(token, length)
        if self._at != length:
            raise ValueError(f"{self._at} quarters instead of {length} in {cell!r}")
        if self._tuplet:
            raise ValueError(f"a tuplet stays open in {cell!r}")
        return self._events

    def _take(self, token: re.Match[str], length: Fraction) -> None:
        if token["words"]:
            self._waiting.append(Direction("words", token["words"].strip('"')))
        elif token["sign"] in _WEDGES:
            self._waiting.append(Direction("wedge", _WEDGES[token["sign"]]))
        elif token["sign"]:
            self._waiting.append(Direction("dynamic", token["sign"]))
        elif token["open"]:
            actual = int(token["open"])
            self._tuplet = (actual, _NORMAL[actual])
            self._opening = True
        elif token["close"]:
            self._events[-1].tuplet_stops = True
            self._tuplet = None
        elif token["bar"]:
            self._add(Event(self._at, "", 0, length))
        else:
            self._note(token)

    def _note(self, token: re.Match[str]) -> None:
        if token["value"]:
            self._value, self._dots = token["value"][0], len(token["value"]) - 1
        plain = VALUES[self._value][1] * (2 - Fraction(1, 2**self._dots))
        actual, normal = self._tuplet or (1, 1)
        event = Event(self._at, self._value, self._dots, plain * normal / actual)
        event.tuplet, event.tuplet_starts = self._tuplet, self._opening
        self._opening = False
        after = token["after"]
        if token["head"] != "r":
            event.pitch = Pitch.parse(token["head"])
            event.graces = tuple(map(Pitch.parse, (token["graces"] or "").split()))
        event.slur_starts, event.slur_stops = after.count("("), after.count(")")
        event.signs = tuple(_SIGNS[sign] for sign in after if sign in _SIGNS)
        event.tied_from = self._tied is not None
        if self._tied not in (None, event.pitch):
            raise ValueError(f"a tie to another pitch before {token[0]!r}")
        event.tied_to = "~" in after
        self._tied = event.pitch if event.tied_to else None
        self._add(event)

    def _add(self, event: Event) -> None:
        event.before, self._waiting = self._waiting, []
        self._at += event.length
        self._events.append(event)


def _tokens(cell: str) -> list[re.Match[str]]:
    found, at = [], 0
    while at < len(cell):
        if cell[at].isspace():
            at += 1
            continue
        match = _TOKEN.match(cell, at)
        if match is None or match.end() == at:
            raise ValueError(f"cannot read {cell[at:]!r}")
        found.append(match)
        at = match.end()
    return found
