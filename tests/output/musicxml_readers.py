"""What other programs read in a MusicXML document: each a list of heads in one form."""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import music21

from drills.music.notes import Note
from drills.music.pitch import Pitch, Tone
from drills.sheets.sheet import Sheet

with warnings.catch_warnings():
    # a parser that partitura builds on imports a deprecated module of the standard library
    warnings.simplefilter("ignore", DeprecationWarning)
    import partitura

FINEST = 100_000
"""A reader's float is taken back to the nearest fraction with no larger denominator."""


@dataclass(frozen=True, order=True)
class Head:
    """One note or chord as written, counted from the start of the document."""

    at: Fraction
    length: Fraction
    tones: tuple[str, ...]
    tie_start: bool
    tie_stop: bool


def exact(number: float | Fraction) -> Fraction:
    return Fraction(number).limit_denominator(FINEST)


def named(tone: Tone) -> str:
    return str(tone) if isinstance(tone, Pitch) else f"head {tone.step}{tone.octave}"


def in_sheets(sheets: list[Sheet]) -> list[Head]:
    """What a document of these sheets must hold."""
    found, at = [], Fraction(0)
    for bar in (bar for s in sheets for g in s.blocks for d in g.drills for bar in d.bars):
        for event in (event for voice in bar.voices for event in voice.events):
            if isinstance(event, Note):
                found.append(
                    Head(
                        at + event.start.quarters,
                        event.length.quarters,
                        tuple(sorted(named(tone) for tone in event.tones)),
                        event.tie_start,
                        event.tie_stop,
                    )
                )
        at += bar.length.quarters
    return sorted(found)


def by_music21(document: bytes) -> list[Head]:
    score = music21.converter.parseData(document, format="musicxml")
    found = []
    for note in score.parts[0].flatten().notes:
        if note.duration.isGrace or isinstance(note, music21.harmony.Harmony):
            continue
        tie = note.tie.type if note.tie is not None else ""
        found.append(
            Head(
                exact(note.offset),
                exact(note.quarterLength),
                tuple(sorted(_music21_tones(note))),
                tie in ("start", "continue"),
                tie in ("stop", "continue"),
            )
        )
    return sorted(found)


def _music21_tones(note: music21.note.GeneralNote) -> list[str]:
    if isinstance(note, music21.note.Unpitched):
        return [f"head {note.displayStep}{note.displayOctave}"]
    return [str(Pitch(p.step, exact(p.alter), p.octave)) for p in note.pitches]


def by_partitura(document: bytes, folder: Path) -> list[Head]:
    path = folder / "written.musicxml"
    path.write_bytes(document)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # partitura warns of what it does not keep
        part = partitura.load_musicxml(str(path)).parts[0]
    divisions = int(part.quarter_duration_map(0))
    heads: dict[tuple[Fraction, Fraction], list[tuple[str, bool, bool]]] = {}
    for note in part.iter_all(partitura.score.GenericNote, include_subclasses=True):
        if isinstance(note, partitura.score.GraceNote | partitura.score.Rest):
            continue
        place = Fraction(note.start.t, divisions), Fraction(note.end.t - note.start.t, divisions)
        ties = note.tie_next is not None, note.tie_prev is not None
        heads.setdefault(place, []).append((_partitura_tone(note), *ties))
    return sorted(
        Head(at, length, tuple(sorted(name for name, *_ in found)), *found[0][1:])
        for (at, length), found in heads.items()
    )


def _partitura_tone(note: partitura.score.GenericNote) -> str:
    if isinstance(note, partitura.score.UnpitchedNote):
        return f"head {note.step}{note.octave}"
    return str(Pitch(note.step, exact(note.alter or 0), note.octave))
