"""The verdict: what a take has of what was written, in numbers with units.

Problem.  A player wants to know which notes were there, which came late, and what the tempo
did.  Method.  Every written note is judged by the last time it was tried.  Time is measured
against the player's own best beat, fitted to each unbroken run by itself; where a click is
known, against that too.  Conventions: those of verdict.py.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Final

import numpy as np

from drills.listening.bars import played_bars
from drills.listening.beats import Beats, uncertain_of
from drills.listening.played import Played, PlayedNote
from drills.listening.states import ADDED, AGAIN, NOTE, WRONG
from drills.listening.thresholds import called_late
from drills.listening.verdict import Extra, NoteVerdict, Restart, Verdict
from drills.listening.wanted import Wanted

SURE: Final = 0.38
"""Mean cost of a note's pitch under which it is heard for sure ..."""
LIKELY: Final = 0.62
"""... and over which it is not judged."""
CROWDED: Final = 0.2
"""Share of the time in which something else fits better, from which on faults may be
somebody else's."""
ADDED_IN_ROOM: Final = 0.5
"""The same, over which an added note in a room is not told."""
SURE_OF_BARS: Final = 0.8
"""How sure it is that bars of the spot were played, where some were not."""


def judge(wanted: Wanted, played: Played, click: tuple[float, float] | None = None) -> Verdict:
    """Judge what was heard.  ``click``: the second at which the first quarter is due, and
    seconds a quarter, where a click is known."""
    beats = Beats(wanted, played)
    last: dict[int, PlayedNote] = {}
    tries: dict[int, int] = {}
    for one in played.notes:
        if one.kind in (NOTE, WRONG):
            last[one.note] = one
            tries[one.note] = tries.get(one.note, 0) + 1
    doubtful, covered = _doubtful(played), _covered(played, len(wanted.notes))
    notes = tuple(
        _note(
            beats,
            n,
            last.get(n),
            tries=tries.get(n, 0),
            click=click,
            doubtful=doubtful or n in covered,
        )
        for n, note in enumerate(wanted.notes)
    )
    extras = tuple(
        Extra(one.note + 1, one.key, one.at, "twice" if one.kind == AGAIN else "added")
        for one in played.notes
        if one.kind in (AGAIN, ADDED) and not doubtful and _surely_added(one, played)
    )
    told = [n for n, own in zip(notes, wanted.notes, strict=True) if not own.grace]
    judged = [note for note in told if note.call != "unclear"]
    share = sum(note.call == "right" for note in judged) / len(judged) if judged else 0.0
    refused, certainty = _refused(played, told, share)
    bars = played_bars(wanted, played, notes)
    if bars is not None:
        refused, certainty = "", SURE_OF_BARS
    return Verdict(
        notes,
        extras,
        _restarts(played),
        beats.timing(played),
        played.tuning,
        _drift(played),
        share,
        _clean(told, extras, uncertain_of(played)),
        refused,
        bars,
        certainty,
    )


def _surely_added(one: PlayedNote, played: Played) -> bool:
    """Long and clear enough to be a note; in a room an echo may look like a short one."""
    if played.room:
        return one.fit < ADDED_IN_ROOM and one.end - one.at > 0.07
    return one.fit < LIKELY


def _doubtful(played: Played) -> bool:
    """The recording is such that a fault may be the room's or somebody else's."""
    return played.echo or played.crowd > CROWDED


def _covered(played: Played, count: int) -> set[int]:
    """Written notes that were left out where something sounded that no pitch fits: they may
    have been there."""
    found: set[int] = set()
    unheard = None
    for one in played.notes:
        if unheard is not None and one.kind in (NOTE, WRONG):
            found |= set(range(unheard, one.note))
            unheard = None
        if one.kind in (ADDED, WRONG) and one.fit >= LIKELY:
            unheard = one.note + 1
    return found if unheard is None else found | set(range(unheard, count))


def _note(
    beats: Beats,
    index: int,
    one: PlayedNote | None,
    *,
    tries: int,
    click: tuple[float, float] | None,
    doubtful: bool,
) -> NoteVerdict:
    written = beats.wanted.notes[index]
    if one is None:
        call, certainty = ("unclear", "unclear") if doubtful else ("missed", "likely")
        nothing = (None,) * 10
        return NoteVerdict(index + 1, written.key, call, certainty, *nothing, tries, 1.0)
    certainty = "sure" if one.fit < SURE else "likely" if one.fit < LIKELY else "unclear"
    call = "right" if one.kind == NOTE else "wrong"
    if certainty == "unclear" or (doubtful and call == "wrong"):
        call = certainty = "unclear"
    late = beats.late(one)
    pace = beats.pace(one)
    due = None if click is None else click[0] + written.at * click[1]
    cents = one.cents if call == "right" else None
    return NoteVerdict(
        index + 1,
        written.key,
        call,
        certainty,
        one.key,
        one.at,
        None if late is None else 1000 * late,
        None if late is None else late / pace,
        None if due is None else 1000 * (one.at - due),
        (one.end - one.at) / max(written.length * pace, 0.02),
        cents,
        None if cents is None or written.pure is None else cents - written.pure,
        one.unsteady if call == "right" else None,
        None if late is None else 60 / pace,
        tries,
        one.fit,
    )


def _restarts(played: Played) -> tuple[Restart, ...]:
    found, before = [], None
    for one in played.notes:
        if one.kind not in (NOTE, WRONG):
            continue
        if before is not None and one.run != before.run and one.note <= before.note:
            found.append(Restart(before.note + 1, one.note + 1, one.at))
        before = one
    return tuple(found)


def _drift(played: Played) -> float | None:
    own = [one for one in played.notes if one.cents is not None and one.kind == NOTE]
    third = len(own) // 3
    if third < 2:
        return None
    return float(
        np.median([one.cents for one in own[-third:]])
        - np.median([one.cents for one in own[:third]])
    )


def _clean(
    notes: Sequence[NoteVerdict], extras: Sequence[Extra], uncertain: float
) -> tuple[int, int]:
    """The longest stretch of right notes in time, nothing added within."""
    added = {extra.after for extra in extras}
    best, begin = (0, 0), 0
    for note in notes:
        if note.call not in ("right", "unclear") or called_late(note.late, uncertain):
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
    return "this is not the spot that was asked for", min(0.99, 1 - evidence)


def _in_order(heard: Sequence[PlayedNote]) -> float:
    """Share of neighbours that follow one another as written."""
    pairs = list(itertools.pairwise(heard))
    if not pairs:
        return 1.0
    return sum(0 < b.note - a.note <= 2 for a, b in pairs) / len(pairs)
