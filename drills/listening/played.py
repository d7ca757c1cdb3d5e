"""A whole take heard: which notes sounded when, how long, how high.

    played = listen(samples, rate, wanted)

The stages: the tuning; costs of every pitch; a first way through; the tempo it tells; a
second way with places; onsets to the millisecond; cents.  Read this module first.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from drills.listening.expected import place_costs
from drills.listening.following import Heard, Path, follow
from drills.listening.hearing import Hearing, frequency, hear
from drills.listening.onsets import Attack, refine
from drills.listening.spectra import Floats
from drills.listening.states import AGAIN, NOTE, WRONG
from drills.listening.tuning import cents_of, tunings_of
from drills.listening.wanted import Wanted

HALL: Final = 45.0
"""Decibels a second under which an echo is that of a hall."""
CLEARLY: Final = 0.08


@dataclass(frozen=True, slots=True)
class PlayedNote:
    """One attack that was heard."""

    kind: int
    """states.NOTE, AGAIN, WRONG or ADDED."""
    note: int
    """The written note; for an added one the one before it, -1 before the first."""
    key: int
    """What sounded."""
    at: float
    """Seconds from the start of the recording."""
    end: float
    attack: Attack
    fit: float
    """How badly the pitch fits, 0 to about 1: the mean cost of its frames."""
    cents: float | None
    """Against equal temperament at the player's own A; None where it is too short."""
    unsteady: float | None
    """Half the range of the middle two thirds of the tone, cents."""
    run: int
    """Counts how often the player went back."""


@dataclass(frozen=True, slots=True)
class Played:
    """A take as it was heard."""

    notes: tuple[PlayedNote, ...]
    tuning: float
    """The player's own A, cents above 440 Hz."""
    seconds: float
    """Length of the recording."""
    sounding: float
    """Share of the recording's loud time that the written notes explain."""
    room: bool
    """The recording has an echo worth telling ..."""
    echo: bool
    """... and one so long that faults may be the room's."""
    crowd: float
    """Share of the loud time in which something else than the path says fits clearly better."""


def listen(samples: Floats, rate: int, wanted: Wanted) -> Played:
    """Hear a take for what was to be played.  ``samples``: mono, at ``rate`` a second."""
    keys = wanted.keys
    ways = []
    for tuning in tunings_of(samples, rate, keys):
        hearing = hear(samples, rate, keys, wanted.struck, tuning)
        ways.append((follow(hearing, wanted), hearing))
    path, hearing = min(ways, key=lambda way: way[0].cost)
    places = place_costs(hearing, wanted, path)
    if places is not None:
        path = follow(hearing, wanted, places)
    return _told(samples, hearing, wanted, path)


def _told(samples: Floats, hearing: Hearing, wanted: Wanted, path: Path) -> Played:
    keys = [_key(hearing, wanted, one) for one in path.heard]
    onsets = refine(samples, hearing, path.heard, keys)
    found: list[PlayedNote] = []
    run = 0
    for number, (one, key, onset) in enumerate(zip(path.heard, keys, onsets, strict=True)):
        run += one.jumped and number > 0
        end = onset.end
        if number + 1 < len(onsets) and onsets[number + 1].attack is not Attack.SILENCE:
            end = max(onsets[number + 1].seconds, onset.seconds + 0.02)
        hertz = frequency(key, hearing.tuning)
        pitch = cents_of(samples, hearing.rate, onset.seconds, end, hertz)
        column = hearing.costs[one.first : one.end, hearing.key_index(key)]
        found.append(
            PlayedNote(
                one.kind,
                one.note,
                key,
                onset.seconds,
                end,
                onset.attack,
                float(column.mean()),
                None if pitch is None else pitch[0],
                None if pitch is None else pitch[1],
                run,
            )
        )
    return Played(
        tuple(found),
        hearing.tuning,
        len(samples) / hearing.rate,
        _explained(hearing, path),
        hearing.tail.matters,
        hearing.tail.matters and hearing.tail.fall < HALL,
        _crowd(hearing, path, keys),
    )


def _key(hearing: Hearing, wanted: Wanted, one: Heard) -> int:
    if one.kind in (NOTE, AGAIN):
        return wanted.notes[one.note].key
    costs = hearing.costs[one.first : one.end].mean(axis=0).copy()
    if one.kind == WRONG:
        costs[hearing.key_index(wanted.notes[one.note].key)] = 9.0
    return int(costs.argmin()) + hearing.keys[0]


def _crowd(hearing: Hearing, path: Path, keys: list[int]) -> float:
    """Share of the frames of notes in which another key fits clearly better."""
    better = total = 0
    for one, key in zip(path.heard, keys, strict=True):
        costs = hearing.costs[one.first + 4 : one.end - 4]
        if len(costs):
            own = costs[:, hearing.key_index(key)]
            better += int((costs.min(axis=1) < own - CLEARLY).sum())
            total += len(costs)
    return better / total if total else 0.0


def _explained(hearing: Hearing, path: Path) -> float:
    """Share of the loud frames in which a written note was heard."""
    level = hearing.level
    loud = level > max(hearing.survey.most - 25, hearing.survey.least + 6)
    heard = [one for one in path.heard if one.kind in (NOTE, AGAIN)]
    total = int(loud.sum())
    return sum(int(loud[one.first : one.end].sum()) for one in heard) / total if total else 0.0
