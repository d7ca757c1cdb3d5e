"""What of a sheet can have been played, each thing with what a recording of it must have."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Final

from drills.errors import PlaceError, UsageError
from drills.harmony.chord import Harmony
from drills.harmony.tuning import cents
from drills.jobs.request import Settings
from drills.jobs.sheets import music_of
from drills.jobs.wanted_spots import wanted_spots
from drills.listening.wanted import Wanted
from drills.listening.written import slurs_of, wanted_of
from drills.music.pitch import Pitch
from drills.project.book import BookSpot
from drills.reading.musicxml import open_score
from drills.rewriting.rewrite import rewritten
from drills.sheets.blocks import drill_words
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from drills.sound.timeline import Passage, drill_passage, spot_passage, spot_start

AUTO: Final = "auto"
SPOT: Final = "The spot as it stands"


@dataclass(frozen=True, slots=True)
class Material:
    """Something that can be played, and what a recording of it must have."""

    what: str
    """"The spot as it stands", or a drill's heading and label."""
    wanted: Wanted
    written: tuple[Pitch, ...]
    """Each note as the player reads it; of a chord the highest tone."""
    bar: float
    """Quarters of its first bar."""
    hard: tuple[tuple[int, str], ...] = ()
    """Numbers of the notes that hard moves lead to, each with what is hard about it."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What of the sheet was played."""

    place: str
    part: str | None = None
    drill: str | None = None
    """A label of the sheet, a heading and a label, or "auto"; None for the spot."""
    practice: Path | None = None
    """The plan of the practice sound that was played to, or that sound (WAV)."""


def materials_of(
    score: Path, asked: Asked, settings: Settings
) -> tuple[Sheet, tuple[Material, ...]]:
    """The sheet of the spot and all that is on it, the spot itself first."""
    part, chords = music_of(
        open_score(score, settings.limits, settings.given), asked.part, settings
    )
    spots = wanted_spots(part, [BookSpot(asked.place)])
    if len(spots) != 1:
        raise PlaceError(f"name one place with --at; {asked.place!r} means {len(spots)}")
    span = spots[0].span
    played = rewritten(part, settings.rewriting, [span])
    sheet = make_sheet(played, span, settings.choices)
    passage = spot_passage(sheet, played)
    spot = _material(SPOT, passage, sheet, slurs_of(sheet))
    spot = replace(spot, hard=tuple(_hard(sheet, spot.wanted)))
    if chords is not None:
        harmonies = chords.around(span, settings.rewriting)
        spot = _in_chords(spot, passage, spot_start(sheet, played), harmonies)
    drills = (
        _material(drill_words(block, drill), drill_passage(drill), sheet)
        for block in sheet.blocks
        if block.printed
        for drill in block.drills
    )
    return sheet, (spot, *drills)


def _material(what: str, passage: Passage, sheet: Sheet, slurred: Sequence[bool] = ()) -> Material:
    wanted = wanted_of(passage, sheet.tempo, slurred)
    written = tuple(
        max((tone for tone in one.tones if isinstance(tone, Pitch)), key=lambda tone: tone.midi)
        for one in passage.sounds()
    )
    return Material(what, wanted, written, float(passage.bars[0].length.quarters))


def _hard(sheet: Sheet, wanted: Wanted) -> Iterator[tuple[int, str]]:
    """The hard moves of the spot; the sheet counts main notes, a verdict grace notes too."""
    mains = [number for number, note in enumerate(wanted.notes, 1) if not note.grace]
    for number in sheet.hard:
        move = sheet.moves[number - 2] if 2 <= number <= len(sheet.moves) + 1 else None
        if number <= len(mains):
            yield mains[number - 1], "" if move is None else move.words.partition(";")[0]


def _in_chords(
    material: Material, passage: Passage, start: Fraction, harmonies: Sequence[Harmony]
) -> Material:
    """The same with where each note is beatless in the chord that it begins in."""
    notes = []
    for one, written, note in zip(
        passage.sounds(), material.written, material.wanted.notes, strict=True
    ):
        at = start + one.at.quarters
        chord = next((h.chord for h in harmonies if h.start <= at < h.end), None)
        pitch = one.transposition.sounding(written)
        notes.append(replace(note, pure=None if chord is None else cents(chord, pitch)))
    return replace(material, wanted=replace(material.wanted, notes=tuple(notes)))


def asked_for(materials: Sequence[Material], name: str | None) -> tuple[Material, ...]:
    """The drill that is named, or all of them for "auto"; UsageError for none or several."""
    if name is None:
        return (materials[0],)
    if name == AUTO:
        return tuple(materials)
    wanted = name.strip().casefold()
    found = [
        one
        for number, one in enumerate(materials)
        if wanted in (one.what.casefold(), one.what.casefold().rpartition(", ")[2], f"#{number}")
    ]
    if len(found) == 1:
        return (found[0],)
    names = ", ".join(dict.fromkeys(one.what.rpartition(", ")[2] for one in materials[1:]))
    what = "no drill" if not found else "more than one drill"
    raise UsageError(f"--drill {name}: {what} of the sheet is called that; there are {names}, auto")
