"""Real music for takes: stretches of the project's scores, and old tunes of music21's corpus.

Tunes: Ryan's Mammoth Collection (1883) and Aird's Airs (1782 to 1801), read by music21 itself.
Either is moved into the range of an instrument and played as fast as fingers go, at most.
"""

from __future__ import annotations

import warnings
from collections.abc import Container
from dataclasses import replace
from functools import cache
from pathlib import Path

import music21
import numpy as np

from bench.font_takes import INSTRUMENTS
from drills.errors import DrillsError
from drills.jobs.request import Settings
from drills.jobs.take_material import Asked, materials_of
from drills.listening.transposed import moved
from drills.listening.wanted import Wanted, WantedNote
from drills.reading.musicxml import open_score

SCORES = Path(__file__).parent.parent / "scores"
CORPUS = Path(music21.__file__).parent / "corpus"
MOST_NOTES = 44
SHORTEST = 0.105
"""Seconds of the shortest note: what takes this player's fingers."""


@cache
def places() -> tuple[tuple[Path, str, str], ...]:
    """Score, part and place of stretches of four bars all through the project's own music."""
    found = []
    for name in ("march", "air", "swing"):
        path = SCORES / f"{name}.musicxml"
        for number in range(1, len(open_score(path).entries) + 1):
            found += [(path, str(number), f"{bar}-{bar + 3}") for bar in range(1, 34, 4)]
    return tuple(found)


@cache
def tunes() -> tuple[Path, ...]:
    """Files of the corpus with one tune each, or several."""
    return tuple(
        sorted([*(CORPUS / "ryansMammoth").glob("*.abc"), *(CORPUS / "airdsAirs").glob("*.abc")])
    )


def own_music(rng: np.random.Generator) -> Wanted:
    """A stretch of the project's scores; LookupError where nothing is to be played there."""
    path, part, place = places()[int(rng.integers(len(places())))]
    try:
        return materials_of(path, Asked(place, part), Settings())[1][0].wanted
    except DrillsError as error:
        raise LookupError(place) from error


def a_tune(rng: np.random.Generator) -> Wanted:
    """The beginning of a tune of the corpus, read by music21."""
    path = tunes()[int(rng.integers(len(tunes())))]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        parsed = music21.converter.parse(path)
    if isinstance(parsed, music21.stream.Opus):
        parsed = parsed.scores[int(rng.integers(len(parsed.scores)))]
    line = parsed.parts[0].flatten().stripTies()
    notes = tuple(
        WantedNote(
            float(n.offset), float(n.quarterLength), int(n.pitch.midi), beat=n.offset % 1 == 0
        )
        for n in line.notes
        if isinstance(n, music21.note.Note) and n.quarterLength > 0
    )
    return Wanted(notes, 0.6)


def music(
    rng: np.random.Generator, instrument: str, possible: Container[int]
) -> tuple[Wanted, float]:
    """Notes in an instrument's range, and the seconds of a quarter that they are played in."""
    _, low, high = INSTRUMENTS[instrument]
    while True:
        try:
            given = (own_music if rng.random() < 0.5 else a_tune)(rng)
        except (LookupError, music21.Music21Exception):
            continue
        plain = [note for note in given.notes if not note.grace and note.length > 0.06]
        first = plain[0].at if plain else 0.0
        notes = tuple(replace(note, at=note.at - first) for note in plain[:MOST_NOTES])
        keys = [note.key for note in notes]
        if len(notes) < 14 or max(keys) - min(keys) > high - low:
            continue
        shift = int(rng.integers(low - min(keys), high - max(keys) + 1))
        if any(key + shift not in possible for key in keys):
            continue
        pace = max(60 / float(rng.uniform(60, 112)), SHORTEST / min(n.length for n in notes))
        return moved(replace(given, notes=notes), shift), pace
