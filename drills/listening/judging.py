"""The verdict: what a take has of what was written, in numbers with units.

Problem.  A player wants to know which notes were there, which came late, and what the tempo
did.  Method.  Every written note is judged by the last time it was tried; grace notes belong
to their main note, and what sounds for them is left out.  Time is measured against the
player's own best beat, fitted to each unbroken run by itself; where a click is known, against
that too.  Conventions: those of verdict.py.
"""

from __future__ import annotations

import itertools
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from drills.listening.bars import played_bars
from drills.listening.beats import Beats
from drills.listening.clicks import Click, against
from drills.listening.doubts import (
    LIKELY,
    covered_in,
    doubt_of,
    only_a_trace,
    surely_added,
    too_short,
)
from drills.listening.known import KNOWN_CENTS, known_to
from drills.listening.lengths import gap_after, lengths_of
from drills.listening.played import Played, PlayedNote
from drills.listening.states import ADDED, AGAIN, NOTE, WRONG
from drills.listening.thresholds import USUAL, Thresholds
from drills.listening.verdict import Extra, NoteVerdict, Restart, Verdict
from drills.listening.wanted import Wanted

SURE: Final = 0.38
"""Mean cost of a note's pitch under which it is heard for sure."""
OTHER: Final = 56.0
"""Cents beside a written pitch from which on the tone was the neighbouring one: the written
pitch is looked for up to 60 cents on either side, and a tone beyond leans on that edge."""
HELD: Final = 0.3
"""Seconds that a tone must last in a room before it is said to waver or to be out of tune: what
the room holds of the tone before beats with a shorter one."""
OWN_BEAT: Final = 0.3
"""Share of the notes that come in runs on one beat beside much else; of other music, less does."""
SURE_OF_BARS: Final = 0.8
"""How sure it is that bars of the spot were played, where some were not."""


@dataclass(frozen=True, slots=True)
class _Judge:
    """What all notes of one take are judged by."""

    wanted: Wanted
    played: Played
    beats: Beats
    click: Click | None
    thresholds: Thresholds
    doubtful: bool
    """The recording is such that a fault may be the room's or somebody else's."""
    covered: frozenset[int]
    """Written notes that may have been there, under what no pitch fits."""


def judge(
    wanted: Wanted,
    played: Played,
    click: Click | None = None,
    thresholds: Thresholds = USUAL,
) -> Verdict:
    """Judge what was heard, against a click too where one is known."""
    last: dict[int, tuple[int, PlayedNote]] = {}
    tries: dict[int, int] = {}
    for place, one in enumerate(played.notes):
        if one.kind in (NOTE, WRONG):
            last[one.note] = (place, one)
            tries[one.note] = tries.get(one.note, 0) + 1
    beats, covered = Beats(wanted, played), covered_in(played, len(wanted.notes))
    by = _Judge(wanted, played, beats, click, thresholds, bool(doubt_of(played)), covered)
    mains = wanted.mains
    notes = tuple(
        _note(by, number, last.get(n), tries.get(n, 0)) for number, n in enumerate(mains, 1)
    )
    extras = _extras(by)
    judged = [note for note in notes if note.call != "unclear"]
    share = sum(note.call == "right" for note in judged) / len(judged) if judged else 0.0
    refused, certainty = _refused(played, notes, share)
    bars = played_bars(wanted, played, notes)
    if bars is not None:
        refused, certainty = "", SURE_OF_BARS
    timing = by.beats.timing(played)
    if timing is not None and click is not None:
        timing = replace(timing, click=against(click, notes))
    return Verdict(
        notes,
        extras,
        _restarts(by),
        timing,
        lengths_of(wanted, () if played.room else notes),
        played.tuning,
        _drift(played),
        share,
        _clean(notes, extras),
        refused,
        bars,
        doubt_of(played),
        certainty,
    )


def _number(wanted: Wanted, index: int) -> int:
    """The number of a written note, for a grace note that of its main note; 0 for none."""
    mains = wanted.mains
    if index >= 0 and wanted.notes[index].grace:
        return min(bisect_right(mains, index) + 1, len(mains))
    return bisect_right(mains, index)


def _extras(by: _Judge) -> tuple[Extra, ...]:
    """What is not written; nothing where the recording leaves doubt."""
    if by.doubtful:
        return ()
    return tuple(
        Extra(
            _number(by.wanted, one.note), one.key, one.at, "twice" if one.kind == AGAIN else "added"
        )
        for one in by.played.notes
        if one.kind in (AGAIN, ADDED)
        and not (one.note >= 0 and by.wanted.notes[one.note].grace)
        and surely_added(one, by.played)
    )


def _note(by: _Judge, number: int, found: tuple[int, PlayedNote] | None, tries: int) -> NoteVerdict:
    index = by.wanted.mains[number - 1]
    written = by.wanted.notes[index]
    if found is None:
        doubtful = by.doubtful or index in by.covered
        call, certainty = ("unclear", "unclear") if doubtful else ("missed", "likely")
        return _unheard(number, written.key, call, certainty, tries)
    place, one = found
    certainty = "sure" if one.fit < SURE else "likely" if one.fit < LIKELY else "unclear"
    call = "right" if one.kind == NOTE else "wrong"
    strange = by.doubtful and (call == "wrong" or not by.beats.own(one))
    strange |= only_a_trace(one) or (call == "wrong" and too_short(one))
    if certainty == "unclear" or strange:
        call = certainty = "unclear"
    heard, cents = one.key, one.cents if call == "right" else None
    if cents is not None and abs(cents) > OTHER:  # the tone lies beyond what was looked at
        call, certainty = ("unclear", "unclear") if by.doubtful else ("wrong", "likely")
        heard, cents = one.key + (1 if cents > 0 else -1), None
    late = None if by.doubtful else by.beats.late(one)
    ms = None if late is None else 1000 * late
    pace = by.beats.pace(one)
    pure = None if cents is None or written.pure is None else cents - written.pure
    unsteady = one.unsteady if call == "right" else None
    before = by.wanted.notes[by.wanted.mains[number - 2]] if number > 1 else None
    apart = 0.0 if before is None else 1000 * (written.at - before.at) * pace
    uncertain = known_to(one, by.played)
    sure = call == "right" and not by.doubtful
    held = sure and (not by.played.room or one.end - one.at >= HELD)
    return NoteVerdict(
        number=number,
        key=written.key,
        call=call,
        certainty=certainty,
        heard=heard,
        seconds=one.at,
        late=ms,
        uncertain=uncertain,
        late_share=None if late is None else late / (pace * by.wanted.beat),
        against_click=None if by.click is None else by.click.late(one.at, written.at),
        timed=by.thresholds.called_late(ms, uncertain, apart) if sure else "",
        gap=gap_after(by.wanted, by.played, place),
        length_share=(one.end - one.at) / max(written.length * pace, 0.02),
        cents=cents,
        pure_cents=pure,
        tuned=_tuned(cents if pure is None else pure, by.thresholds) if held else "",
        unsteady=unsteady,
        wavers=held and (unsteady or 0.0) > by.thresholds("unsteady") + KNOWN_CENTS,
        tempo=None if late is None else 60 / pace,
        tries=tries,
        fit=one.fit,
    )


def _unheard(number: int, key: int, call: str, certainty: str, tries: int) -> NoteVerdict:
    return NoteVerdict(
        number=number,
        key=key,
        call=call,
        certainty=certainty,
        heard=None,
        seconds=None,
        late=None,
        uncertain=None,
        late_share=None,
        against_click=None,
        timed="",
        gap=None,
        length_share=None,
        cents=None,
        pure_cents=None,
        tuned="",
        unsteady=None,
        wavers=False,
        tempo=None,
        tries=tries,
        fit=1.0,
    )


def _tuned(cents: float | None, thresholds: Thresholds) -> str:
    """ "high" or "low" where a tone is to be called so, by more than its pitch is known to."""
    if cents is None or abs(cents) <= thresholds("mistuned") + KNOWN_CENTS:
        return ""
    return "high" if cents > 0 else "low"


def _restarts(by: _Judge) -> tuple[Restart, ...]:
    """Where the player went back; nothing where the recording leaves doubt."""
    found: list[Restart] = []
    before = None
    if by.doubtful:
        return ()
    for one in by.played.notes:
        if one.kind not in (NOTE, WRONG):
            continue
        if before is not None and one.run != before.run and one.note <= before.note:
            found.append(
                Restart(_number(by.wanted, before.note), _number(by.wanted, one.note), one.at)
            )
        before = one
    return tuple(found)


def _drift(played: Played) -> float | None:
    own = [
        one
        for one in played.notes
        if one.cents is not None and one.kind == NOTE and abs(one.cents) <= OTHER
    ]
    third = len(own) // 3
    if third < 2:
        return None
    return float(
        np.median([one.cents for one in own[-third:]])
        - np.median([one.cents for one in own[:third]])
    )


def _clean(notes: Sequence[NoteVerdict], extras: Sequence[Extra]) -> tuple[int, int]:
    """The longest stretch of right notes in time, nothing added within."""
    added = {extra.after for extra in extras}
    best, begin = (0, 0), 0
    for note in notes:
        if note.call not in ("right", "unclear") or note.timed:
            begin = 0
            continue
        begin = begin or note.number
        if note.number - begin > best[1] - best[0] or not best[0]:
            best = (begin, note.number)
        if note.number in added:
            begin = 0
    return best


def _refused(played: Played, notes: Sequence[NoteVerdict], share: float) -> tuple[str, float]:
    """Why this cannot be the spot, and how sure that is."""
    heard = [one for one in played.notes if one.kind == NOTE]
    found = len({one.note for one in heard}) / max(len(notes), 1)
    if not heard or played.sounding < 0.02:
        return "nothing of this spot was heard", 0.95
    good = float(np.mean([one.fit < LIKELY for one in heard]))
    extra = sum(one.kind in (ADDED, WRONG) for one in played.notes) / max(len(played.notes), 1)
    order = _in_order(heard)
    evidence = min(share, found + 0.1) * good * min(played.sounding / 0.6, 1.0) * order
    evidence *= 1 - max(extra - 0.2, 0.0)
    if evidence >= 0.5:
        return "", min(0.5 + evidence / 2, 0.99)
    own = sum(note.call == "right" for note in notes) / max(len(notes), 1)
    if doubt_of(played) == "others" and own > OWN_BEAT:
        return "too much else sounds beside it to tell whether this is the spot", own
    return "this is not the spot that was asked for", min(0.99, 1 - evidence)


def _in_order(heard: Sequence[PlayedNote]) -> float:
    """Share of neighbours that follow one another as written."""
    pairs = list(itertools.pairwise(heard))
    if not pairs:
        return 1.0
    return sum(0 < b.note - a.note <= 2 for a, b in pairs) / len(pairs)
