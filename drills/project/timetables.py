"""On which days a passage is played, and what that is worth: the columns of the plan.

Model.  A passage is some whole numbers of the metronome below its goal.  A day with it
raises it by some numbers (Passage.gain_on: fewer the more days there were), never past what is
aimed at; the first day takes rules.FIRST_SLOTS blocks and finds out where it stands.
What was reached holds for a while after each day with it: rules.FIRST_HOLD days after the
first, twice as long after every further one, at most rules.MOST_HOLD; after that a number is
lost for every further stretch of that length, never more than half of the way.  A day on
which it stands below its goal takes rules.VISIT_SLOTS blocks, fewer where fewer will do, any
other rules.KEEP_SLOTS.

From this follows what is wanted without a rule for each: work on days close together while
a passage climbs, and growing gaps once it is there.

Conventions.  Days are indices into the days that can be worked on; ``dates`` are counted
in days from the first.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations
from math import ceil, erf, hypot, sqrt
from typing import Final

from drills.project.contacts import Contact, Situation, Timetable
from drills.project.passages import Passage, State
from drills.project.rules import (
    FIRST_HOLD,
    FIRST_SLOTS,
    IN_HAND,
    KEEP_SLOTS,
    MOST_HOLD,
    VISIT_SLOTS,
)

ALL_SUBSETS: Final = 7
"""Up to so many days every choice of days is weighed; beyond, those of the family below."""
FEW_STARTS: Final = 6
"""First days that are weighed for each passage where there are more days than that."""
MOST_CLIMB: Final = 40
"""Days on which a passage climbs, at most."""
STRIDES: Final = (1, 2, 3)
"""Days from one to the next while a passage climbs."""

NEARLY: Final = 0.25
"""Numbers to go that count as none."""
SPREAD: Final = 1.0
"""Numbers by which a day is better or worse than expected (standard deviation)."""
DRIFT: Final = 0.4
"""Part of what is foretold by which it may be off."""
REACHED: Final = 1000
"""Worth of a passage that is certain to be at its tempo in the end."""
PROGRESS: Final = 150
"""Worth of the whole way, and of a part of it by the square root: beginning something counts for
more than going on with what will not get there."""
WAITING: Final = 40.0
"""Lost for every day that a passage waits to be taken up, twice that at a hardness of 1: what
is known of a passage early can still be acted upon, and hard ones come first."""
EFFORT: Final = 0.2
"""Lost for every block: what is not needed is not played."""


def hold(contacts: int) -> int:
    """Days for which what was reached holds after so many days with a passage."""
    return int(min(MOST_HOLD, FIRST_HOLD * 2 ** max(0, min(contacts, 10) - 1)))


def lost(gap: int, contacts: int, raised_so_far: float) -> int:
    """Numbers that are lost in ``gap`` days, never more than half of what was raised."""
    held = hold(contacts)
    return min(max(0, ceil((gap - held) / held)), max(0, int(raised_so_far / 2)))


def make_timetable(
    passage: Passage,
    days: Sequence[int],
    situation: Situation,
    short: frozenset[int] = frozenset(),
) -> Timetable:
    """What playing a passage on ``days`` brings, by the model; one block on those in ``short``."""
    to_go, count = float(passage.to_go), len(passage.played_on)
    whole = passage.whole_way
    if passage.state is State.READY:
        count = max(count, 3)
    last = _last_played(passage, situation)
    contacts = []
    for day in days:
        when = situation.dates[day]
        if count:
            to_go += lost(when - last, count, whole - to_go)
        most = KEEP_SLOTS if day in short else situation.visit_slots
        slots = _slots(passage, to_go, count, most)
        after = max(0.0, to_go - passage.gain_on(count, slots))
        after = 0.0 if after < NEARLY else after
        contacts.append(Contact(day, slots, to_go, after, count == 0))
        to_go, count, last = after, count + 1, when
    if count:
        to_go += lost(situation.end - last, count, whole - to_go)
    return Timetable(
        tuple(contacts), to_go, _worth(passage, contacts, to_go, situation.dates), short
    )


def _slots(passage: Passage, to_go: float, days: int, most: int) -> int:
    """Blocks of a day with a passage that was played on so many days before."""
    if not days:
        return FIRST_SLOTS
    fewer = range(KEEP_SLOTS, most)
    return next((n for n in fewer if to_go - passage.gain_on(days, n) < NEARLY), most)


def _last_played(passage: Passage, situation: Situation) -> int:
    """When it was last played, in days from today; what is ready by word was ready yesterday."""
    if not passage.played_on:
        return -1
    return min(-1, (passage.played_on[-1] - situation.today).days)


def _worth(
    passage: Passage, contacts: Sequence[Contact], left: float, dates: Sequence[int]
) -> float:
    """The share of a passage in the objective of the plan."""
    worth = REACHED * chance(passage.to_go, left) + PROGRESS * sqrt(passage.place_in_way(left))
    waiting = dates[contacts[0].day] * WAITING * (1 + passage.hard) if contacts else 0.0
    return float(passage.weight) * worth - waiting - EFFORT * sum(one.slots for one in contacts)


def chance(to_go: float, left: float) -> float:
    """How likely a passage is at its tempo that has so much to go now and is expected to have
    ``left`` to go in the end: of a normal distribution that is the wider the more is foretold."""
    off = hypot(SPREAD, DRIFT * max(0.0, to_go - left))
    return 0.5 * (1 + erf((IN_HAND - left) / off / sqrt(2)))


def timetables(passage: Passage, situation: Situation, turn: int = 0) -> tuple[Timetable, ...]:
    """Timetables worth weighing, the empty one first; no two have the same days.

    Every choice of days where there are few days; there, one that is worth no more than
    another that takes no more blocks on any day is left out.  With more days a family whose
    first days are spread out; ``turn`` tells one passage from the next, so that all days are
    tried by some of them.
    """
    count = len(situation.dates)
    if count <= ALL_SUBSETS:
        first = _open_days(passage, situation)
        every = [days for size in range(count + 1) for days in combinations(range(count), size)]
        allowed = [days for days in every if not days or days[0] < first]
        return _undominated([make_timetable(passage, days, situation) for days in allowed])
    starts = _open_days(passage, situation)
    apart = -(-starts // FEW_STARTS)
    return family(passage, situation, range(turn % max(1, apart), starts, max(1, apart)))


def family(
    passage: Passage,
    situation: Situation,
    starts: Iterable[int] | None = None,
    free: Sequence[float] | None = None,
) -> tuple[Timetable, ...]:
    """Timetables that begin on some days, all open ones unless given; the empty one first.

    They climb in even strides, and come back before anything is lost; ``free`` are the blocks
    of each day that may be used for coming back.
    """
    days: dict[tuple[int, ...], None] = {(): None}
    for start in range(_open_days(passage, situation)) if starts is None else starts:
        days.update(dict.fromkeys(_from(passage, situation, start, free)))
    return tuple(make_timetable(passage, own, situation) for own in days)


def may_begin(passage: Passage, day: int, situation: Situation) -> bool:
    """Whether a passage may be taken up on a day, if it was not before."""
    return day < _open_days(passage, situation)


def _open_days(passage: Passage, situation: Situation) -> int:
    """On how many of the days a passage may be taken up for the first time in this plan."""
    if passage.state is State.LEFT:
        return 0
    return len(situation.dates) if passage.is_begun else situation.open_until


def _from(
    passage: Passage, situation: Situation, start: int, free: Sequence[float] | None
) -> Iterator[tuple[int, ...]]:
    """Choices of days that begin with one."""
    dates, needed = situation.dates, _days_needed(passage)
    counts = {1, needed // 2, needed - 1, needed, needed + 1}
    for stride in STRIDES:
        climb = [start]
        while len(climb) <= needed:
            following = _on_or_after(dates, dates[climb[-1]] + stride)
            if following is None:
                break
            climb.append(following)
        for count in sorted({min(one, len(climb)) for one in counts if one > 0}):
            yield tuple(climb[:count])
            yield (*climb[:count], *_coming_back(passage, situation, climb[count - 1], count, free))


def _days_needed(passage: Passage) -> int:
    """Days until the goal where nothing is lost, 1 to MOST_CLIMB."""
    to_go, days = float(passage.to_go), len(passage.played_on)
    for needed in range(1, MOST_CLIMB):
        to_go -= passage.gain_on(days, VISIT_SLOTS)
        days += 1
        if to_go < NEARLY:
            return needed
    return MOST_CLIMB


def _coming_back(
    passage: Passage, situation: Situation, last: int, count: int, free: Sequence[float] | None
) -> Iterator[int]:
    """Days after growing gaps, the latest on which nothing is lost yet, as far as they are needed.

    Where it is known what is ``free``, full days are passed over for earlier ones.
    """
    contacts, dates = len(passage.played_on) + count, situation.dates
    while situation.end - dates[last] > hold(contacts):
        following = _on_or_before(dates, dates[last] + hold(contacts), last, free)
        if following is None:
            return
        yield following
        last, contacts = following, contacts + 1


def _on_or_after(dates: Sequence[int], when: int) -> int | None:
    found = bisect_left(dates, when)
    return found if found < len(dates) else None


def _on_or_before(
    dates: Sequence[int], when: int, after: int, free: Sequence[float] | None
) -> int | None:
    """The last day up to ``when``, else the first one after it; always later than ``after``."""
    beyond = max(after + 1, bisect_right(dates, when))
    tried = (*range(beyond - 1, after, -1), *range(beyond, len(dates)))
    return next((n for n in tried if free is None or free[n] >= KEEP_SLOTS), None)


def _undominated(found: Sequence[Timetable]) -> tuple[Timetable, ...]:
    """Without those beside which another is worth as much and asks for no more on any day."""
    loads = [{one.day: one.slots for one in table.contacts} for table in found]
    order = sorted(range(len(found)), key=lambda n: (-found[n].worth, found[n].slots, n))
    kept: list[int] = []
    for index in order:
        load = loads[index]
        if not any(
            all(load.get(day, 0) >= slots for day, slots in loads[other].items()) for other in kept
        ):
            kept.append(index)
    return tuple(found[index] for index in sorted(kept))
