"""Exact musical time: lengths, positions, note values and time signatures.

Time is a ``Fraction`` of a quarter note.  A length (how long) and a position
(where) are different types, so that two places cannot be added by mistake:
position - position = length, position + length = position.

A beat is what a player counts: the quarter in 3/4, the dotted quarter in 6/8,
the half in 2/2, the eighth in 7/8 and 3/8 (common practice; a numerator of 6,
9, 12 ... over an 8 or smaller value is compound, and so is one over a 4 when
it is 6 or 9 or 12).  A group is what the eye sees under one beam or in one half
of the bar: 2 + 2 beats of 4/4, 3 + 2 of 5/4, 2 + 2 + 3 of 7/8.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Final


def _compared(one: Fraction, other: Fraction) -> int:
    """Less than, equal to or greater than 0 as ``one`` is less than, equal to or greater
    than ``other``: without the detours of a Fraction, which may be compared with anything."""
    return one.numerator * other.denominator - other.numerator * one.denominator


@dataclass(frozen=True, slots=True)
class Length:
    """How long: a Fraction of a quarter note, never negative (ValueError)."""

    quarters: Fraction

    def __post_init__(self) -> None:
        if self.quarters.numerator < 0:
            raise ValueError(f"a length of {self.quarters} quarters is negative")

    def __add__(self, other: Length) -> Length:
        return Length(self.quarters + other.quarters)

    def __sub__(self, other: Length) -> Length:
        return Length(self.quarters - other.quarters)

    def __mul__(self, factor: int | Fraction) -> Length:
        return Length(self.quarters * factor)

    def __truediv__(self, other: Length) -> Fraction:
        """How often ``other`` fits into this length."""
        return self.quarters / other.quarters

    def __lt__(self, other: Length) -> bool:
        return _compared(self.quarters, other.quarters) < 0

    def __le__(self, other: Length) -> bool:
        return _compared(self.quarters, other.quarters) <= 0

    def __gt__(self, other: Length) -> bool:
        return _compared(self.quarters, other.quarters) > 0

    def __ge__(self, other: Length) -> bool:
        return _compared(self.quarters, other.quarters) >= 0

    def __bool__(self) -> bool:
        return self.quarters.numerator > 0

    def __str__(self) -> str:
        return str(self.quarters)


@dataclass(frozen=True, slots=True)
class Position:
    """Where: quarters from the start of a bar (or of a drill, or of a part)."""

    quarters: Fraction

    def __add__(self, length: Length) -> Position:
        return Position(self.quarters + length.quarters)

    def __sub__(self, other: Position) -> Length:
        """The length from ``other`` to here; ValueError when this comes first."""
        return Length(self.quarters - other.quarters)

    def __lt__(self, other: Position) -> bool:
        return _compared(self.quarters, other.quarters) < 0

    def __le__(self, other: Position) -> bool:
        return _compared(self.quarters, other.quarters) <= 0

    def __gt__(self, other: Position) -> bool:
        return _compared(self.quarters, other.quarters) > 0

    def __ge__(self, other: Position) -> bool:
        return _compared(self.quarters, other.quarters) >= 0

    def __str__(self) -> str:
        return str(self.quarters)


def length(numerator: int | Fraction, denominator: int = 1) -> Length:
    """``length(1, 2)`` is an eighth: half a quarter."""
    return Length(Fraction(numerator) / denominator)


def position(numerator: int | Fraction, denominator: int = 1) -> Position:
    """``position(3, 2)`` is the place a dotted quarter after the start."""
    return Position(Fraction(numerator) / denominator)


ZERO: Final = length(0)
START: Final = position(0)

NOTE_KINDS: Final = {
    "maxima": length(32),
    "long": length(16),
    "breve": length(8),
    "whole": length(4),
    "half": length(2),
    "quarter": length(1),
    "eighth": length(1, 2),
    "16th": length(1, 4),
    "32nd": length(1, 8),
    "64th": length(1, 16),
    "128th": length(1, 32),
    "256th": length(1, 64),
    "512th": length(1, 128),
    "1024th": length(1, 256),
}
"""Undotted note values by their MusicXML 4.0 name (type ``note-type-value``)."""


@dataclass(frozen=True, slots=True)
class NoteValue:
    """A written note value: its head, stem and flags, and its dots."""

    kind: str
    """A key of NOTE_KINDS."""
    dots: int = 0

    def __post_init__(self) -> None:
        if self.kind not in NOTE_KINDS:
            raise ValueError(f"{self.kind!r} is not a note value")
        if not 0 <= self.dots <= MOST_DOTS:
            raise ValueError(f"a note value with {self.dots} dots cannot be read")

    @property
    def length(self) -> Length:
        """The length outside any tuplet."""
        return _LENGTHS[self.kind, self.dots]

    @property
    def flags(self) -> int:
        """Number of flags or beams: 1 for an eighth, 2 for a sixteenth."""
        return _FLAGS[self.kind]

    @classmethod
    def of(cls, wanted: Length, max_dots: int = 1) -> NoteValue | None:
        """The value that lasts exactly ``wanted``, or None if there is no such value."""
        found = _VALUES.get(wanted.quarters)
        return None if found is None or found[1] > max_dots else cls(*found)


MOST_DOTS: Final = 4

_LENGTHS: Final = {
    (kind, dots): plain * (2 - Fraction(1, 2**dots))
    for kind, plain in NOTE_KINDS.items()
    for dots in range(MOST_DOTS + 1)
}
_FLAGS: Final = {
    kind: max(0, place - list(NOTE_KINDS).index("quarter")) for place, kind in enumerate(NOTE_KINDS)
}
_VALUES: Final = {size.quarters: value for value, size in _LENGTHS.items()}
"""Both ways between a note value (kind, dots) and its length; no two are equal."""


@dataclass(frozen=True, slots=True)
class Tuplet:
    """``actual`` notes in the time of ``normal``: an eighth triplet is (3, 2)."""

    actual: int
    normal: int

    def __post_init__(self) -> None:
        if self.actual < 1 or self.normal < 1:
            raise ValueError(f"a tuplet of {self.actual}:{self.normal} is not possible")

    @property
    def factor(self) -> Fraction:
        """What a written value is multiplied by."""
        return Fraction(self.normal, self.actual)


@dataclass(frozen=True, slots=True)
class TimeSignature:
    """A time signature, additive ones included: ``TimeSignature((3, 2), 8)`` is 3+2/8."""

    counts: tuple[int, ...]
    """Upper numbers; one for an ordinary signature, several for an additive one."""
    unit: int
    """Lower number: 1, 2, 4, 8, 16 ..."""
    symbol: str = ""
    """"common" or "cut" where the sign is printed, else empty."""

    def __post_init__(self) -> None:
        if not self.counts or any(count < 1 for count in self.counts):
            raise ValueError(f"a time signature of {self} has no beats")
        if self.unit < 1 or self.unit & (self.unit - 1):
            raise ValueError(f"{self.unit} is not the lower number of a time signature")

    @classmethod
    def parse(cls, text: str) -> TimeSignature:
        """Read ``3/4`` or ``3+2/8``; raises ValueError when it reads otherwise."""
        upper, _, lower = text.partition("/")
        return cls(tuple(int(count) for count in upper.split("+")), int(lower))

    @property
    def count(self) -> int:
        """Upper number, added up."""
        return sum(self.counts)

    @property
    def unit_length(self) -> Length:
        """Length of the lower number."""
        return _times(self.unit, 1)

    @property
    def bar_length(self) -> Length:
        """Length of a full bar."""
        return _times(self.unit, self.count)

    @property
    def is_compound(self) -> bool:
        """True where the beat has three parts: 6/8, 9/8, 12/8, 6/4 ..."""
        return len(self.counts) == 1 and self.count > 3 and self.count % 3 == 0 and self.unit >= 4

    @property
    def beat(self) -> Length:
        """Length of what the player counts."""
        return _times(self.unit, 3 if self.is_compound else 1)

    @property
    def beats(self) -> int:
        """Number of beats in a full bar."""
        return self.count // 3 if self.is_compound else self.count

    @property
    def groups(self) -> tuple[int, ...]:
        """Beats per group: what stands under one beam, or in one half of the bar."""
        if len(self.counts) > 1:
            return self.counts
        if self.beats in _GROUPS_OF_BEATS:
            return _GROUPS_OF_BEATS[self.beats]
        return (1,) * self.beats if self.beats <= 3 else _in_twos_and_a_three(self.beats)

    def __str__(self) -> str:
        return f"{'+'.join(str(count) for count in self.counts)}/{self.unit}"


@cache
def _times(unit: int, count: int) -> Length:
    """``count`` times the length of a time signature's lower number."""
    return length(4 * count, unit)


_GROUPS_OF_BEATS: Final = {1: (1,), 2: (2,), 3: (3,), 4: (2, 2), 5: (3, 2), 6: (3, 3)}
"""How beats are grouped where the signature does not say (common practice)."""


def _in_twos_and_a_three(beats: int) -> tuple[int, ...]:
    """7 as 2+2+3, 8 as 2+2+2+2: twos, and a three last for an odd count."""
    if beats % 2:
        return (2,) * ((beats - 3) // 2) + (3,)
    return (2,) * (beats // 2)


COMMON_TIME: Final = TimeSignature((4,), 4)
"""What is assumed where a score gives no time signature."""
