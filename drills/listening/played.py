"""A whole take heard: which notes sounded when, how long, how high.

    played = listen(samples, rate, wanted)

The stages: the recording as a whole; its tuning; then, piece by piece, costs of every pitch;
a first way through; the tempo it tells; a second way with places; onsets to the millisecond;
cents.  Read this module first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from drills.listening.following import Heard
from drills.listening.going_back import gone_back
from drills.listening.hearing import Ear, Hearing, frequency
from drills.listening.held import struck_twice
from drills.listening.onsets import Attack, Onset, refine
from drills.listening.pieces import Piece, pieces_of
from drills.listening.reread import reread
from drills.listening.settings import USUAL
from drills.listening.spectra import Samples
from drills.listening.states import ADDED, AGAIN, NOTE, WRONG
from drills.listening.survey import Survey, survey_of
from drills.listening.tuning import cents_of, tunings_of
from drills.listening.wanted import Wanted

HALL: Final = 45.0
"""Decibels a second under which an echo is that of a hall."""
CLEARLY: Final = 0.08
CENTRED: Final = 2
"""Times that the player's own A is looked for again where it is not near the one listened for."""
FEWEST: Final = 3
"""Notes that tell it."""
NEARLY: Final = 3.0
"""Cents that the pitches need not be looked for again for: a tone that leans on the edge of what
is looked at must still be seen to."""


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
    spread: float
    """What its moment is known to: a standard deviation, seconds."""
    fit: float
    """How badly the pitch fits, 0 to about 1: the mean cost of its frames."""
    cents: float | None
    """Against equal temperament at the player's own A; None where it is too short or unclear."""
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


@dataclass(frozen=True, slots=True)
class Whole:
    """What is so of a recording as a whole, for the listener to a piece of it."""

    survey: Survey
    tunings: tuple[float, ...]

    @classmethod
    def of(cls, samples: Samples, rate: int, keys: Sequence[int]) -> Whole:
        """That of a recording in which some keys are listened for."""
        survey = survey_of(samples, rate, frequency(keys[0]) * 0.6)
        return cls(survey, tunings_of(samples, rate, keys))


def listen(samples: Samples, rate: int, wanted: Wanted, whole: Whole | None = None) -> Played:
    """Hear a take for what was to be played.  ``samples``: mono, at ``rate`` a second.

    ``whole``: what is so of the recording that they are a piece of; found in them unless given.
    """
    keys, struck = wanted.keys, wanted.struck
    whole = whole or Whole.of(samples, rate, keys)
    survey, tunings = whole.survey, whole.tunings
    ears = [Ear.of(samples, rate, keys, struck, tuning, survey=survey) for tuning in tunings]
    notes: list[PlayedNote] = []
    tally = Tally()
    tuning = tunings[0]
    for followed in pieces_of(ears, wanted):
        piece, told = _told(samples, wanted, followed)
        tally = tally.plus(piece, [one.key for one in told])
        run = notes[-1].run if notes else 0
        for number, (heard, one) in enumerate(zip(piece.heard, told, strict=True)):
            run += heard.jumped and (number > 0 or bool(notes))
            notes.append(replace(one, run=run))
        tuning = piece.hearing.tuning
    tuning, notes = _at_own_a(samples, rate, notes, tuning)
    return Played(
        tuple(borne_out(notes)),
        tuning,
        len(samples) / rate,
        tally.explained / max(tally.loud, 1),
        survey.tail.matters,
        survey.tail.matters and survey.tail.fall < HALL,
        tally.better / max(tally.judged, 1),
    )


def borne_out(notes: Sequence[PlayedNote]) -> list[PlayedNote]:
    """Without a last going back that nothing bears out: one in which no written note was heard is
    what the room holds of the last tone; one of a single tone, without a silence before it, was
    added after the end."""
    last = [one for one in notes if one.run == notes[-1].run] if notes else []
    if not last or last[0].run == 0:
        return list(notes)
    if not any(one.kind in (NOTE, AGAIN) for one in last):
        return list(notes[: -len(last)])
    if len(last) == 1 and len(notes) > 1 and last[0].at - notes[-2].end < USUAL.gap:
        before = notes[-2]
        return [*notes[:-1], replace(last[0], kind=ADDED, note=before.note, run=before.run)]
    return list(notes)


def _told(samples: Samples, wanted: Wanted, piece: Piece) -> tuple[Piece, list[PlayedNote]]:
    """The notes of a piece, at their seconds in the recording; the piece, in which what was
    struck twice is two."""
    hearing, rate = piece.hearing, piece.hearing.rate
    start = piece.first * hearing.hop
    own = samples[start : start + hearing.frames * hearing.hop]
    piece = replace(piece, heard=reread(hearing, piece.heard, _keys(wanted, piece)))
    keys, onsets = _placed(own, wanted, piece)
    heard = struck_twice(own, hearing, piece.heard, keys, onsets)
    anew = len(heard) > len(piece.heard)
    piece = replace(piece, heard=gone_back(heard, wanted, hearing.seconds_a_frame))
    if anew:
        keys, onsets = _placed(own, wanted, piece)
    found: list[PlayedNote] = []
    for number, (one, key) in enumerate(zip(piece.heard, keys, strict=False)):
        onset = onsets[number]
        end = onset.end
        if number + 1 < len(onsets) and onsets[number + 1].attack is not Attack.SILENCE:
            end = max(onsets[number + 1].seconds, onset.seconds + 0.02)
        pitch = cents_of(own, rate, onset.seconds, end, frequency(key, hearing.tuning))
        fit = float(hearing.costs[one.first : one.end, hearing.key_index(key)].mean())
        cents, unsteady = (None, None) if pitch is None else pitch
        at = start / rate
        found.append(
            PlayedNote(
                one.kind,
                one.note,
                key,
                at + onset.seconds,
                at + end,
                onset.attack,
                onset.spread,
                fit,
                cents,
                unsteady,
                0,
            )
        )
    return piece, found


def _keys(wanted: Wanted, piece: Piece) -> list[int]:
    """Of what was heard in a piece and, where that is known, of what follows."""
    around = [*piece.heard, *([] if piece.after is None else [piece.after])]
    return [_key(piece.hearing, wanted, one) for one in around]


def _placed(own: Samples, wanted: Wanted, piece: Piece) -> tuple[list[int], list[Onset]]:
    """Keys and onsets of what was heard in a piece and, where that is known, of what follows."""
    keys = _keys(wanted, piece)
    before = [] if piece.before is None else [piece.before]
    after = [] if piece.after is None else [piece.after]
    around = [*before, *piece.heard, *after]
    lead = [_key(piece.hearing, wanted, one) for one in before]
    onsets = refine(own, piece.hearing, around, [*lead, *keys])
    return keys, onsets[len(before) :]


def _at_own_a(
    samples: Samples, rate: int, notes: list[PlayedNote], tuning: float
) -> tuple[float, list[PlayedNote]]:
    """The player's own A as the middle of all written notes that were long enough, and the notes
    beside that: the tuning that was listened for is only near it."""
    for _ in range(CENTRED):
        own = [one.cents for one in notes if one.kind == NOTE and one.cents is not None]
        off = float(np.median(own)) if len(own) >= FEWEST else 0.0
        tuning += off
        if abs(off) < NEARLY:
            return tuning, [_moved(one, off) for one in notes]
        pitches = [
            cents_of(samples, rate, one.at, one.end, frequency(one.key, tuning)) for one in notes
        ]
        notes = [
            replace(one, cents=pitch and pitch[0], unsteady=pitch and pitch[1])
            for one, pitch in zip(notes, pitches, strict=True)
        ]
    return tuning, notes


def _moved(one: PlayedNote, off: float) -> PlayedNote:
    return one if one.cents is None else replace(one, cents=one.cents - off)


def _key(hearing: Hearing, wanted: Wanted, one: Heard) -> int:
    if one.kind in (NOTE, AGAIN):
        return wanted.notes[one.note].key
    costs = hearing.costs[max(one.first, 0) : max(one.end, 1)].mean(axis=0).copy()
    if one.kind == WRONG:
        costs[hearing.key_index(wanted.notes[one.note].key)] = 9.0
    return int(costs.argmin()) + hearing.keys[0]


@dataclass(frozen=True, slots=True)
class Tally:
    """Frames that were counted so far."""

    loud: int = 0
    explained: int = 0
    """Loud ones in which a written note was heard."""
    judged: int = 0
    """Frames in the middle of what was heard."""
    better: int = 0
    """Those in which another key fits clearly better."""

    def plus(self, piece: Piece, keys: Sequence[int]) -> Tally:
        """With the frames of a piece whose notes have these keys."""
        hearing = piece.hearing
        bound = max(hearing.survey.most - 25, hearing.survey.least + 6)
        loud = hearing.level > bound
        explained = judged = better = 0
        for one, key in zip(piece.heard, keys, strict=True):
            if one.kind in (NOTE, AGAIN):
                explained += int(loud[one.first : one.end].sum())
            costs = hearing.costs[one.first + 4 : one.end - 4]
            own = costs[:, hearing.key_index(key)]
            better += int((costs.min(axis=1) < own - CLEARLY).sum()) if len(costs) else 0
            judged += len(costs)
        return Tally(
            self.loud + int(loud[piece.begin : piece.end].sum()),
            self.explained + explained,
            self.judged + judged,
            self.better + better,
        )
