"""The work of the hands between two fingerings.

Problem.  Counting the keys that change says little: six fingers that fall
together are one easy gesture, while one little finger that must leave a key and
find the next is slow.  So each finger is asked what it does (goes down, goes up,
slides to another key, rolls onto a second one, opens a half hole), and the
cost is the unit for moving at all, a little for each further finger, and a
named extra for everything that makes the gesture more than one block: a slow
finger, a slide, fingers that exchange, hands that oppose each other.

Conventions.  Symmetric: the way back costs the same.  Thumbs, palms and the
sides of the hands move apart from the four fingers and do not count as
exchanging with them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple

from drills.effort import weights
from drills.effort.terms import Term, listed
from drills.instruments.fingering import HAND_PARTS, Key, Table


class Way(Enum):
    """What one finger does."""

    DOWN = "down"
    UP = "up"
    ROLL_ON = "rolls onto"
    ROLL_OFF = "rolls off"
    SLIDE = "slides"
    ROCK = "rocks"
    HALF = "half hole"


GOES_DOWN = (Way.DOWN, Way.ROLL_ON)
GOES_UP = (Way.UP, Way.ROLL_OFF)


@dataclass(frozen=True, slots=True)
class Motion:
    """One finger between two fingerings."""

    finger: str
    """Hand and finger, such as "left ring"."""
    way: Way
    before: tuple[Key, ...]
    """The keys that it held and holds no longer."""
    after: tuple[Key, ...]
    """The keys that it takes."""
    near: bool = False
    """For a slide or a roll: the two keys lie side by side, and the finger shifts along."""

    @property
    def hand(self) -> str:
        """ "left" or "right"."""
        return self.finger.split()[0]

    @property
    def member(self) -> str:
        """The finger without its hand; "palm" or "side" for the hand itself."""
        return self.finger.split()[1]

    @property
    def is_finger(self) -> bool:
        """True for one of the four fingers."""
        return self.member in ("index", "middle", "ring", "little")

    @property
    def words(self) -> str:
        """The finger as a player calls it."""
        if self.member == "side":
            return f"side of the {self.hand} hand"
        return f"{self.finger} finger" if self.is_finger else self.finger


def motions(table: Table, before: Collection[str], after: Collection[str]) -> tuple[Motion, ...]:
    """What every finger that moves does, in the order of the table's keys."""
    used: dict[tuple[str, str], _Keys] = {}
    for name, key in table.keys.items():
        held, holds = name in before, name in after
        if held or holds:
            mover = (key.finger, key.name if key.part_of_hand else "")
            keys = used.setdefault(mover, _Keys([], [], []))
            (keys.stay if held and holds else keys.left if held else keys.taken).append(key)
    return tuple(
        _motion(table, finger, keys)
        for (finger, _), keys in used.items()
        if keys.left or keys.taken
    )


class _Keys(NamedTuple):
    """The keys of one finger, or the one of a part of the hand, in two fingerings."""

    left: list[Key]
    taken: list[Key]
    stay: list[Key]


def _motion(table: Table, finger: str, keys: _Keys) -> Motion:
    left, taken, stay = map(tuple, keys)
    if any(key.half_of for key in (*left, *taken)):
        return Motion(finger, Way.HALF, left, taken)
    near = False
    if stay or (left and taken):
        pairs = {frozenset((a.name, b.name)) for a in left or stay for b in taken or stay}
        near = bool(pairs & table.neighbours)
        if left and taken:
            way = Way.ROCK if pairs & table.rolls else Way.SLIDE
            return Motion(finger, way, left, taken, near)
    ways = (Way.ROLL_ON, Way.ROLL_OFF) if stay else (Way.DOWN, Way.UP)
    return Motion(finger, ways[0] if taken else ways[1], left, taken, near)


def hand_terms(table: Table, moved: tuple[Motion, ...], pair: str) -> list[Term]:
    """The cost of a gesture; ``pair`` names the two notes, such as "C5-D5"."""
    if not moved:
        return []
    return [
        _fingers(moved, pair),
        *_slow_finger(moved),
        *_slides(moved),
        *_rolls(moved),
        *_hand_turns(moved),
        *_bell(table, moved),
        *_exchanges(moved),
        *_both_hands(moved),
    ]


def _fingers(moved: tuple[Motion, ...], pair: str) -> Term:
    value = weights.FINGER.value + weights.FURTHER_FINGER.value * (len(moved) - 1)
    if len(moved) == 1:
        return Term("fingers", value, f"{pair} moves one finger, the {moved[0].words}")
    return Term("fingers", value, f"{pair} moves {len(moved)} fingers{_directions(moved)}")


def _directions(moved: tuple[Motion, ...]) -> str:
    down = sum(motion.way in GOES_DOWN for motion in moved)
    up = sum(motion.way in GOES_UP for motion in moved)
    if down and up:
        return f", {down} down and {up} up"
    return {down: ", all down", up: ", all up"}.get(len(moved), "")


def _slow_finger(moved: tuple[Motion, ...]) -> list[Term]:
    slow = [motion.words for motion in moved if motion.member in weights.SLOW_FINGERS]
    if not slow:
        return []
    return [Term("slow finger", weights.SLOW_FINGER.value, f"uses the {listed(slow)}")]


def _slides(moved: tuple[Motion, ...]) -> list[Term]:
    found = []
    for motion in moved:
        if motion.way is not Way.SLIDE:
            continue
        words = (
            f"{motion.words} {'slides' if motion.near else 'jumps'} "
            f"from {_named(motion.before)} to {_named(motion.after)}"
        )
        value = (weights.SLIDE if motion.near else weights.JUMP).value
        if motion.member == "little":
            value += weights.LITTLE_TRAVELS.value
        found.append(Term("slide", value, words))
    return found


def _rolls(moved: tuple[Motion, ...]) -> list[Term]:
    """Fingers that turn where they are: half holes, two keys at once, one key to another."""
    found = []
    for motion in moved:
        finger, keys = motion.words, _named(motion.after or motion.before)
        if motion.way is Way.HALF:
            words = f"{finger} opens or closes the half hole"
            found.append(Term("half hole", weights.HALF_HOLE.value, words))
        elif motion.way is Way.ROCK:
            words = f"{finger} rocks from {_named(motion.before)} to {keys}"
            found.append(Term("rock", weights.ROCK.value, words))
        elif motion.way in (Way.ROLL_ON, Way.ROLL_OFF):
            weight = weights.SIDEWAYS if motion.near else weights.ROLL
            words = f"{finger} {motion.way.value} the {keys}"
            found.append(Term("roll", weight.value, words))
    return found


def _hand_turns(moved: tuple[Motion, ...]) -> list[Term]:
    """Palm and side keys: quick by themselves, but the hand may have to turn for them."""
    found = []
    parts = dict.fromkeys(m.finger for m in moved if m.member in HAND_PARTS)
    for part in parts:
        own = [motion for motion in moved if motion.finger == part]
        weight = weights.PALM if own[0].member == "palm" else weights.SIDE
        keys = _named(key for motion in own for key in (*motion.before, *motion.after))
        words = f"{own[0].words} moves the {keys}"
        found.append(Term(f"{own[0].member} key", weight.value, words))
        hand = own[0].hand
        if any(other.is_finger and other.hand == hand for other in moved):
            words = f"{hand} hand turns between its main keys and the {keys}"
            found.append(Term("turn", weights.TURN.value, words))
    return found


def _bell(table: Table, moved: tuple[Motion, ...]) -> list[Term]:
    """The last pads of the bell, and the whole tube that closes or opens with them."""
    keys = [
        key.words
        for motion in moved
        for key in (*motion.before, *motion.after)
        if key.name in table.heavy
    ]
    if not keys:
        return []
    words = f"{listed(keys)} moves the heaviest pads"
    found = [Term("heavy key", weights.HEAVY_KEY.value, words)]
    fingers = [motion for motion in moved if motion.is_finger]
    most = max(sum(motion.way in ways for motion in fingers) for ways in (GOES_DOWN, GOES_UP))
    if most >= weights.WHOLE_TUBE_FINGERS:
        words = "the tube goes from nearly open to nearly closed, or back"
        found.append(Term("whole tube", weights.WHOLE_TUBE.value, words))
    return found


def _exchanges(moved: tuple[Motion, ...]) -> list[Term]:
    """Fingers of one hand that go up while others go down."""
    pairs, words = 0, []
    for hand in ("left", "right"):
        own = [motion for motion in moved if motion.is_finger and motion.hand == hand]
        down = [motion.words for motion in own if motion.way in GOES_DOWN]
        up = [motion.words for motion in own if motion.way in GOES_UP]
        if down and up:
            pairs += min(len(down), len(up))
            words.append(f"{listed(up)} up against {listed(down)} down")
    if not pairs:
        return []
    value = weights.CONTRARY.value + weights.FURTHER_CONTRARY.value * (pairs - 1)
    return [Term("contrary", value, "; ".join(words))]


def _both_hands(moved: tuple[Motion, ...]) -> list[Term]:
    if len({motion.hand for motion in moved}) == 1:
        return []
    found = [Term("two hands", weights.TWO_HANDS.value, "both hands move at once")]
    left, right = (_direction(moved, hand) for hand in ("left", "right"))
    if left * right < 0:
        words = "one hand goes down while the other goes up"
        found.append(Term("against", weights.AGAINST.value, words))
    return found


def _direction(moved: tuple[Motion, ...], hand: str) -> int:
    """Fingers of a hand that go down, less those that go up."""
    own = [motion for motion in moved if motion.is_finger and motion.hand == hand]
    return sum((m.way in GOES_DOWN) - (m.way in GOES_UP) for m in own)


def _named(keys: Iterable[Key]) -> str:
    return listed(key.words for key in keys)
