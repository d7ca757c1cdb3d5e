"""The cost of a move where no fingering is known: distance and register alone.

For strings, voices, keyboards, tuned percussion and instruments that the
program does not know, and for a note that a fingering table does not have.  A
part that goes through here says so (``EffortInstrument.assumptions``).
"""

from __future__ import annotations

from itertools import product

from drills.effort import weights
from drills.effort.air import interval_term
from drills.effort.terms import Term
from drills.music.pitch import Pitch, Tone, Unpitched

_FOURTH = 5


def nearest(first: tuple[Tone, ...], second: tuple[Tone, ...]) -> tuple[Tone, Tone]:
    """Of two chords the tones that lie nearest; of equals the first."""
    return min(product(first, second), key=lambda pair: abs(_height(pair[0]) - _height(pair[1])))


def interval_terms(
    first: Tone, second: Tone, low: int | None = None, high: int | None = None
) -> tuple[Term, ...]:
    """Reasons that follow from the notes alone.

    ``low`` and ``high`` are the usual range (written MIDI numbers) where one is
    known.  Two notes without a pitch differ by the drum alone.
    """
    if not (isinstance(first, Pitch) and isinstance(second, Pitch)):
        return _sticking(first, second)
    if first.midi == second.midi:
        return ()
    pair = f"{first}-{second}"
    return (
        Term("no table", weights.UNSPECIFIED.value, f"{pair}: how the hands move is not known"),
        *interval_term(float(first.midi), float(second.midi)),
        *(term for tone in (first, second) for term in _edge(tone, low, high)),
    )


def outside_terms(first: Pitch, second: Pitch, outside: tuple[Pitch, ...]) -> tuple[Term, ...]:
    """Reasons where the table lacks one note or both."""
    named = " and ".join(dict.fromkeys(str(tone) for tone in outside))
    words = f"{named}: no fingering in the table"
    moved = first.midi != second.midi
    return (
        Term("outside the table", weights.OUTSIDE.value if moved else 0.0, words),
        *interval_term(float(first.midi), float(second.midi)),
    )


def _sticking(first: Tone, second: Tone) -> tuple[Term, ...]:
    if first == second:
        return ()
    return (Term("sticking", weights.OTHER_DRUM.value, f"from {first} to {second}"),)


def _edge(tone: Pitch, low: int | None, high: int | None) -> list[Term]:
    """A note in the lowest or highest fourth of the range, or beyond it."""
    if low is None or high is None or high - low <= 2 * _FOURTH:
        return []
    if low + _FOURTH <= tone.midi <= high - _FOURTH:
        return []
    return [Term("edge of the range", weights.EDGE.value, f"{tone} lies at the edge of the range")]


def _height(tone: Tone) -> float:
    """Semitones; staff steps of an unpitched note stand for 12/7 of one."""
    if isinstance(tone, Unpitched):
        return tone.diatonic * 12 / 7
    return float(tone.midi)
