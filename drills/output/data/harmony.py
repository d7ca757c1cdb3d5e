"""Chords and functions as data."""

from __future__ import annotations

from drills.harmony.chord import Chord, NoteFunction
from drills.output.data.text import Data, exact


def chord_data(chord: Chord) -> Data:
    """A chord in concert pitch; root and bass are null where there is none."""
    return {
        "name": str(chord),
        "kind": chord.kind,
        "root": None if chord.root is None else str(chord.root),
        "bass": None if chord.bass is None else str(chord.bass),
        "source": chord.source.value,
        "certainty": exact(chord.certainty),
    }


def function_data(function: NoteFunction) -> Data:
    """What a note does in the chord that sounds."""
    return {"label": function.label, "words": function.words, "role": function.role.value}
