"""A page that fits an evening: which drills, how often, on how many numbers.

Problem.  Everything that can be made of one bar of sixteenths takes more than an hour as
printed.  A player has fifteen minutes and one page.

Method.  Drills are taken in the order of their use (candidates.py) while the time, at the
usual repetitions, and the paper hold them.  Then numbers and repetitions are raised or
lowered, the most useful block first, until the minutes are what was asked for.  Rests
between the blocks are part of the time.  What had no room is told.

Conventions.  Seconds are exact.  The numbers of repetitions and rungs are our own choice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from drills.effort.fingers import Diagram
from drills.sheets.blocks import BREAK, Block, BlockKind, LeftOut, Plan, seconds_of
from drills.sheets.candidates import Candidate, candidates
from drills.sheets.cells import Order
from drills.sheets.drill import Drill
from drills.sheets.given import Given
from drills.sheets.telling import ORDERS, instruction, minute_words

Paper = Callable[[Sequence[Block], Plan], bool]
"""True where the blocks, and what is said of them, fit on the pages that are wanted."""

_USUAL: Final = {
    BlockKind.BEGIN: (5, 5),
    BlockKind.BEATS: (4, 4),
    BlockKind.JOINS: (3, 3),
    BlockKind.CELLS: (4, 3),
    BlockKind.RHYTHM: (3, 3),
    BlockKind.LINE: (6, 3),
}
"""Numbers of the ladder, and repetitions, at which drills are chosen."""
_LEAST: Final = (3, 2)
_MOST: Final = (8, 5)
_SPARE: Final = Fraction(97, 100)
"""Of the time, up to which drills are chosen and raised."""
_NEAR: Final = Fraction(1, 10)
"""Minutes that differ by less are what was asked for."""
_TRIES: Final = 24
"""Drills in a row that do not fit before no more are tried."""
_RAISED: Final = (
    BlockKind.LINE,
    BlockKind.BEGIN,
    BlockKind.BEATS,
    BlockKind.RHYTHM,
    BlockKind.CELLS,
    BlockKind.JOINS,
)
"""Whose numbers and repetitions are raised first, and lowered last."""


def everything_fits(_blocks: Sequence[Block], _plan: Plan) -> bool:
    """The Paper of who prints nothing."""
    return True


def planned(
    given: Given, fixed: Sequence[Block], minutes: Fraction, paper: Paper = everything_fits
) -> tuple[tuple[Block, ...], Plan]:
    """The blocks of a sheet for ``minutes``, and what was left out.

    ``fixed`` are the line as written and the chords, which every sheet has.
    """
    possible = candidates(given)
    choosing = _Choosing(given, tuple(fixed), minutes * 60, paper)
    chosen, full = choosing.take(possible)
    while True:
        blocks = choosing.balanced(chosen)
        spent = seconds_of(blocks) + breaks_of(blocks)
        plan = Plan(
            minutes=minutes,
            breaks=breaks_of(blocks),
            left_out=tuple(_left_out(one for one in possible if one not in chosen)),
            why=_why(spent, minutes, paper_full=full),
        )
        if len(chosen) <= 1 or paper(blocks, plan):
            return blocks, plan
        chosen, full = chosen[:-1], True  # more is said at the foot than was thought


def breaks_of(blocks: Sequence[Block]) -> Fraction:
    """The rests between blocks."""
    return BREAK * max(len(blocks) - 1, 0)


@dataclass(frozen=True, slots=True)
class _Choosing:
    given: Given
    fixed: tuple[Block, ...]
    budget: Fraction
    paper: Paper
    made: dict[tuple[int, ...], Block] = field(default_factory=dict)
    """Blocks of candidates, by their identities: a try changes one of many."""
    lasting: dict[int, Fraction] = field(default_factory=dict)
    """Seconds of those blocks and of the fixed ones, by identity."""

    def take(self, possible: Sequence[Candidate]) -> tuple[list[Candidate], bool]:
        """What is taken, and whether it was the paper that had no room for more."""
        chosen: list[Candidate] = []
        misses, full = 0, False
        for one in possible:
            blocks = self.blocks([*chosen, one])
            if self._lasts(blocks) + breaks_of(blocks) > self.budget * _SPARE:
                misses += 1
            elif not self.paper(blocks, self.plan(blocks)):
                misses, full = misses + 1, True
            else:
                chosen.append(one)
                misses = 0
                continue
            if misses >= _TRIES:
                break
        return chosen or list(possible[:1]), full

    def plan(self, blocks: Sequence[Block]) -> Plan:
        """What is known of the plan while drills are chosen."""
        return Plan(self.budget / 60, breaks_of(blocks))

    def blocks(self, chosen: Iterable[Candidate]) -> tuple[Block, ...]:
        """The chosen drills in their blocks, with the usual numbers and repetitions."""
        groups: dict[str, list[Candidate]] = {}
        for one in chosen:
            groups.setdefault(one.key, []).append(one)
        made = [self._made(group) for group in groups.values()]
        order = list(BlockKind)
        fixed = [self._usual(block) for block in self.fixed]
        return tuple(
            sorted([*made, *fixed], key=lambda block: (order.index(block.kind), _size(block)))
        )

    def _made(self, group: Sequence[Candidate]) -> Block:
        """The block of a group of candidates, which outlive the choosing."""
        key = tuple(map(id, group))
        if key not in self.made:
            self.made[key] = self._block(group)
        return self.made[key]

    def _usual(self, block: Block) -> Block:
        """A fixed block with the usual numbers and repetitions."""
        key = (id(block),)
        if key not in self.made:
            self.made[key] = self._set(block, *_USUAL.get(block.kind, (1, 1)))
        return self.made[key]

    def _lasts(self, blocks: Sequence[Block]) -> Fraction:
        """Seconds of blocks that are kept in ``made``."""
        for block in blocks:
            if id(block) not in self.lasting:
                self.lasting[id(block)] = block.seconds
        return sum((self.lasting[id(block)] for block in blocks), Fraction(0))

    def _block(self, group: Sequence[Candidate]) -> Block:
        first = group[0]
        drills = [one.drill for one in group]
        hardest_first = first.kind is BlockKind.BEGIN
        order = self._ordered(first, drills)
        rungs, repetitions = _USUAL[first.kind]
        return Block(
            first.key,
            first.kind,
            first.title,
            instruction(repetitions, order),
            tuple(drills),
            self.given.ladder(drills, rungs, repetitions),
            fingerings=self._fingerings(drills) if hardest_first else (),
            diagrams=self._diagrams(drills) if hardest_first else (),
        )

    def _ordered(self, first: Candidate, drills: list[Drill]) -> str:
        """Put the drills of a block into their order, and say which if not the music's."""
        asked = self.given.choices.order
        if first.kind is BlockKind.BEGIN or (first.kind, asked) == (BlockKind.CELLS, Order.HARDEST):
            drills.sort(key=self._hardness, reverse=True)
            return ORDERS[Order.HARDEST] if len(drills) > 1 else ""
        if asked is Order.GROW and first.kind is BlockKind.CELLS:
            return ""
        back = (first.kind, asked) == (BlockKind.CELLS, Order.BACK)
        drills.sort(key=lambda drill: drill.ranges[0], reverse=back)
        return ORDERS[Order.BACK] if back else ""

    def _hardness(self, drill: Drill) -> float:
        first, last = drill.ranges[0]
        return max((self.given.rate(number) for number in range(first + 1, last + 1)), default=0.0)

    def _fingerings(self, drills: Sequence[Drill]) -> tuple[str, ...]:
        return tuple(self.given.fingering(drill.ranges[0][1]) for drill in drills)

    def _diagrams(self, drills: Sequence[Drill]) -> tuple[tuple[Diagram, ...], ...]:
        if not self.given.choices.fingerings:
            return ()
        return tuple(self.given.diagrams(drill.ranges[0][1]) for drill in drills)

    def _set(self, block: Block, rungs: int, repetitions: int) -> Block:
        """A block with so many numbers and repetitions; chords have one of each."""
        if block.kind is BlockKind.CHORDS:
            return block
        before = block.ladder.repetitions
        if block.kind is BlockKind.LINE:
            ladder = block.ladder.thinned(min(rungs, self.given.choices.rungs))
            ladder = replace(ladder, repetitions=repetitions)
        else:
            ladder = self.given.ladder(block.drills, rungs, repetitions)
        words = block.instruction.replace(instruction(before), instruction(repetitions))
        return replace(block, ladder=ladder, instruction=words)

    def balanced(self, chosen: Sequence[Candidate]) -> tuple[Block, ...]:
        """The chosen drills with the numbers and repetitions that fill the time."""
        blocks = list(self.blocks(chosen))
        lines = {block.key: block for block in self.fixed}
        settings = {block.key: _USUAL.get(block.kind, (1, 1)) for block in blocks}

        lasting = [block.seconds for block in blocks]

        def spent() -> Fraction:
            return sum(lasting, breaks_of(blocks))

        def try_all(step: int, *, needed: Callable[[], bool]) -> bool:
            changed = False
            kinds = _RAISED if step > 0 else tuple(reversed(_RAISED))
            for kind in kinds:
                for place, block in enumerate(blocks):
                    if block.kind is not kind or not needed():
                        continue
                    for after in _steps(settings[block.key], step):
                        old, lasted = blocks[place], lasting[place]
                        blocks[place] = self._set(lines.get(block.key, old), *after)
                        lasting[place] = blocks[place].seconds
                        if step < 0 or spent() <= self.budget:
                            settings[block.key], changed = after, True
                            break
                        blocks[place], lasting[place] = old, lasted
            return changed

        while spent() > self.budget and try_all(-1, needed=lambda: spent() > self.budget):
            pass
        while spent() < self.budget * _SPARE and try_all(
            1, needed=lambda: spent() < self.budget * _SPARE
        ):
            pass
        return tuple(blocks)


def _steps(now: tuple[int, int], step: int) -> list[tuple[int, int]]:
    """What a block's numbers and repetitions may become: whichever is behind goes first."""
    rungs, repetitions = now
    moved = [(rungs + step, repetitions), (rungs, repetitions + step)]
    if repetitions * _MOST[0] < rungs * _MOST[1]:
        moved.reverse()
    return [(a, b) for a, b in moved if _LEAST[0] <= a <= _MOST[0] and _LEAST[1] <= b <= _MOST[1]]


def _size(block: Block) -> int:
    """Cells stand by their size."""
    return block.drills[0].size if block.kind is BlockKind.CELLS else 0


def _left_out(left: Iterable[Candidate]) -> Iterable[LeftOut]:
    groups: dict[str, list[Candidate]] = {}
    for one in left:
        groups.setdefault(one.key, []).append(one)
    return (LeftOut(key, group[0].title, len(group)) for key, group in groups.items())


def _why(spent: Fraction, minutes: Fraction, *, paper_full: bool) -> str:
    """Why the minutes are not what was asked for."""
    asked = minutes * 60
    told = minute_words(Fraction(round(spent / 30), 2))
    if spent > asked * (1 + _NEAR):
        return f"The least that makes sense here takes {told}."
    if spent >= asked * (1 - _NEAR):
        return ""
    if paper_full:
        return f"The paper holds {told} of practice."
    return f"There is no more to practise here than {told}."
