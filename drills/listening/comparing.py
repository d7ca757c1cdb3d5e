"""Two takes of one thing: what got better, what did not.

Only what can be heard counts as a change: a tempo by more than the threshold for tempos, a
spread by more than the threshold for spreads; of notes, each call by itself.

Conventions.  Numbers of notes as on the sheet; ms, quarters a minute.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from drills.listening.paper import OnPaper
from drills.listening.thresholds import USUAL, Thresholds
from drills.listening.verdict import NoteVerdict, Verdict
from drills.listening.words import UNKNOWN

MOST_TOLD = 6
"""Notes in one list."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """The second of two takes against the first."""

    right: tuple[float, float]
    """Shares of the notes."""
    tempo: tuple[float, float] | None
    spread: tuple[float, float] | None
    """Of equal values, ms."""
    clean: tuple[int, int]
    """Notes of the longest clean stretch."""
    mended: tuple[int, ...]
    """Notes that were wrong or missed, and are right."""
    broken: tuple[int, ...]
    """The other way round."""
    now_in_time: tuple[int, ...]
    now_off: tuple[int, ...]
    """Notes that were in time and are late or early."""
    added: tuple[int, int]
    restarts: tuple[int, int]


def compared(first: Verdict, second: Verdict) -> Comparison | None:
    """What has changed; None where one of them could not be judged, or was of other bars."""
    if first.refused or second.refused or len(first.notes) != len(second.notes):
        return None
    pairs = [
        (a, b)
        for a, b in zip(first.notes, second.notes, strict=True)
        if "unclear" not in (a.call, b.call)
    ]
    timed = [(a, b) for a, b in pairs if a.call == b.call == "right"]
    one, other = first.timing, second.timing
    both = None if one is None or other is None else (one, other)
    return Comparison(
        (first.share_right, second.share_right),
        None if both is None else (both[0].tempo, both[1].tempo),
        None if both is None else (both[0].evenness, both[1].evenness),
        (first.clean_notes, second.clean_notes),
        _numbers((a, b) for a, b in pairs if a.call != "right" and b.call == "right"),
        _numbers((a, b) for a, b in pairs if a.call == "right" and b.call != "right"),
        _numbers((a, b) for a, b in timed if a.timed and not b.timed),
        _numbers((a, b) for a, b in timed if b.timed and not a.timed),
        (len(first.extras), len(second.extras)),
        (len(first.restarts), len(second.restarts)),
    )


def _numbers(pairs: Iterator[tuple[NoteVerdict, NoteVerdict]]) -> tuple[int, ...]:
    return tuple(a.number for a, _ in pairs)


def comparison_words(
    one: Comparison, paper: OnPaper = UNKNOWN, thresholds: Thresholds = USUAL
) -> str:
    """ "Better: 94 % right became 100 %, note 11 is right now. Not yet: ..." """
    better, worse = [], []
    if one.mended:
        better.append(f"{_listed(one.mended)} right now")
    if one.broken:
        worse.append(f"{_listed(one.broken)} no longer right")
    if one.now_in_time:
        better.append(f"{_listed(one.now_in_time)} in time now")
    if one.now_off:
        worse.append(f"{_listed(one.now_off)} no longer in time")
    if one.tempo is not None and abs(one.tempo[1] / one.tempo[0] - 1) > thresholds("tempo"):
        low, high = map(paper.tempo, one.tempo)
        (better if high > low else worse).append(f"tempo {low:.0f} became {high:.0f}")
    if one.spread is not None:
        low, high = one.spread
        if abs(high - low) > max(thresholds("better") * low, 3.0):
            (better if high < low else worse).append(
                f"equal values spread by {high:.0f} ms, no longer by {low:.0f}"
            )
    for (low, high), what in (
        (one.added, "notes were added"),
        (one.restarts, "times you went back"),
    ):
        if low != high:
            (better if high < low else worse).append(f"{high} {what}, and {low} before")
    if one.clean[0] != one.clean[1]:
        longer = one.clean[1] > one.clean[0]
        (better if longer else worse).append(
            f"longest clean stretch {one.clean[1]} notes, and {one.clean[0]} before"
        )
    said = [f"Better: {'; '.join(better)}."] if better else []
    said += [f"Not so good: {'; '.join(worse)}."] if worse else []
    return " ".join(said) or "As good as before, as far as can be heard."


def _listed(numbers: Sequence[int]) -> str:
    shown = ", ".join(map(str, numbers[:MOST_TOLD]))
    more = f" and {len(numbers) - MOST_TOLD} more" if len(numbers) > MOST_TOLD else ""
    return f"{'note' if len(numbers) == 1 else 'notes'} {shown}{more} {_are(numbers)}"


def _are(numbers: Sequence[int]) -> str:
    return "is" if len(numbers) == 1 else "are"
