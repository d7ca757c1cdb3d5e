"""What the fingers do in a move, in a player's words, from the table that judges it.

    G to B flat: left middle and ring up; left thumb takes the register key; left index
    rocks to the throat A key

Fingers on their own holes or main keys are named alone, any other key by its name; valves
and slide positions by their numbers.  Where the cheapest way takes another fingering than
the standard one, that is said.  Nothing is said of a note that the table lacks.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from drills.effort.hands import Motion, Way, motions
from drills.effort.moves import Move
from drills.instruments.fingering import Fingering, Key, Table, Use, load_table
from drills.instruments.judged import EffortInstrument
from drills.music.pitch import Pitch, Tone

_MAIN: Final = re.compile(r"[LR]H[1-3]$")
"""The key on which a finger rests."""
_SIGNS: Final = {-2: " double flat", -1: " flat", 0: "", 1: " sharp", 2: " double sharp"}


def finger_words(move: Move, instrument: EffortInstrument) -> str:
    """One line for a move; empty where the table does not know or nothing is between."""
    first, second = move.fingerings
    if not instrument.table or first is None or second is None or move.through:
        return ""
    table = load_table(instrument.table)
    names = f"{tone_words(move.first)} to {tone_words(move.second)}"
    done = _BY_KIND[table.kind](table, first, second)
    taken = [
        _instead(table, tone, fingering)
        for tone, fingering in ((move.first, first), (move.second, second))
        if fingering.use in (Use.ALTERNATE, Use.EQUAL, Use.POOR)
    ]
    told = "; ".join(dict.fromkeys((*done, *filter(None, taken))))
    return f"{names}: {told or 'the fingers stay, the air moves'}"


def _instead(table: Table, tone: Tone, fingering: Fingering) -> str:
    """That a note is not taken as usual: "C with side C", "B flat is usually position 1"."""
    if fingering.name:
        with_it = "" if fingering.name.startswith("without") else "with "
        return f"{tone_words(tone)} {with_it}{fingering.name}"
    usual = next((ways[0] for ways in table.notes.values() if fingering in ways), fingering)
    if table.kind == "keys" or usual == fingering:
        return ""
    return f"{tone_words(tone)} is usually {usual.label}"


def tone_words(tone: Tone) -> str:
    """ "B flat"; an unpitched tone has no name."""
    if not isinstance(tone, Pitch):
        return "the stroke"
    return f"{tone.step}{_SIGNS.get(int(tone.alter), '')}"


def _keys(table: Table, first: Fingering, second: Fingering) -> list[str]:
    moved = motions(table, first.keys, second.keys)
    plain = [m for m in moved if m.way in _PLAIN and _is_main(m)]
    told = [
        f"{hand} {_listed([m.member for m in own])} {word}"
        for way, word in _PLAIN.items()
        for hand in ("left", "right")
        if (own := [m for m in plain if m.way is way and m.hand == hand])
    ]
    return [*told, *(_told(m) for m in moved if m not in plain)]


_PLAIN: Final = {Way.UP: "up", Way.DOWN: "down"}


def _listed(names: Sequence[str]) -> str:
    """ "index, middle and ring"."""
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _is_main(motion: Motion) -> bool:
    """True for a finger on the hole or key where it rests."""
    return all(_MAIN.match(key.name) for key in (*motion.before, *motion.after))


def _told(motion: Motion) -> str:
    """What a finger does with keys that have a name."""
    who = motion.words.replace(" finger", "")
    left, taken = _named(motion.before), _named(motion.after)
    start = f" from {left}" if left else ""
    goal = f" to {taken}" if taken else f" off {left}"
    done = {
        Way.DOWN: f"takes {taken}",
        Way.UP: f"leaves {left}",
        Way.ROLL_ON: f"rolls onto {taken}",
        Way.ROLL_OFF: f"rolls off {left}",
        Way.SLIDE: f"{'slides' if motion.near else 'goes'}{start}{goal if taken else ' home'}",
        Way.ROCK: f"rocks{goal}",
        Way.HALF: f"{'opens' if motion.after else 'closes'} the half hole",
    }
    return f"{who} {done[motion.way]}"


def _named(keys: tuple[Key, ...]) -> str:
    """The keys by name; nothing for the hole or key where the finger rests."""
    return " and ".join(_with_key(key.words) for key in keys if not _MAIN.match(key.name))


def _with_key(words: str) -> str:
    """ "low C sharp" is a key too."""
    known = ("key", "lever", "hole", "valve", "attachment", "trigger")
    return f"the {words}" if words.endswith(known) else f"the {words} key"


def _valves(_: Table, first: Fingering, second: Fingering) -> list[str]:
    told = [f"{first.label} to {second.label}"] if first.label != second.label else []
    return [*told, *_partials(first, second)]


def _slide(_: Table, first: Fingering, second: Fingering) -> list[str]:
    told = [f"{first.label} to {second.label}"] if first.label != second.label else []
    return [*told, *_partials(first, second)]


def _partials(first: Fingering, second: Fingering) -> list[str]:
    """What the lips do, by the number of partials between."""
    steps = second.partial - first.partial
    if not steps:
        return []
    way = "up" if steps > 0 else "down"
    count = abs(steps)
    return [f"the lips {count} partial{'s' * (count > 1)} {way}"]


_BY_KIND: Final = {"keys": _keys, "valves": _valves, "slide": _slide}


@dataclass(frozen=True, slots=True)
class Diagram:
    """One fingering as it is drawn."""

    note: str
    """ "B flat"."""
    holes: tuple[bool, ...] = ()
    """On woodwinds the six fingers that rest on holes or main keys, left hand first: True
    where one is down."""
    others: tuple[str, ...] = ()
    """Every other key that is held, by name."""
    numbers: str = ""
    """On valves and slide: "1-2", "position 4"."""


def diagrams(move: Move, instrument: EffortInstrument) -> tuple[Diagram, ...]:
    """Both fingerings of a move; none where the table does not know."""
    if not instrument.table or None in move.fingerings or move.through:
        return ()
    table = load_table(instrument.table)
    pairs = zip((move.first, move.second), move.fingerings, strict=True)
    return tuple(_diagram(table, tone, one) for tone, one in pairs if one is not None)


def _diagram(table: Table, tone: Tone, one: Fingering) -> Diagram:
    if table.kind != "keys":
        return Diagram(tone_words(tone), numbers=one.label)
    main = [name for hand in "LR" for name in (f"{hand}H1", f"{hand}H2", f"{hand}H3")]
    others = tuple(table.keys[key].words for key in one.keys if key not in main)
    return Diagram(tone_words(tone), tuple(name in one.keys for name in main), others)
