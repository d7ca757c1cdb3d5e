"""One day in order: which block of which passage, from which number to which, and the breaks.

Problem.  The plan says who plays today and for how many blocks; in what order?  Passages take
turns, no passage follows itself where another can come between, the day begins and ends with
its main passage (the one with most blocks, of those the hardest), the others come hard ones
first, and a break comes after rules.PLAY minutes at the latest.

Method.  The row is filled from the front.  Each place goes to the passage with most blocks
left among those after which the rest can still be arranged: of n blocks left, one passage can
hold every other place and no more.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Final

from drills.project.contacts import Contact
from drills.project.days import SLOTS_BEFORE_BREAK, Day
from drills.project.passages import Block, Passage, Role
from drills.project.rules import BREAK, SLOT, WARM_UP
from drills.project.scale import number_at, place, raised

SHORTEST: Final = 1
"""Minutes of a block on the light day."""


@dataclass(frozen=True, slots=True)
class Turn:
    """A passage on a day."""

    passage: Passage
    contact: Contact


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to play."""

    number: int
    """From 1, in the order of the day."""
    passage: Passage
    block: Block
    low: Fraction
    """The number to begin with."""
    high: Fraction
    """The number to stop at, at least ``low``."""
    minutes: int
    rest: int = 0
    """Minutes of the break that follows."""


def session(turns: Sequence[Turn], day: Day, *, in_order: bool = False) -> tuple[Item, ...]:
    """The items of a day; ``in_order`` keeps to the order of the programme.

    ``turns`` are in the order of the programme, and their blocks fit into the day.
    """
    if not turns:
        return ()
    parts = [list(_blocks(turn)) for turn in turns]
    counts = [len(own) for own in parts]
    if in_order:
        row = [index for index, count in enumerate(counts) for _ in range(count)]
    else:
        row = alternating(counts, [-turn.passage.hard for turn in turns])
    found = []
    for number, index in enumerate(row, 1):
        block, low, high = parts[index].pop(0)
        found.append(
            Item(
                number,
                turns[index].passage,
                block,
                low,
                high,
                day.slot_minutes,
                _rest_after(number, len(row)),
            )
        )
    return tuple(found)


def light_session(ends: Sequence[tuple[Passage, float]], day: Day) -> tuple[Item, ...]:
    """Everything once in the order of the programme, each at the number that it has come to.

    ``ends`` gives each passage with its numbers to go.  Blocks get shorter where there are
    many, down to SHORTEST minutes; beyond that those that were played longest ago come.
    """
    if not ends:
        return ()
    length = next(
        (n for n in range(SLOT, SHORTEST, -1) if _light_minutes(len(ends), n) <= day.minutes),
        min(SHORTEST, day.minutes),
    )
    room = max(n for n in range(len(ends) + 1) if _light_minutes(n, length) <= day.minutes)
    waiting = sorted(
        range(len(ends)),
        key=lambda n: (ends[n][0].played_on[-1:] or (day.date,), -ends[n][0].weight, n),
    )
    taken = sorted(waiting[:room])
    found = []
    for number, index in enumerate(taken, 1):
        passage, to_go = ends[index]
        high = raised(passage.top, -ceil(to_go), passage.top)
        low = min(high, raised(high, -WARM_UP, passage.top))
        rest = (
            BREAK
            if number < len(taken) and number % (SLOTS_BEFORE_BREAK * SLOT // length) == 0
            else 0
        )
        found.append(Item(number, passage, _whole(passage), low, high, length, rest))
    return tuple(found)


def _light_minutes(count: int, length: int) -> int:
    before_break = SLOTS_BEFORE_BREAK * SLOT // length
    return count * length + BREAK * (max(0, count - 1) // before_break)


def _rest_after(number: int, count: int) -> int:
    return BREAK if number < count and number % SLOTS_BEFORE_BREAK == 0 else 0


# --- the order -------------------------------------------------------------------


def alternating(counts: Sequence[int], rank: Sequence[float]) -> list[int]:
    """A row in which index i stands ``counts[i]`` times, equals apart where that can be.

    It begins with the index of most places, of those the one of lowest rank, and ends with
    it where the others can stay apart between; ties go to the lower rank, then to the index.
    """
    left = list(counts)
    main = min(range(len(left)), key=lambda n: (-left[n], rank[n], n))
    row = [main]
    left[main] -= 1
    rest = [count - (n == main) for n, count in enumerate(left)]
    closing = left[main] > 0 and _can_be_apart(rest, main, main)
    left = rest if closing else left
    last = main if closing else None
    while any(left):
        row.append(_following(left, row[-1], last, rank))
        left[row[-1]] -= 1
    return [*row, main] if closing else row


def _following(left: Sequence[int], before: int, last: int | None, rank: Sequence[float]) -> int:
    """Who comes next: most blocks left, then lowest rank, if the rest can still be apart."""
    order = sorted((n for n in range(len(left)) if left[n]), key=lambda n: (-left[n], rank[n], n))
    apart = [n for n in order if n != before]
    for index in apart:
        rest = [count - (n == index) for n, count in enumerate(left)]
        if _can_be_apart(rest, index, last):
            return index
    return (apart or order)[0]


def _can_be_apart(left: Sequence[int], before: int, last: int | None) -> bool:
    """Whether a row can follow ``before`` and precede ``last`` with no equals side by side."""
    places = sum(left)
    if not places:
        return before != last
    return all(
        count <= (places - (index == before) - (index == last) + 1) // 2
        for index, count in enumerate(left)
    )


# --- blocks and numbers ------------------------------------------------------------


def _blocks(turn: Turn) -> Iterator[tuple[Block, Fraction, Fraction]]:
    """The blocks of a passage on a day with their numbers, from slow to fast.

    A first look goes from the foot of the ladder to wherever notes begin to fail.
    """
    passage, contact = turn.passage, turn.contact
    reached = raised(passage.top, -ceil(contact.before), passage.top)
    target = raised(passage.top, -ceil(contact.after), passage.top)
    count = contact.slots
    if not passage.is_begun and contact.is_first:
        low = number_at(place(passage.foot))
        yield from ((_whole(passage), low, max(low, passage.top)) for _ in range(count))
        return
    if count == 1:
        block = _whole(passage) if not contact.before else _chosen_blocks(passage, contact, 2)[0]
        yield block, min(target, raised(reached, -WARM_UP, passage.top)), target
        return
    foot = number_at(place(passage.foot))
    start = max(raised(reached, -WARM_UP, passage.top), min(foot, reached))
    span = place(target) - place(start)
    edges = [raised(start, round(span * n / count), target) for n in range(count)] + [target]
    for number, block in enumerate(_chosen_blocks(passage, contact, count)):
        yield block, edges[number], max(edges[number], edges[number + 1])


def _chosen_blocks(passage: Passage, contact: Contact, count: int) -> tuple[Block, ...]:
    """Blocks for a climbing day: from the moves on at first, nearer the whole later.

    The last one is always the spot as it stands, so that every day ends with the music.
    """
    parts = [block for block in passage.blocks if block.role is not Role.SPOT] or [_whole(passage)]
    far = passage.place_in_way(contact.before)
    first = min(len(parts) - 1, int(far * len(parts)))
    window = parts[first:] or parts
    picked = [
        window[min(len(window) - 1, n * len(window) // (count - 1))] for n in range(count - 1)
    ]
    return (*picked, _whole(passage))


def _whole(passage: Passage) -> Block:
    """The spot as it stands, or what comes nearest to it."""
    whole = [block for block in passage.blocks if block.role is Role.SPOT]
    return whole[-1] if whole else passage.blocks[-1]
