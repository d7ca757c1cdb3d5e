"""From what stands on the command line to what is read: a file, a folder, or typed bars."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from drills.errors import UsageError
from drills.reading.source import ScoreSource, Typed


def source_of(score: Path | None, notes: str | None, instrument: str | None) -> ScoreSource:
    """The score, or the typed bars; raises UsageError where there are both or neither."""
    if notes is None:
        if score is None:
            raise UsageError(
                'name a score, or type the bar: --notes "4/4 F major: 16ths c5 bb4 c5 e5" '
                "--instrument clarinet"
            )
        return score
    if score is not None:
        raise UsageError(f"--notes takes the place of a score; leave out {score}")
    return Typed(notes, instrument or "")


def sources_of(
    scores: Sequence[Path], notes: Sequence[str], instruments: Sequence[str]
) -> tuple[ScoreSource, ...]:
    """Scores, then typed bars, each for the instrument that stands in its place."""
    if len(instruments) > len(notes):
        raise UsageError("--instrument goes with --notes; give it once for each, in its order")
    if not (scores or notes):
        raise UsageError("name a score, several, or a folder; or type bars with --notes")
    named = [*instruments, *[""] * (len(notes) - len(instruments))]
    return (*scores, *(Typed(text, name) for text, name in zip(notes, named, strict=True)))
