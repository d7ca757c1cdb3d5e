"""A score of seventeen or more wind parts and 150 bars, made from a string quartet.

    python bench/section_material.py section.musicxml [COUNT]

COUNT is 17 unless given, and at most 27.

The quartet is Haydn's opus 74 no. 1, first movement, from the corpus that music21
carries (public domain).  Each wind part doubles one of its voices, of a chord the
highest note, in the octaves that it can play, and is written as its player reads it:
seven transpositions, two clefs.  Without chord symbols, so that chords have to be
read from the notes.
"""

from __future__ import annotations

import sys
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path

from music21 import chord, clef, corpus, instrument, interval, metadata, stream, tempo

QUARTET = "haydn/opus74no1/movement1"
BARS = 150


@dataclass(frozen=True, slots=True)
class Player:
    """One wind part: the voice it doubles, and how it is written."""

    name: str
    voice: int
    """Of the quartet, from 0."""
    octaves: int
    """By which it sounds above the voice."""
    transposition: str
    """From written to sounding, as an interval of music21."""
    bass: bool = False


PLAYERS = (
    Player("Piccolo", 0, 1, "P8"),
    Player("Flute 1", 0, 0, "P1"),
    Player("Flute 2", 1, 1, "P1"),
    Player("Oboe", 1, 0, "P1"),
    Player("Bassoon", 3, 0, "P1", bass=True),
    Player("Clarinet 1 in B flat", 0, 0, "M-2"),
    Player("Clarinet 2 in B flat", 1, 0, "M-2"),
    Player("Clarinet 3 in B flat", 2, 0, "M-2"),
    Player("Bass clarinet", 3, 0, "M-9"),
    Player("Alto saxophone", 1, 0, "M-6"),
    Player("Tenor saxophone", 2, 0, "M-9"),
    Player("Baritone saxophone", 3, 0, "M-13"),
    Player("Trumpet in B flat", 0, 0, "M-2"),
    Player("Horn in F", 2, 0, "P-5"),
    Player("Trombone", 2, 0, "P1", bass=True),
    Player("Euphonium", 3, 0, "P1", bass=True),
    Player("Tuba", 3, -1, "P1", bass=True),
    Player("Flute 3", 1, 1, "P1"),
    Player("Oboe 2", 2, 0, "P1"),
    Player("English horn", 2, 0, "P-5"),
    Player("Bassoon 2", 3, 0, "P1", bass=True),
    Player("Clarinet in E flat", 0, 0, "m3"),
    Player("Alto saxophone 2", 2, 0, "M-6"),
    Player("Trumpet 2 in B flat", 1, 0, "M-2"),
    Player("Horn 2 in F", 2, 0, "P-5"),
    Player("Trombone 2", 3, 0, "P1", bass=True),
    Player("Bass trombone", 3, 0, "P1", bass=True),
)
USUAL = 17


def write_section_score(path: Path, count: int = USUAL) -> Path:
    """Write the score of the first players; takes a while, for music21 writes out every part."""
    quartet = corpus.parse(QUARTET)
    score = stream.Score()
    score.metadata = metadata.Metadata(title="Measured section", composer="Joseph Haydn")
    for player in PLAYERS[:count]:
        score.insert(0, _part(quartet.parts[player.voice].measures(1, BARS), player))
    score.write("musicxml", fp=str(path))
    return path


def _part(voice: stream.Stream, player: Player) -> stream.Part:
    part = stream.Part(id=player.name.replace(" ", "-"))
    part.partName = player.name
    playing = instrument.Instrument(player.name)
    playing.transposition = interval.Interval(player.transposition)
    for number, source in enumerate(voice.getElementsByClass("Measure")):
        measure = stream.Measure(number=source.number)
        if number == 0:
            measure.insert(0, playing)
            measure.insert(0, clef.BassClef() if player.bass else clef.TrebleClef())
            measure.insert(0, tempo.MetronomeMark(number=132))
        for kind in ("KeySignature", "TimeSignature"):
            for signature in source.getElementsByClass(kind):
                measure.insert(signature.offset, deepcopy(signature))
        for event in source.flatten().notesAndRests:
            if not event.duration.isGrace:
                measure.insert(event.offset, _one_note(event, player.octaves))
        part.append(measure)
    written = interval.Interval(player.transposition).reverse()
    for signature in part.recurse().getElementsByClass("KeySignature"):
        signature.transpose(written, inPlace=True)
    for note in part.recurse().notes:
        note.transpose(written, inPlace=True)
    return part


def _one_note(event: chord.Chord, octaves: int) -> object:
    """A note or rest of the source, of a chord the highest note, in its octave."""
    if event.isRest:
        return deepcopy(event)
    made = deepcopy(event.notes[-1] if isinstance(event, chord.Chord) else event)
    made.duration, made.tie = deepcopy(event.duration), event.tie
    return made.transpose(f"P{1 + 7 * octaves}" if octaves >= 0 else f"P-{1 - 7 * octaves}")


if __name__ == "__main__":
    write_section_score(Path(sys.argv[1]), *map(int, sys.argv[2:]))
