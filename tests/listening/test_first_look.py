"""A cheap first look finds the drill that sounds among many."""

from __future__ import annotations

import numpy as np

from drills.listening.first_look import FOLLOWED, likeliest
from drills.listening.wanted import Wanted, WantedNote
from tests.listening.takes import RATE, Computed, Manner, Place, Written, make_take

KEYS = (60, 62, 64, 65, 67, 69, 71, 72, 74, 76, 77, 79)


def cell(first: int, size: int, last: float) -> Wanted:
    """Eighths, the last one held."""
    keys = KEYS[first : first + size]
    return Wanted(
        tuple(WantedNote(n / 2, last if n == size - 1 else 0.5, key) for n, key in enumerate(keys)),
        0.6,
    )


def test_the_drill_is_among_the_few() -> None:
    some = [cell(n, size, 1.0) for size in (2, 3, 4) for n in range(13 - size)]
    chosen = 15
    notes = some[chosen].notes
    end = np.ceil(notes[-1].at + notes[-1].length)
    written = tuple(Written(n.at + k * end, n.length, n.key) for k in range(2) for n in notes)
    take = make_take(60_002, Computed(), Manner(bpm=132), Place(noise=30.0), written=written)
    found = likeliest(take.samples.astype(np.float32), RATE, some)
    assert len(found) == FOLLOWED
    assert chosen in found


def test_all_are_followed_where_nothing_speaks_for_one() -> None:
    some = [cell(n, 2, 1.0) for n in range(11)]
    noise = 0.1 * np.random.default_rng(60_003).normal(size=RATE).astype(np.float32)
    assert len(likeliest(noise, RATE, some)) == len(some)
    assert likeliest(noise, RATE, some[:2]) == (0, 1)
