"""What of a sheet can have been played, each thing with what a recording of it must have."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType
from typing import Final

from drills.errors import PlaceError, UsageError
from drills.harmony.chord import Harmony
from drills.harmony.tuning import cents
from drills.jobs.paper import paper_for
from drills.jobs.request import Settings
from drills.jobs.sheets import music_of
from drills.jobs.wanted_spots import wanted_spots
from drills.listening.paper import OnPaper
from drills.listening.thresholds import USUAL, Thresholds
from drills.listening.wanted import Wanted
from drills.listening.written import origins_of, slurs_of, wanted_of
from drills.music.lines import bar_starts
from drills.music.pitch import Pitch
from drills.music.score import Part
from drills.music.time import NoteValue
from drills.places.finding import Span
from drills.project.book import BookSpot
from drills.reading.musicxml import open_score
from drills.rewriting.rewrite import rewritten
from drills.sheets.blocks import Block, drill_words
from drills.sheets.choices import USUAL_MINUTES
from drills.sheets.clicks.words import DOTS, SINGULARS
from drills.sheets.drill import Drill
from drills.sheets.ladder import Ladder
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from drills.sound.groove import Swing, settled, swing_ratio
from drills.sound.timeline import Passage, Struck, drill_passage, spot_passage, spot_start

AUTO: Final = "auto"
SPOT: Final = "The spot as it stands"


@dataclass(frozen=True, slots=True)
class Material:
    """Something that can be played, and what a recording of it must have."""

    what: str
    """"The spot as it stands", or a drill's heading and label."""
    wanted: Wanted
    paper: OnPaper
    """How the player reads its notes."""
    ladder: Ladder
    """The metronome numbers that lead to its performing speed."""
    bar: float
    """Quarters of its first bar ..."""
    length: float
    """... and of one time through."""
    drill: Drill | None = None
    """None for the spot."""
    number: int = 0
    """Its number on the printed page, counted from the top; 0 where it is not on it."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What of the sheet was played, and by what it is to be judged."""

    place: str
    part: str | None = None
    drill: str | None = None
    """A label of the sheet, a heading and a label, or "auto"; None for the spot."""
    practice: Path | None = None
    """The plan of the practice sound that was played to, or that sound."""
    swing: Swing | None = None
    """How eighths are meant; None for as they are written."""
    click: tuple[NoteValue | None, Fraction] | None = None
    """What a click counted (None: the beat of the music) and how often a minute."""
    thresholds: Thresholds = USUAL
    minutes: Fraction = USUAL_MINUTES
    """What the page was printed for."""

    def ratio(self, sheet: Sheet) -> float | None:
        """How many times as long an eighth on the beat is meant to be; None where not said.

        After the tempo of the click that was played to, else the performing tempo.
        """
        if self.swing is None:
            return None
        performing = sheet.tempo.quarters_per_minute
        counted = performing
        if self.click is not None:
            beat, number = self.click
            counted = number * (sheet.tempo.beat if beat is None else beat.length).quarters
        return float(swing_ratio(counted, settled(self.swing, performing)))


def materials_of(
    score: Path, asked: Asked, settings: Settings
) -> tuple[Sheet, tuple[Material, ...]]:
    """The sheet of the spot and all that can be on it.

    First the spot itself, then what is on the page, then what has no room there.
    """
    part, chords = music_of(
        open_score(score, settings.limits, settings.given), asked.part, settings
    )
    spots = wanted_spots(part, [BookSpot(asked.place)])
    if len(spots) != 1:
        raise PlaceError(f"name one place with --at; {asked.place!r} means {len(spots)}")
    span = spots[0].span
    played = rewritten(part, settings.rewriting, [span])
    sheet = make_sheet(played, span, settings.choices)
    swing = asked.ratio(sheet) or 1.0
    spot = _spot(sheet, played, swing)
    drills = tuple(_drills(sheet, swing))
    if asked.drill is not None:
        drills = _page_first(tuple(_drills(_page(played, span, asked, settings), swing)), drills)
    if chords is None:
        return sheet, (spot, *drills)
    chords.check([span])
    sounding = _Sounding(played, chords.around(span, settings.rewriting))
    start = spot_start(sheet, played)
    passages = (
        spot_passage(sheet, played),
        *(drill_passage(one.drill) for one in drills if one.drill),
    )
    found = (
        sounding.of(one, passage, start if one is spot else None)
        for one, passage in zip((spot, *drills), passages, strict=True)
    )
    return sheet, tuple(found)


def _page(part: Part, span: Span, asked: Asked, settings: Settings) -> Sheet:
    """The sheet as it is printed, with what its minutes hold."""
    choices = replace(settings.choices, minutes=settings.choices.minutes or asked.minutes)
    return make_sheet(part, span, choices, paper=paper_for(settings.page, settings.pages))


def _drills(sheet: Sheet, swing: float) -> Iterator[Material]:
    for block in sheet.blocks:
        if block.printed:
            for drill in block.drills:
                yield _drill(sheet, block, drill, swing)


def _page_first(page: Sequence[Material], rest: Sequence[Material]) -> tuple[Material, ...]:
    """What is on the page by its number there, and what else can be made."""
    named = {one.what for one in page}
    numbered = (replace(one, number=number) for number, one in enumerate(page, 1))
    return (*numbered, *(one for one in rest if one.what not in named))


def _spot(sheet: Sheet, part: Part, swing: float) -> Material:
    passage = spot_passage(sheet, part)
    wanted = wanted_of(passage, sheet.tempo, slurs_of(sheet), swing)
    bars = tuple(wanted.bar_words[wanted.notes[n].bar] for n in wanted.mains)
    hard = MappingProxyType(dict(_hard(sheet, len(bars))))
    paper = _counted(OnPaper(_read(passage), bars, hard), sheet.ladder)
    bar = float(passage.bars[0].time.bar_length.quarters)
    return Material(SPOT, wanted, paper, sheet.ladder, bar, float(passage.length))


def _drill(sheet: Sheet, block: Block, drill: Drill, swing: float) -> Material:
    passage = drill_passage(drill)
    wanted = wanted_of(passage, sheet.tempo, swing=swing if drill.rhythm == "even" else 1.0)
    bar = float(passage.bars[0].time.bar_length.quarters)
    paper = _counted(OnPaper(_read(passage)), block.ladder)
    return Material(
        drill_words(block, drill), wanted, paper, block.ladder, bar, float(passage.length), drill
    )


def _counted(paper: OnPaper, ladder: Ladder) -> OnPaper:
    """The same with what the ladder counts."""
    beat = ladder.beat
    words = f"{DOTS[beat.dots]}{SINGULARS[beat.kind]}"
    return replace(paper, beat=float(beat.length.quarters), beat_words=words)


def _read(passage: Passage) -> tuple[Pitch, ...]:
    """Each main note as the player reads it; of a chord the highest tone."""
    return tuple(_highest(one) for one in passage.sounds() if not one.grace)


def _highest(one: Struck) -> Pitch:
    return max((tone for tone in one.tones if isinstance(tone, Pitch)), key=lambda tone: tone.midi)


def _hard(sheet: Sheet, count: int) -> Iterator[tuple[int, str]]:
    """The notes of the spot that hard moves lead to, each with what is hard about the move."""
    for number in sheet.hard:
        move = sheet.moves[number - 2] if 2 <= number <= len(sheet.moves) + 1 else None
        if number <= count:
            yield number, "" if move is None else move.words.partition(";")[0]


@dataclass(frozen=True, slots=True)
class _Sounding:
    """The chords of a part, for what is played of it."""

    part: Part
    harmonies: Sequence[Harmony]

    def of(self, material: Material, passage: Passage, start: Fraction | None) -> Material:
        """The same with where each note is beatless in the chord that it begins in.

        ``start``: where the passage begins in the part; None for a drill, whose notes say
        themselves where they come from.
        """
        starts = bar_starts(self.part)
        origins = {} if start is not None else origins_of(passage)
        notes = []
        for one, note in zip(passage.sounds(), material.wanted.notes, strict=True):
            at = None if start is None else start + one.at.quarters
            origin = origins.get(one.main.quarters)
            if origin is not None and origin.bar < len(starts):
                at = starts[origin.bar] + origin.start.quarters
            pure = None if at is None else self._pure(at, one.transposition.sounding(_highest(one)))
            notes.append(replace(note, pure=pure))
        return replace(material, wanted=replace(material.wanted, notes=tuple(notes)))

    def _pure(self, at: Fraction, pitch: Pitch) -> float | None:
        chord = next((h.chord for h in self.harmonies if h.start <= at < h.end), None)
        return None if chord is None else cents(chord, pitch)


def asked_for(materials: Sequence[Material], name: str | None) -> tuple[Material, ...]:
    """The drill that is named, or all of them for "auto"; UsageError for none or several.

    Of several that are the same notes in the same rhythm the first is meant.
    """
    if name is None:
        return (materials[0],)
    if name == AUTO:
        return tuple(_different(materials))
    wanted = name.strip().casefold()
    found = tuple(
        _different(
            one
            for one in materials
            if wanted in (one.what.casefold(), one.what.casefold().rpartition(", ")[2])
            or (one.number and wanted == f"#{one.number}")
        )
    )
    if len(found) == 1:
        return found
    names = ", ".join(dict.fromkeys(one.what.rpartition(", ")[2] for one in materials[1:]))
    what = "no drill" if not found else "more than one drill"
    raise UsageError(f"--drill {name}: {what} of the sheet is called that; there are {names}, auto")


def _different(materials: Iterable[Material]) -> Iterator[Material]:
    """The same without what is played as an earlier one is."""
    known = set()
    for one in materials:
        played = tuple((note.at, note.length, note.key, note.grace) for note in one.wanted.notes)
        if played not in known:
            known.add(played)
            yield one
