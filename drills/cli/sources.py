"""From what stands on the command line to what is read: a file, a folder, or typed bars."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from drills.errors import UsageError
from drills.reading.source import ScoreSource, Typed


def source_of(
    score: Path | None,
    notes: str | None,
    instrument: str | None,
    limits: Mapping[str, str] | None = None,
) -> ScoreSource:
    """The score, or the typed bars; where there is neither, they are asked for at a terminal.

    Raises UsageError where there are both, or neither and nobody to ask.
    """
    if notes is None:
        return _asked_for(instrument, limits or {}) if score is None else score
    if score is not None:
        raise UsageError(f"--notes takes the place of a score; leave out {score}")
    return Typed(notes, instrument or "")


def _asked_for(instrument: str | None, limits: Mapping[str, str]) -> Typed:
    from drills.cli.ask import can_ask  # noqa: PLC0415 - only where nothing is named
    from drills.cli.typing_in import typed_at_terminal  # noqa: PLC0415 - likewise
    from drills.reading.limits import Limits  # noqa: PLC0415 - likewise

    typed = typed_at_terminal(instrument, Limits().with_values(limits)) if can_ask() else None
    if typed is None:
        raise UsageError(
            'name a score, or type the bar: --notes "4/4 F major: 16ths c5 bb4 c5 e5" '
            "--instrument clarinet"
        )
    return typed


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
