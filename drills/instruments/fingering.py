"""Fingering tables: which keys, valves or slide positions give which note.

A table is a data file in ``tables/``, with its source in words.  A file of kind
"keys" (woodwinds) lists for every note all usual fingerings as sets of keys, the
standard one first; "valves" and "slide" add the partial that the lips choose.
Each key names the finger that works it, so that the cost of a move can be told
from which fingers go where.

Conventions.  Pitches of a table are the player's written pitches ("written"),
or sounding ones moved by the table's own transposition ("sounding", where the
same instrument is written in several ways: horn, trombone, euphonium, tuba).
Notes are MIDI numbers.  A table that "extends" another takes over what it does
not say itself.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from drills.errors import DrillsError
from drills.music.pitch import Pitch

_TABLES: Final = Path(__file__).parent / "tables"


HAND_PARTS: Final = ("palm", "side")
"""What works a key where no single finger does."""


class Use(StrEnum):
    """When a fingering is taken."""

    STANDARD = "standard"
    EQUAL = "equal"
    """As good as the standard one: whichever lies better."""
    HELD = "held"
    """The standard one with keys that may stay down, where that saves a movement."""
    ALTERNATE = "alternate"
    """Where it helps."""
    POOR = "poor"
    """In trills and haste only."""


@dataclass(frozen=True, slots=True)
class Key:
    """A key, a hole, a valve or a trigger."""

    name: str
    """As in the table, such as "lowC#"."""
    finger: str
    """Hand and finger that work it, such as "left little"; "left palm", "right side"."""
    words: str
    """For a player, such as "low C sharp"."""
    group: str = ""
    """"palm", "side" or empty."""
    half_of: str = ""
    """For a half hole: the key that covers it wholly."""
    semitones: int = 0
    """What a valve or trigger lowers."""
    part_of_hand: bool = False
    """True where a part of the hand pushes it, each key another: "left palm", "right side"."""


@dataclass(frozen=True, slots=True)
class Fingering:
    """One way to play a note."""

    name: str
    """What sets it apart ("bis B flat"); empty for a plain standard fingering."""
    keys: tuple[str, ...]
    """The keys or valves held, in the order of the table."""
    use: Use = Use.STANDARD
    register: int = 0
    """Number of the register from the lowest, 0; always 0 on brass."""
    partial: int = 0
    """Brass: number in the harmonic series; 0 on woodwinds."""
    position: int = 0
    """Slide position 1 to 7; 0 where there is no slide."""
    side: str = ""
    """Double horn: "F" or "B flat"."""
    beside: frozenset[int] = frozenset()
    """Notes that it is for, where it is for those alone; empty for any."""

    @property
    def label(self) -> str:
        """For a player: "1-2", "open", "T1", "position 6", "LH1 LH2 sideBb (side B flat)"."""
        if self.position:
            return f"T{self.position}" if self.keys else f"position {self.position}"
        if self.partial:
            valves = "-".join(key for key in self.keys if key != "T") or "open"
            return f"{self.side} side {valves}" if self.side else valves
        held = " ".join(self.keys) or "open"
        return f"{held} ({self.name})" if self.name and self.name != held else held


@dataclass(frozen=True, slots=True)
class Zone:
    """Notes that belong together: a register, or notes that answer late."""

    name: str
    low: int
    high: int
    why: str = ""

    def holds(self, midi: int) -> bool:
        """True where the note lies in the zone."""
        return self.low <= midi <= self.high


@dataclass(frozen=True, slots=True)
class Table:
    """All fingerings of one family of instruments."""

    name: str
    kind: str
    """"keys", "valves" or "slide"."""
    source: str
    """Where the fingerings come from, in words."""
    sounding: bool
    """True where its notes are sounding pitches moved by ``transposition``."""
    transposition: int
    """Semitones from the table's notes to the sounding pitch, where ``sounding``."""
    low: int
    high: int
    """The range in ordinary use; the table may have notes beyond it."""
    keys: Mapping[str, Key]
    notes: Mapping[int, tuple[Fingering, ...]]
    """Fingerings by note, the standard one first."""
    registers: tuple[Zone, ...] = ()
    slow: tuple[Zone, ...] = ()
    """Notes that answer late or must be placed."""
    neighbours: frozenset[frozenset[str]] = frozenset()
    """Pairs of keys that one finger can slide between."""
    rolls: frozenset[frozenset[str]] = frozenset()
    """Pairs of keys that one finger can rock between without leaving its place."""
    heavy: frozenset[str] = frozenset()
    """Keys with the last and largest pads of the bell."""
    modes: int = 12
    """Semitones between the first two modes of one tube: 19 on the clarinet."""
    break_after: int = 0
    """The last note below the break; 0 where there is none."""
    doubtful: frozenset[int] = frozenset()
    """Notes whose fingering differs from chart to chart or is from memory alone."""
    open_notes: Mapping[str, Mapping[int, int]] = field(default_factory=dict)
    """Brass: by side ("" for the only one) the open note of each partial."""


@cache
def load_table(name: str) -> Table:
    """The packaged table of that name, read once.

    Raises DrillsError where it is missing or damaged: the installation is.
    """
    return table_of(_with_base(name), name)


def _with_base(name: str) -> dict[str, Any]:
    """The data of a file, laid over that of the file it extends."""
    try:
        text = (_TABLES / f"{name}.json").read_text("utf-8")
        data: dict[str, Any] = json.loads(text)
    except (OSError, ValueError) as problem:
        raise DrillsError(
            f"the fingering table {name!r} is missing or damaged; install drills again"
        ) from problem
    if "extends" not in data:
        return data
    base = _with_base(data["extends"])
    whole = base | data
    for part in ("keys", "fingerings"):
        whole[part] = base[part] | data.get(part, {})
    return whole


def table_of(data: Mapping[str, Any], name: str) -> Table:
    """The table that a file's data describe.

    Raises DrillsError with the place where the data contradict themselves: an
    unknown key, a key held twice, no standard fingering first.
    """
    try:
        return _table(data)
    except (KeyError, TypeError, ValueError, AttributeError) as problem:
        raise DrillsError(f"the fingering table {name!r} is damaged: {problem}") from problem


def _table(data: Mapping[str, Any]) -> Table:
    keys = {name: _key(name, facts) for name, facts in data["keys"].items()}
    registers = _zones(data.get("registers", ()))
    notes = {
        _midi(text): tuple(
            _fingering(facts, keys, registers, _midi(text), first=index == 0)
            for index, facts in enumerate(listed)
        )
        for text, listed in data["fingerings"].items()
    }
    low, high = (_midi(text) for text in data["range"])
    return Table(
        name=data["name"],
        kind=data["kind"],
        source=data["source"],
        sounding=data["pitch"] == "sounding",
        transposition=data.get("transposition", 0),
        low=low,
        high=high,
        keys=MappingProxyType(keys),
        notes=MappingProxyType(dict(sorted(notes.items()))),
        registers=registers,
        slow=_zones(data.get("slow", ())),
        neighbours=_pairs(data.get("neighbours", ())),
        rolls=_pairs(data.get("rolls", ())),
        heavy=_known(data.get("heavy", ()), keys),
        modes=data.get("modes", 12),
        break_after=_midi(data["break"][0]) if "break" in data else 0,
        doubtful=frozenset(_midi(text) for text in data.get("doubtful", ())),
        open_notes=MappingProxyType(_open_notes(data)),
    )


def _key(name: str, facts: Mapping[str, Any]) -> Key:
    member = facts["finger"].split()[1]
    return Key(name, **facts, part_of_hand=member in HAND_PARTS)


def _fingering(
    facts: Mapping[str, Any],
    keys: Mapping[str, Key],
    registers: tuple[Zone, ...],
    midi: int,
    *,
    first: bool,
) -> Fingering:
    held = _held(facts)
    unknown = [key for key in held if key not in keys]
    if unknown or len(set(held)) != len(held):
        raise ValueError(f"note {midi} holds {' '.join(unknown) or 'a key twice'}")
    use = Use(facts.get("use", Use.STANDARD))
    if first is not (use is Use.STANDARD):
        raise ValueError(f"note {midi} must begin with its one standard fingering")
    return Fingering(
        name=facts.get("name", ""),
        keys=tuple(key for key in keys if key in held),
        use=use,
        register=facts.get("register", _register(registers, midi)),
        partial=facts.get("partial", 0),
        position=facts.get("position", 0),
        side=facts.get("side", ""),
        beside=frozenset(_midi(text) for text in facts.get("beside", "").split()),
    )


def _held(facts: Mapping[str, Any]) -> list[str]:
    """The keys of a fingering as the file writes them."""
    held: list[str] = facts.get("keys", "").split()
    held += [valve for valve in facts.get("valves", "") if valve != "0"]
    if facts.get("side") == "B flat" or facts.get("trigger"):
        held.append("T")
    return held


def _register(registers: tuple[Zone, ...], midi: int) -> int:
    """Number of the register that holds a note; where there are none, 0."""
    return next((number for number, zone in enumerate(registers) if zone.holds(midi)), 0)


def _zones(found: Iterable[Mapping[str, Any]]) -> tuple[Zone, ...]:
    return tuple(
        Zone(zone["name"], _midi(zone["from"]), _midi(zone["to"]), zone.get("why", ""))
        for zone in found
    )


def _pairs(found: Iterable[Iterable[str]]) -> frozenset[frozenset[str]]:
    return frozenset(frozenset(pair) for pair in found)


def _known(names: Iterable[str], keys: Mapping[str, Key]) -> frozenset[str]:
    found = frozenset(names)
    if found - keys.keys():
        raise ValueError(f"no keys {' '.join(sorted(found - keys.keys()))}")
    return found


def _open_notes(data: Mapping[str, Any]) -> dict[str, Mapping[int, int]]:
    found: dict[str, Mapping[int, int]] = {}
    for part, side in (("open", ""), ("open_b_flat", "B flat")):
        if part in data:
            found[side] = {int(number): _midi(text) for number, text in data[part].items()}
    return found


def _midi(text: str) -> int:
    return int(Pitch.parse(text).midi)
