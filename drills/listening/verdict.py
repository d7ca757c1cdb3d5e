"""The verdict: what a take has of what was written, in numbers with units.

Problem.  A player wants to know which notes were there, which came late, and what the tempo
did.  Method.  Every written note is judged by the last time it was tried.  Time is measured
against the player's own best beat, fitted to each unbroken run by itself; where a click is
known, against that too.

Conventions.  Late is positive, milliseconds.  Certainty is "sure", "likely" or "unclear";
what is unclear is not judged, and its call is "unclear".
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from drills.listening.following import ADDED, AGAIN, NOTE, WRONG
from drills.listening.played import Played, PlayedNote
from drills.listening.tempo import Fit, fit_beat
from drills.listening.thresholds import called_late
from drills.listening.wanted import Wanted

SURE: Final = 0.38
"""Mean cost of a note's pitch under which it is heard for sure ..."""
LIKELY: Final = 0.62
"""... and over which it is not judged."""
REACH: Final = 14.0
"""Notes to either side that the player's own beat is fitted to."""
UNCERTAIN: Final = 3.0
"""Milliseconds that an attack is known to, usually; in a room ROOM_UNCERTAIN."""
ROOM_UNCERTAIN: Final = 6.0


@dataclass(frozen=True, slots=True)
class NoteVerdict:
    """One written note."""

    number: int
    """From 1."""
    key: int
    """Sounding MIDI number as written."""
    call: str
    """"right", "wrong", "missed" or "unclear"."""
    certainty: str
    heard: int | None
    """MIDI number of what was heard; None where nothing was."""
    seconds: float | None
    """When it was heard, from the start of the recording."""
    late: float | None
    """Milliseconds after the player's own beat."""
    late_share: float | None
    """The same as a share of a quarter."""
    against_click: float | None
    """Milliseconds after the click's beat, where one is known."""
    length_share: float | None
    """How long it sounded, as a share of the written length at its tempo."""
    cents: float | None
    """Against equal temperament at the player's own A."""
    unsteady: float | None
    tempo: float | None
    """Quarters a minute there, by the player's own beat."""
    tries: int
    fit: float
    """How badly the pitch fits, 0 to about 1; 1 where nothing was heard."""


@dataclass(frozen=True, slots=True)
class Extra:
    """A note that is not written."""

    after: int
    """Number of the written note before it; 0 before the first."""
    key: int
    seconds: float
    call: str
    """"added" or "twice"."""


@dataclass(frozen=True, slots=True)
class Restart:
    """A place where the player went back."""

    stopped: int
    """Number of the last note before."""
    back_to: int
    seconds: float


@dataclass(frozen=True, slots=True)
class Timing:
    """What the time was like."""

    tempo: float
    """Quarters a minute, over the longest run."""
    first: float
    last: float
    """At its beginning and its end."""
    evenness: float
    """Spread of the attacks about the player's own beat, ms."""
    downbeats: float | None
    offbeats: float | None
    """Mean lateness of what stands on a beat and off it, ms."""
    swing: float | None
    """How many times as long an eighth on the beat is as the one off it."""
    uncertain: float
    """Milliseconds that a single attack is known to."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """A take judged."""

    notes: tuple[NoteVerdict, ...]
    extras: tuple[Extra, ...]
    restarts: tuple[Restart, ...]
    timing: Timing | None
    tuning: float
    """The player's own A, cents above 440 Hz."""
    pitch_drift: float | None
    """Cents that the pitch has moved from the first third to the last."""
    share_right: float
    """Of the notes that were judged; 0 where none was."""
    clean: tuple[int, int]
    """First and last number of the longest stretch without a fault; (0, 0) for none."""
    refused: str
    """Why the take is not judged; empty where it is."""
    certainty: float
    """0 to 1: how sure it is that this is the spot (or, refused, that it is not)."""

    @property
    def uncertain(self) -> float:
        """Milliseconds that a single attack is known to."""
        return UNCERTAIN if self.timing is None else self.timing.uncertain

    @property
    def clean_notes(self) -> int:
        """How many notes the longest clean stretch has."""
        return self.clean[1] - self.clean[0] + 1 if self.clean[0] else 0


def judge(wanted: Wanted, played: Played, click: tuple[float, float] | None = None) -> Verdict:
    """Judge what was heard.  ``click``: the second at which the first quarter is due, and
    seconds a quarter, where a click is known."""
    beats = _Beats(wanted, played)
    last: dict[int, PlayedNote] = {}
    tries: dict[int, int] = {}
    for one in played.notes:
        if one.kind in (NOTE, WRONG):
            last[one.note] = one
            tries[one.note] = tries.get(one.note, 0) + 1
    doubtful = _doubtful(played)
    notes = tuple(
        _note(beats, n, last.get(n), tries=tries.get(n, 0), click=click, doubtful=doubtful)
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
    return Verdict(
        notes,
        extras,
        _restarts(played),
        beats.timing(played),
        played.tuning,
        _drift(played),
        share,
        _clean(told, extras, _uncertain(played)),
        refused,
        certainty,
    )


def _surely_added(one: PlayedNote, played: Played) -> bool:
    """Long and clear enough to be a note; in a room an echo may look like a short one."""
    if played.room:
        return one.fit < SURE and one.end - one.at > 0.07
    return one.fit < LIKELY


def _doubtful(played: Played) -> bool:
    """The recording is such that a fault may be the room's or somebody else's."""
    return played.echo or played.crowd > 0.25


def _note(
    beats: _Beats,
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
        nothing = (None,) * 9
        return NoteVerdict(index + 1, written.key, call, certainty, *nothing, tries, 1.0)
    certainty = "sure" if one.fit < SURE else "likely" if one.fit < LIKELY else "unclear"
    call = "right" if one.kind == NOTE else "wrong"
    if certainty == "unclear" or (doubtful and call == "wrong"):
        call = certainty = "unclear"
    late = beats.late(one)
    pace = beats.pace(one)
    due = None if click is None else click[0] + written.at * click[1]
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
        one.cents if call == "right" else None,
        one.unsteady if call == "right" else None,
        None if late is None else 60 / pace,
        tries,
        one.fit,
    )


class _Beats:
    """The player's own beat in every run."""

    def __init__(self, wanted: Wanted, played: Played) -> None:
        self.wanted = wanted
        self.fits: dict[int, tuple[list[PlayedNote], Fit]] = {}
        runs = {one.run for one in played.notes}
        for run in runs:
            own = [
                one
                for one in played.notes
                if one.run == run and one.kind == NOTE and not wanted.notes[one.note].grace
            ]
            if len(own) < 3:
                continue
            at = [wanted.notes[one.note].at for one in own]
            fit = fit_beat(at, [one.at for one in own], at, wanted.pace, reach=REACH)
            self.fits[run] = (own, fit)

    def _place(self, one: PlayedNote) -> tuple[Fit, int] | None:
        own, fit = self.fits.get(one.run, ([], None))
        if fit is None:
            return None
        for place, other in enumerate(own):
            if other is one:
                return fit, place
        return None

    def late(self, one: PlayedNote) -> float | None:
        """Seconds after its due time."""
        found = self._place(one)
        return None if found is None else float(one.at - found[0].due[found[1]])

    def pace(self, one: PlayedNote) -> float:
        """Seconds a quarter there."""
        found = self._place(one)
        return self.wanted.pace if found is None else float(found[0].pace[found[1]])

    def timing(self, played: Played) -> Timing | None:
        """Over the longest run."""
        if not self.fits:
            return None
        own, fit = max(self.fits.values(), key=lambda both: len(both[0]))
        if len(own) < 4:
            return None
        at = np.array([self.wanted.notes[one.note].at for one in own])
        seconds = np.array([one.at for one in own])
        late = 1000 * (seconds - fit.due)
        slope = _robust_slope(at, seconds)
        on = np.abs(at - np.round(at)) < 1e-6
        return Timing(
            60 / slope,
            60 / float(np.median(fit.pace[: max(len(own) // 4, 2)])),
            60 / float(np.median(fit.pace[-max(len(own) // 4, 2) :])),
            1.4826 * float(np.median(np.abs(late - np.median(late)))),
            float(late[on].mean()) if on.sum() > 1 else None,
            float(late[~on].mean()) if (~on).sum() > 1 else None,
            _swing(at, seconds),
            _uncertain(played),
        )


def _uncertain(played: Played) -> float:
    return ROOM_UNCERTAIN if played.room else UNCERTAIN


def _robust_slope(x: np.ndarray, y: np.ndarray) -> float:
    """Seconds a quarter: a line through all attacks, those far off it weighing less."""
    weight = np.ones(len(x))
    slope = 1.0
    for _ in range(4):
        mean_x, mean_y = np.average(x, weights=weight), np.average(y, weights=weight)
        slope = float((weight * (x - mean_x) * (y - mean_y)).sum())
        slope /= float((weight * (x - mean_x) ** 2).sum())
        off = np.abs(y - mean_y - slope * (x - mean_x))
        weight = 1 / np.maximum(off / max(2 * float(np.median(off)), 0.004), 1) ** 2
    return slope


def _swing(at: np.ndarray, seconds: np.ndarray) -> float | None:
    """From all beats whose two eighths and the next beat were heard: median share."""
    when = {round(2 * float(a)): float(s) for a, s in zip(at, seconds, strict=True) if _eighth(a)}
    shares = [
        (when[place + 1] - when[place]) / (when[place + 2] - when[place])
        for place in when
        if place % 2 == 0 and place + 1 in when and place + 2 in when
    ]
    if len(shares) < 3:
        return None
    share = float(np.median(shares))
    return share / (1 - share) if 0.2 < share < 0.9 else None


def _eighth(at: float) -> bool:
    return abs(2 * at - round(2 * at)) < 1e-6


def _restarts(played: Played) -> tuple[Restart, ...]:
    found, before = [], None
    for one in played.notes:
        if one.kind not in (NOTE, WRONG):
            continue
        if before is not None and one.run != before.run:
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
