"""The cost of every move of a run, by the cheapest way through its fingerings.

Problem.  Many notes have several fingerings, and which is best depends on the
notes around: side C next to B, the left little finger before a note that needs
the right one, fourth position on the way out.  So the fingerings of a run are
chosen together.

Method.  Dynamic programming over the run: for every fingering of a note the
cheapest way to arrive there, from every fingering of the note before.  On the
trombone the state also says which way the slide last went, since turning back
costs.  Of equal ways the one with earlier fingerings of the table wins, so that
the result is always the same.

Conventions.  Costs have no dimension; 1 is one index finger that moves
(weights.py).  A move costs the same in both directions, and a run the same
backwards.  On an instrument with fingerings a chord is played by its highest
note; elsewhere the nearest tones of two chords are compared.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from typing import Final

from drills.effort.interval import interval_terms, nearest, outside_terms
from drills.effort.slide import slide_terms, travel, turn_term
from drills.effort.terms import Term, total
from drills.effort.valves import valve_terms
from drills.effort.woodwind import woodwind_terms
from drills.instruments.fingering import Fingering, Table, load_table
from drills.instruments.judged import EffortInstrument, instrument_for
from drills.music.notes import Note
from drills.music.pitch import Pitch, Tone
from drills.places.spots import Attack

__all__ = ["EffortInstrument", "Move", "cost_of_run", "cost_of_tones", "instrument_for"]

Chord = tuple[Tone, ...]
_Terms = Callable[
    [Table, tuple[int, int], tuple[Fingering, Fingering], tuple[str, str]], tuple[Term, ...]
]
_BY_KIND: Final[dict[str, _Terms]] = {
    "keys": woodwind_terms,
    "valves": valve_terms,
    "slide": slide_terms,
}


@dataclass(frozen=True, slots=True)
class Move:
    """From one note to the next, with the reasons for its cost."""

    first: Tone
    second: Tone
    cost: float
    """In fingers: 1 is one index finger that opens or closes one key."""
    terms: tuple[Term, ...]
    """Every reason with its share; they add up to the cost."""
    fingerings: tuple[Fingering | None, Fingering | None] = (None, None)
    """Those chosen; None where there is no table or it lacks the note."""
    through: tuple[Tone, ...] = ()
    """Grace notes on the way."""

    def effort(self, seconds: float) -> float:
        """Fingers a second where it has so many seconds."""
        return self.cost / seconds

    @property
    def words(self) -> str:
        """The reasons for reading, the weightiest first."""
        ordered = sorted(self.terms, key=lambda term: -term.value)
        return "; ".join(term.words for term in ordered)


def cost_of_run(
    attacks: Sequence[Attack | Note], instrument: EffortInstrument, *, alternates: bool = True
) -> tuple[Move, ...]:
    """The moves between successive attacks: one fewer than the attacks.

    Grace notes are played on the way, so their moves are part of the move they
    lie in.  With ``alternates`` False only standard fingerings are taken.  A note
    without a tie stands for its own attack.
    """
    chords: list[Chord] = []
    ends = []
    for attack in attacks:
        chords += [grace.tones for grace in attack.graces]
        ends.append(len(chords))
        chords.append(attack.tones)
        chords += [grace.tones for grace in attack.graces_after]
    moves = _cheapest(chords, instrument, alternates=alternates)
    return tuple(_joined(moves[start:end]) for start, end in pairwise(ends))


def cost_of_tones(
    tones: Sequence[Tone], instrument: EffortInstrument, *, alternates: bool = True
) -> tuple[Move, ...]:
    """The same for plain notes: one move fewer than notes."""
    return tuple(_cheapest([(tone,) for tone in tones], instrument, alternates=alternates))


def _joined(moves: Sequence[Move]) -> Move:
    """One move with grace notes on the way."""
    if len(moves) == 1:
        return moves[0]
    terms = tuple(term for move in moves for term in move.terms)
    return Move(
        moves[0].first,
        moves[-1].second,
        total(terms),
        terms,
        (moves[0].fingerings[0], moves[-1].fingerings[1]),
        tuple(move.second for move in moves[:-1]),
    )


# --- the cheapest way ----------------------------------------------------------

_State = tuple[int, int]
"""Number of the fingering, and which way the slide last went: -1, 0 or 1."""


def _cheapest(
    chords: Sequence[Chord], instrument: EffortInstrument, *, alternates: bool
) -> list[Move]:
    if len(chords) < 2:
        return []
    steps = list(_steps(instrument, chords))
    count = len(steps[0].moves) if alternates else 1
    best: dict[_State, float] = {(number, 0): 0.0 for number in range(count)}
    back: list[dict[_State, _State]] = []
    for step in steps:
        best, came_from = _advance(step, best, alternates=alternates)
        back.append(came_from)
    state = min(best, key=lambda found: (round(best[found], 6), found))
    return _followed_back(steps, back, state)


def _steps(instrument: EffortInstrument, chords: Sequence[Chord]) -> Iterator[_Step]:
    """All ways from each chord to the next; tones that are one object are not looked up twice."""
    known: dict[tuple[int, ...], _Step] = {}
    for a, b in pairwise(chords):
        same = (*map(id, a), 0, *map(id, b))
        step = known.get(same)
        if step is None:
            step = known[same] = _between(instrument, a, b)
        yield step


@dataclass(frozen=True, slots=True)
class _Step:
    """All ways from one note to the next."""

    moves: tuple[tuple[Move, ...], ...]
    """By the fingering of the first note, then of the second."""
    ways: tuple[tuple[int, ...], ...]
    """Which way the slide goes in each."""

    def row(self, state: _State) -> int:
        """The row of a state; where the way on asks for no fingering, whichever was chosen."""
        return state[0] if len(self.moves) > 1 else 0


def _advance(
    step: _Step, best: dict[_State, float], *, alternates: bool
) -> tuple[dict[_State, float], dict[_State, _State]]:
    """Costs of the states after a step, and where each came from."""
    costs: dict[_State, float] = {}
    came_from: dict[_State, _State] = {}
    for state, before in best.items():
        last = state[1]
        row, ways = step.moves[step.row(state)], step.ways[step.row(state)]
        for index in range(len(row) if alternates else 1):
            way = ways[index]
            cost = before + row[index].cost + (_TURN.value if last * way < 0 else 0.0)
            after = (index, way)
            if after not in costs or cost < costs[after] - 1e-9:
                costs[after] = cost
                came_from[after] = state
    return costs, came_from


def _followed_back(
    steps: Sequence[_Step], back: Sequence[dict[_State, _State]], state: _State
) -> list[Move]:
    found = []
    for step, came_from in zip(reversed(steps), reversed(back), strict=True):
        before = came_from[state]
        move = step.moves[step.row(before)][state[0]]
        if before[1] * state[1] < 0:
            terms = (*move.terms, _TURN)
            move = replace(move, terms=terms, cost=total(terms))
        found.append(move)
        state = before
    return found[::-1]


_TURN: Final = turn_term()


# --- one pair of notes ---------------------------------------------------------


@lru_cache(maxsize=16384)
def _between(instrument: EffortInstrument, first: Chord, second: Chord) -> _Step:
    """All ways from one chord to the next; music repeats itself, so they are kept."""
    if not instrument.table:
        a, b = nearest(first, second)
        return _single(Move(a, b, 0.0, interval_terms(a, b, instrument.low, instrument.high)))
    a, b = _highest(first), _highest(second)
    if not (isinstance(a, Pitch) and isinstance(b, Pitch)):
        return _single(Move(a, b, 0.0, interval_terms(a, b)))
    table = load_table(instrument.table)
    choices = [_fingerings(table, instrument.shift, tone) for tone in (a, b)]
    moves = tuple(
        tuple(_move(table, instrument.shift, (a, b), (one, other)) for other in choices[1])
        for one in choices[0]
    )
    return _Step(moves, tuple(tuple(_way(table, move) for move in row) for row in moves))


def _single(move: Move) -> _Step:
    return _Step(((replace(move, cost=total(move.terms)),),), ((0,),))


def _highest(chord: Chord) -> Tone:
    pitches = [tone for tone in chord if isinstance(tone, Pitch)]
    return max(pitches, key=lambda pitch: pitch.midi) if pitches else chord[0]


def _fingerings(table: Table, shift: int, tone: Pitch) -> tuple[Fingering | None, ...]:
    """All fingerings of a written note; one None where the table has none."""
    midi = tone.midi + shift
    return table.notes.get(int(midi), (None,)) if midi.denominator == 1 else (None,)


def _move(
    table: Table,
    shift: int,
    tones: tuple[Pitch, Pitch],
    fingerings: tuple[Fingering | None, Fingering | None],
) -> Move:
    first, second = fingerings
    if first is None or second is None:
        outside = tuple(t for t, f in zip(tones, fingerings, strict=True) if f is None)
        terms = outside_terms(*tones, outside)
    else:
        notes = (int(tones[0].midi) + shift, int(tones[1].midi) + shift)
        names = (str(tones[0]), str(tones[1]))
        terms = _BY_KIND[table.kind](table, notes, (first, second), names)
    return Move(*tones, total(terms), terms, fingerings)


def _way(table: Table, move: Move) -> int:
    """Which way the slide goes: 1 out, -1 in, 0 where it rests or there is none."""
    first, second = move.fingerings
    if table.kind != "slide" or first is None or second is None:
        return 0
    far = travel(table, (first, second))
    return (far > 0) - (far < 0)
