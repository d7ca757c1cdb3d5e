"""Two takes of one place side by side: what has become better, what has not.

Problem.  Whether an evening helped is heard badly by oneself.  Method.  Both verdicts count
the same written notes, so every note that is at fault in one of them is set beside itself in
the other.  What was not judged or not played in one of them is not compared.  A tempo or a
spread that has changed by less than can be heard (thresholds.py) is told as the same.

Conventions.  Those of verdict.py; notes by their numbers on the sheet.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from drills.listening.paper import OnPaper
from drills.listening.stretch import stretch_of
from drills.listening.thresholds import USUAL, Thresholds
from drills.listening.verdict import NoteVerdict, Verdict
from drills.listening.words import UNKNOWN

LEAST: Final = 3.0
"""Milliseconds by which a spread has changed at least: as much as an attack is known to."""


@dataclass(frozen=True, slots=True)
class NoteChange:
    """A note that is at fault in one of two takes or in both."""

    number: int
    before: str
    """"wrong", "missed", "late", "early"; empty where nothing is to be said."""
    now: str

    @property
    def words(self) -> str:
        """ "note 9 (was late)"."""
        if not self.now:
            return f"note {self.number} (was {self.before})"
        if not self.before:
            return f"note {self.number} ({self.now} now)"
        return f"note {self.number} ({_and(self.before, self.now)})"


@dataclass(frozen=True, slots=True)
class Compared:
    """One take beside an earlier one; numbers of the earlier one first."""

    right: tuple[float, float]
    """Shares of the notes, 0 to 1."""
    tempo: tuple[float, float] | None
    """Quarters a minute; None where one of them was not measured."""
    spread: tuple[float, float] | None
    """Of equal values, milliseconds."""
    clean: tuple[int, int]
    """Notes of the longest clean stretch."""
    added: tuple[int, int]
    restarts: tuple[int, int]
    changes: tuple[NoteChange, ...]

    def lines(self, paper: OnPaper = UNKNOWN, thresholds: Thresholds = USUAL) -> tuple[str, ...]:
        """What a player is told, one thing a line."""
        return tuple(self._lines(paper, thresholds))

    def _lines(self, paper: OnPaper, thresholds: Thresholds) -> Iterator[str]:
        first, now = (round(100 * share) for share in self.right)
        yield f"right notes: {first} % before, {now} % now"
        if self.tempo is not None:
            old, new = map(paper.tempo, self.tempo)
            heard = abs(new / old - 1) > thresholds("tempo")
            way = ("faster" if new > old else "slower") if heard else "the same to the ear"
            yield f"tempo: {paper.beat_words} = {old:.0f} before, {new:.0f} now ({way})"
        if self.spread is not None:
            old, new = self.spread
            heard = abs(new - old) > max(thresholds("better") * old, LEAST)
            way = ("more even" if new < old else "less even") if heard else "the same to the ear"
            yield f"spread of equal values: {old:.0f} ms before, {new:.0f} now ({way})"
        for (old, new), what in (
            (self.clean, "longest clean stretch"),
            (self.added, "added notes"),
            (self.restarts, "times you went back"),
        ):
            if old != new:
                yield f"{what}: {old} before, {new} now"
        for heading, told in (
            ("better", [one for one in self.changes if not one.now]),
            ("new", [one for one in self.changes if not one.before]),
            ("still there", [one for one in self.changes if one.before and one.now]),
        ):
            if told:
                yield f"{heading}: {', '.join(one.words for one in told)}"


def compared(before: Verdict, now: Verdict) -> Compared | None:
    """Two verdicts on the same music; None where one was refused or they count other notes."""
    if before.refused or now.refused or len(before.notes) != len(now.notes):
        return None
    old, new = before.timing, now.timing
    both = None if old is None or new is None else (old, new)
    return Compared(
        (before.share_right, now.share_right),
        None if both is None else (both[0].tempo, both[1].tempo),
        None if both is None else (both[0].evenness, both[1].evenness),
        (before.clean_notes, now.clean_notes),
        (len(before.extras), len(now.extras)),
        (len(before.restarts), len(now.restarts)),
        tuple(_changes(before, now)),
    )


def _changes(before: Verdict, now: Verdict) -> Iterator[NoteChange]:
    whole = (1, len(now.notes))
    stretches = [stretch_of(one) or whole for one in (before, now)]
    first, last = (max(s[0] for s in stretches), min(s[1] for s in stretches))
    for old, new in zip(before.notes, now.notes, strict=True):
        if "unclear" in (old.call, new.call) or not first <= old.number <= last:
            continue
        was, is_now = _fault(old), _fault(new)
        if was or is_now:
            yield NoteChange(old.number, was, is_now)


def _fault(note: NoteVerdict) -> str:
    return note.call if note.call != "right" else note.timed


def _and(before: str, now: str) -> str:
    return now if before == now else f"was {before}, {now} now"
