"""One tempo of a practice with its verdict, and what is said first of all of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import takewhile

import numpy as np

from drills.listening.verdict import Verdict


@dataclass(frozen=True, slots=True)
class JudgedRung:
    """One tempo of a practice."""

    words: str
    """The metronome number."""
    what: str
    verdicts: tuple[Verdict, ...]
    """One for each time through."""

    @property
    def heard(self) -> tuple[Verdict, ...]:
        """The times through that could be judged."""
        return tuple(verdict for verdict in self.verdicts if not verdict.refused)

    @property
    def clean(self) -> bool:
        """Nothing wrong, missed or added in most of the times through."""
        good = [v for v in self.verdicts if _clean(v)]
        return len(good) * 2 > len(self.verdicts)

    @property
    def unsure(self) -> bool:
        """It is not clean only because not every note could be heard."""
        found = self.faults or any(verdict.extras for verdict in self.heard)
        return bool(self.heard) and not self.clean and not found

    @property
    def faults(self) -> tuple[int, ...]:
        """Numbers of the notes that were wrong or missed, the most often first."""
        count = Counter(
            note.number
            for verdict in self.heard
            for note in verdict.notes
            if note.call in ("wrong", "missed")
        )
        return tuple(number for number, _ in count.most_common())

    @property
    def breaks(self) -> tuple[int, ...]:
        """Those that were so in most of the times through; where there are none, all."""
        often = [
            number
            for number in self.faults
            if 2 * sum(_faulty(verdict, number) for verdict in self.heard) > len(self.heard)
        ]
        return tuple(often) or self.faults

    @property
    def late(self) -> tuple[int, ...]:
        """Numbers of the notes that came late or early in most of the times through."""
        count = Counter(
            note.number for verdict in self.heard for note in verdict.notes if note.timed
        )
        return tuple(sorted(n for n, times in count.items() if times * 2 > len(self.heard)))

    @property
    def against_click(self) -> float | None:
        """Mean of all attacks, ms after the click."""
        own = [
            verdict.timing.click.mean
            for verdict in self.heard
            if verdict.timing and verdict.timing.click and verdict.timing.click.mean is not None
        ]
        return float(np.mean(own)) if own else None


def _clean(verdict: Verdict) -> bool:
    faults = [n for n in verdict.notes if n.call in ("wrong", "missed")]
    unheard = verdict.doubt and any(note.call == "unclear" for note in verdict.notes)
    return not verdict.refused and not faults and not verdict.extras and not unheard


def _faulty(verdict: Verdict, number: int) -> bool:
    return any(n.number == number and n.call in ("wrong", "missed") for n in verdict.notes)


def best_of(rungs: Sequence[JudgedRung]) -> JudgedRung:
    """The fastest that is clean; where none is, the last."""
    return next((rung for rung in reversed(rungs) if rung.clean), rungs[-1])


def practice_sentence(rungs: Sequence[JudgedRung]) -> str:
    """ "Clean up to 96; at 104 notes 7 and 12 break it. Stay on 96." """
    if not any(rung.heard for rung in rungs):
        return "Nothing of this practice was heard; was it the same place, and the same choices?"
    by_what: dict[str, list[JudgedRung]] = {}
    for rung in rungs:
        by_what.setdefault(rung.what, []).append(rung)
    broken = [what for what, own in by_what.items() if not all(rung.clean for rung in own)]
    chosen = broken[0] if broken else list(by_what)[-1]
    said = _one_ladder(by_what[chosen])
    if len(by_what) == 1:
        return said
    more = f" So do {len(broken) - 1} others, see below." if len(broken) > 1 else ""
    return f"{chosen}: {said[:1].lower()}{said[1:]}{more}"


def _one_ladder(rungs: Sequence[JudgedRung]) -> str:
    """What is to be said of the rungs of one thing."""
    clean = list(takewhile(lambda rung: rung.clean, rungs))
    if len(clean) == len(rungs):
        late = clean[-1].late
        if late:
            first = f"note{'s' * (len(late) > 1)} {_both(late)}"
            return f"Clean on every rung, up to {clean[-1].words}, where {first} came off the beat."
        return f"Clean on every rung, up to {clean[-1].words}."
    at = rungs[len(clean)]
    first = f"Clean up to {clean[-1].words}; at {at.words}" if clean else f"At {at.words}"
    stay = f"Stay on {clean[-1].words}" if clean else "Begin slower"
    if not at.heard:
        return f"{first} nothing of it was heard."
    if at.unsure:
        return f"{first} not every note could be heard."
    if not at.breaks:
        return f"{first} notes are added. {stay} until nothing is."
    worst = sorted(at.breaks[:2])
    what = f"note {worst[0]} breaks" if len(worst) == 1 else f"notes {_both(worst)} break"
    return f"{first} {what} it. {stay} until they go five times in a row."


def _both(numbers: Sequence[int]) -> str:
    head = ", ".join(map(str, numbers[:-1]))
    return f"{head} and {numbers[-1]}" if head else str(numbers[-1])
