"""What a picture is made of: boxes, lines and words, in pixels from the top left corner.

Two writers draw the same shapes, so that the SVG and the PNG cannot differ.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Ink(StrEnum):
    """The only colours there are, as in CSS."""

    BLACK = "#000000"
    GREY = "#808080"
    SHADE = "#dcdcdc"


class Anchor(StrEnum):
    """Which point of a text its place is: as in SVG's text-anchor."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle: filled, or only its edge."""

    x: float
    y: float
    width: float
    height: float
    ink: Ink = Ink.BLACK
    filled: bool = True


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line, level or upright."""

    x: float
    y: float
    to_x: float
    to_y: float
    width: int = 1
    ink: Ink = Ink.BLACK


@dataclass(frozen=True, slots=True)
class Text:
    """Words on one line; ``y`` is their baseline."""

    x: float
    y: float
    words: str
    size: int = 12
    anchor: Anchor = Anchor.START
    ink: Ink = Ink.BLACK


Shape = Box | Line | Text


@dataclass(frozen=True, slots=True)
class Picture:
    """Shapes in the order in which they are drawn, on white."""

    width: int
    height: int
    shapes: tuple[Shape, ...]
