"""What makes a note demanding: the terms, their units and weights, and a player's own.

Unit.  Every term's amount times its weight is in fingers a second (weights.py says
what a finger is), so that the terms of a note add up to its effort.  The weights
are round numbers and our own choice: fitted to nothing, and a player can change
each of them in a settings file,

    [weights]
    tonguing = 2
    accidental = 0

    [limits]
    tonguing = 6.5

Sources.  Speed, fingering, hand displacement, rhythm, harmony and length as what
makes a page hard to play: Sebastien, Ralambondrainy, Sebastien and Conruyt, Score
analyzer, ISMIR 2012.  That speed counts as cost over time: common practice.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from difflib import get_close_matches
from pathlib import Path
from typing import Any, Final

from drills.errors import UsageError
from drills.reading.bounded import first_bytes
from drills.reading.tomltext import parsed


@dataclass(frozen=True, slots=True)
class TermFact:
    """One reason why a note is demanding."""

    weight: float
    """Fingers a second for each unit of its amount, unless the player says otherwise."""
    unit: str
    """Of its amount."""
    why: str
    """The reason, with its source or that it is our own choice."""


TERMS: Final = {
    "move": TermFact(
        1.0,
        "fingers a second",
        "the cost of the move over the time from one attack to the next",
    ),
    "leap": TermFact(
        1.0,
        "octaves beyond a fourth, a second",
        "lips, ear and air must find a distant note in time (common practice; the measure is "
        "our own choice)",
    ),
    "tonguing": TermFact(
        8.0,
        "share of the upper half of the tonguing limit",
        "tongued notes in a row near the limit: 0 at half the limit, 1 at the limit (our own "
        "choice; the limit is the player's)",
    ),
    "accidental": TermFact(
        0.25,
        "semitones outside the key a second",
        "a sign that the key signature does not give must be read in time (our own choice)",
    ),
    "syncopation": TermFact(
        0.5,
        "levels of the metre, for each beat a second",
        "strength against the beat after Longuet-Higgins and Lee, Music Perception 1(4), 1984; "
        "times the beats a second is our own choice",
    ),
    "range": TermFact(
        1.0,
        "fourths into the outermost fourth of the range",
        "the ends of the range answer less surely: 0 a fourth from the end, 1 at the end, more "
        "beyond (common practice; the measure is our own choice)",
    ),
    "breath": TermFact(
        1.0,
        "share of a second breath",
        "no place to breathe: 0 as long as one breath carries, 1 from twice that on; counted in "
        "beats, so that no tempo makes it easier (our own choice)",
    ),
}
"""The terms in the order in which they are told."""


@dataclass(frozen=True, slots=True)
class Limits:
    """Where the scales of the terms begin; every default is our own choice."""

    tonguing: float = 8.0
    """Notes a second that the player can just tongue: sixteenths at quarter = 120."""
    breath: float = 16.0
    """Beats that one breath carries."""
    easy: float = 6.0
    """Fingers a second, over four moves in a row, up to which music is easy: a scale of
    sixteenths at quarter = 80.  What is nowhere harder is no hard spot, and a hard one is
    easy again at the tempo that brings it down to here."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """What a player thinks hard: the weight of every term, and the limits."""

    weights: Mapping[str, float] = field(
        default_factory=lambda: {name: fact.weight for name, fact in TERMS.items()}, hash=False
    )
    limits: Limits = field(default_factory=Limits)


USUAL: Final = Judgement()
_MOST: Final = 1000.0
_MOST_BYTES: Final = 100_000


def read_judgement(path: Path) -> Judgement:
    """The weights and limits of a settings file; what it leaves out stays as usual.

    Raises UsageError for a file that cannot be read or says what no term knows.
    """
    try:
        content = first_bytes(path, _MOST_BYTES + 1)
        if len(content) > _MOST_BYTES:
            raise UsageError(f"{path} has more than the limit of {_MOST_BYTES:,} bytes")
        data = parsed(content.decode("utf-8-sig"))
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise UsageError(f"{path} cannot be read ({reason})") from error
    except ValueError as error:  # what tomllib and the codec raise
        raise UsageError(f"{path} is not TOML: {error}") from error
    return judgement_of(data, str(path))


def judgement_of(data: Mapping[str, Any], where: str) -> Judgement:
    """The same from the tables of the file; ``where`` begins the messages."""
    limits = {one.name: getattr(USUAL.limits, one.name) for one in fields(Limits)}
    known = {"weights": dict(USUAL.weights), "limits": limits}
    for table, values in data.items():
        _check_name(where, table, known)
        if not isinstance(values, dict):
            raise UsageError(f"{where}: {table} is a table; write [{table}] and its values below")
        for name, value in values.items():
            _check_name(f"{where}, [{table}]", name, known[table])
            known[table][name] = _number(f"{where}, [{table}]", name, value)
    if not (known["limits"]["tonguing"] and known["limits"]["breath"]):
        raise UsageError(f"{where}, [limits]: tonguing and breath must be above 0")
    return Judgement(known["weights"], Limits(**known["limits"]))


def _check_name(where: str, name: str, known: Mapping[str, object]) -> None:
    if name not in known:
        near = get_close_matches(name, known, 1, 0.5)
        hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(known)}"
        raise UsageError(f"{where}: nothing is called {name!r}; {hint}")


def _number(where: str, name: str, value: object) -> float:
    whole = isinstance(value, int | float) and not isinstance(value, bool)
    if not whole or not 0 <= float(str(value)) <= _MOST:
        raise UsageError(f"{where}: {name} is a number from 0 to {_MOST:g}, not {value!r}")
    return float(str(value))
