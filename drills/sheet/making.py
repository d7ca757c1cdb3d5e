"""The waist of the program: spots and choices go in, a Sheet comes out.

Nothing above this module knows LilyPond, MIDI or audio; everything below it
works on a Sheet alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from drills.effort.easy import easy_start
from drills.effort.moves import Move
from drills.effort.within import hard_moves, moves_within
from drills.errors import UsageError
from drills.harmony.chord import Harmony, NoteFunction
from drills.instruments.judged import EffortInstrument
from drills.music.lines import bar_starts
from drills.music.score import Credits, Part
from drills.music.tempo import Tempo
from drills.music.time import START, NoteValue, Position, TimeSignature
from drills.places.finding import Span
from drills.places.spots import Run, Spot, goes_back, make_spot
from drills.places.tempos import AskedTempo, TempoMap, asked_at, tempo_map
from drills.places.words import stretch_words
from drills.sheet.cells import CellGroup, Order, cell_groups
from drills.sheet.chord_notes.spot import SpotChords, spot_chords
from drills.sheet.drill import EVEN, Drill, DrillKind, Ending, cell_drill, levelled, line_drills
from drills.sheet.excerpt import Excerpt, HeldFunctions, make_excerpt, setting_at
from drills.sheet.ladder import RUNGS, Ladder, make_ladder
from drills.sheet.metre_changes import metre_remarks_in
from drills.sheet.rhythms import Rhythm, find_rhythms

CAUTIONS: Final = (
    "Repeat slowly and correctly: what is repeated wrong is learned wrong.",
    "Rest often, stop at pain, and keep the level in headphones low. "
    "Your teacher's and your doctor's advice come before this sheet.",
)
"""Printed on every sheet."""

DEFAULT_RHYTHMS: Final = ("even", "dotted", "reversed-dotted", "grouped-in-threes")


@dataclass(frozen=True, slots=True)
class Choices:
    """What the player chooses about a sheet; every field has a sensible default."""

    sizes: tuple[int, ...] = (2, 3, 4)
    """Sizes of cells, 2 to 8; empty for none."""
    rhythms: tuple[str, ...] = DEFAULT_RHYTHMS
    """For whole runs: names of the table, families, or proportions such as "3:1:1:2"."""
    cell_rhythms: tuple[str, ...] = ()
    """Rhythms for cells, besides even notes, where their size is at least one cycle."""
    order: Order = Order.MUSIC
    ending: Ending = Ending.HOLD
    """How a cell goes on after its last note."""
    turn: int = 0
    """Notes later that the cycle of a line's rhythm starts."""
    approach: bool = False
    """The note before the spot belongs to the line."""
    landing: bool = True
    """The note after the spot belongs to the line."""
    value: NoteValue | None = None
    """Levelled value of the even line; the commonest in the music unless given."""
    cell_value: NoteValue = NoteValue("eighth")  # noqa: RUF009 - frozen
    keep_still: bool = False
    """Keep cells that repeat one pitch."""
    tempo: Fraction | None = None
    """Performing tempo in ``tempo_beat`` a minute; the score's unless given."""
    tempo_beat: NoteValue | None = None
    """What ``tempo`` counts; the beat of the time signature unless given."""
    tempo_source: str = "as asked"
    """Where ``tempo`` comes from, for the sheet's header."""
    tempo_only_for: str | None = None
    """``tempo`` holds only where the score has these words and no number."""
    tempo_place: Fraction | None = None
    """Where ``tempo`` is asked for, in quarters from the start of the part; the beginning of
    each spot unless given."""
    start: Fraction | None = None
    """Lowest rung in beats a minute; unless given the tempo up to which the spot is easy, or
    half the performing tempo where it is easy at that."""
    rungs: int = RUNGS
    voice: str | None = None
    instrument: str | None = None
    """What moves are judged on; the score's unless given."""
    student: bool = False
    """Room for the student's name and the date."""
    teacher: bool = False
    """Room for the teacher's word."""

    @property
    def asked_tempo(self) -> AskedTempo | None:
        """The tempo that the player names, if any."""
        if self.tempo is None:
            return None
        beat, source = self.tempo_beat, self.tempo_source
        return AskedTempo(self.tempo, beat, source, self.tempo_only_for, self.tempo_place)

    def __post_init__(self) -> None:
        wrong = [size for size in self.sizes if not 2 <= size <= 8]
        if wrong:
            raise UsageError(f"a cell has 2 to 8 notes, not {wrong[0]}")
        if not (self.sizes or self.rhythms):
            raise UsageError("neither cells nor rhythms are asked for; give --sizes or --rhythm")


@dataclass(frozen=True, slots=True)
class DrillGroup:
    """Drills that stand together under one heading."""

    title: str
    """"Two notes at a time"."""
    kind: DrillKind
    drills: tuple[Drill, ...]
    before_merging: tuple[tuple[int, int], ...] = ()
    """For cells: the number range of each, before equal ones were merged."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """An ordered set of drills with the printed spot they come from."""

    credits: Credits
    part: str
    """The part's name as printed."""
    spot: Spot
    words: str
    """The spot for reading, capitalised as a heading would be."""
    tempo: Tempo
    """The performing tempo."""
    excerpt: Excerpt
    groups: tuple[DrillGroup, ...]
    ladder: Ladder
    cautions: tuple[str, ...]
    remarks: tuple[str, ...] = ()
    """What was left out or assumed, as far as it concerns this spot."""
    student: bool = False
    teacher: bool = False
    source: str = ""
    """The file the part was read from."""
    moves: tuple[Move | None, ...] = ()
    """From each note of the line to the next; None from run to run."""
    hard: tuple[int, ...] = ()
    """Numbers of the notes that the hard moves of the spot lead to."""
    functions: tuple[tuple[NoteFunction, ...], ...] = ()
    """For each note of the line what each of its tones does in the chord; empty unless asked."""
    held: tuple[HeldFunctions, ...] = ()
    """The same in every chord that begins while a note is held."""
    start: Fraction | None = None
    """Beats a minute that its ladders begin with; None for half the performing tempo."""
    sounds: tuple[str, ...] = ()
    """For the spot and each heading after it the name of its sound file; empty unless asked."""


def make_sheet(
    part: Part,
    span: Span,
    choices: Choices,
    note: str = "",
    harmonies: Sequence[Harmony] | None = None,
) -> Sheet:
    """Everything that is printed for one spot.

    ``note`` is the player's own word about it; ``harmonies`` are the chords that
    sound, in quarters from the start of the part: with them every note gets its
    function, and the chords are drilled too.  Raises PlaceError where the spot has
    no notes, UsageError for choices that make no sense, NotationError for what
    cannot be written.
    """
    spot = make_spot(
        part,
        span,
        voice=choices.voice,
        landing=choices.landing,
        approach=choices.approach,
        note=note,
    )
    moves, instruments = moves_within(part, spot.runs, choices.instrument)
    setting = setting_at(part, spot.line[0])
    tempo = performing_tempo(part, span, choices)
    start = ladder_start(part, spot, setting.time, choices)
    excerpt = make_excerpt(part, spot)
    chords = spot_chords(part, spot, excerpt, harmonies) if harmonies else None
    return Sheet(
        credits=part.credits,
        part=part.name,
        spot=spot,
        words=_heading(part, spot),
        tempo=tempo,
        excerpt=excerpt if chords is None else chords.excerpt,
        groups=(
            *_cell_groups(part, spot, choices, moves),
            *_line_groups(part, spot, choices),
            *_chord_groups(chords),
        ),
        ladder=make_ladder(
            tempo,
            setting.time,
            rungs=choices.rungs,
            start=start,
            value=levelled(max(spot.runs, key=lambda run: len(run.attacks)), setting),
        ),
        start=start,
        cautions=CAUTIONS,
        remarks=(
            *_remarks(part, spot, instruments, choices),
            *metre_remarks_in(part, spot, choices.asked_tempo),
            *(chords.remarks if chords is not None else ()),
        ),
        moves=moves,
        hard=hard_moves(spot.line, moves),
        student=choices.student,
        teacher=choices.teacher,
        source=part.source,
        functions=chords.functions if chords is not None else (),
        held=chords.held if chords is not None else (),
    )


def ladder_start(part: Part, spot: Spot, time: TimeSignature, choices: Choices) -> Fraction | None:
    """Where ladders of a spot begin: as asked, or at the tempo up to which it is easy.

    None where it is easy at its tempo already, so that half of it is slow enough.
    """
    if choices.start is not None:
        return choices.start
    return easy_start(
        part,
        spot.span,
        time,
        voice=spot.voice,
        instrument=choices.instrument,
        tempo=choices.asked_tempo,
    )


def performing_tempo(part: Part, span: Span, choices: Choices) -> Tempo:
    """The tempo where a spot begins."""
    at = bar_starts(part)[span.first.bar] + span.first.start.quarters
    return tempos_for(part, span, choices).at(at)


def tempos_for(part: Part, span: Span, choices: Choices) -> TempoMap:
    """The tempos of the part for a spot: one that the player names is the spot's own."""
    at = bar_starts(part)[span.first.bar] + span.first.start.quarters
    return tempo_map(part, asked_at(choices.asked_tempo, at))


def _heading(part: Part, spot: Spot) -> str:
    """The spot in words, its landing note included, as a heading."""
    words = spot.span.words
    landing = spot.line[-1].origin
    if spot.landing and landing is not None:
        first = spot.span.first
        start = None if first.start == START else first.start
        words = stretch_words(part, (first.bar, start), (landing.bar, landing.start))
    return words[:1].upper() + words[1:]


# --- drills --------------------------------------------------------------------

CHORDS_TITLE: Final = "Chords, slowly: your note in each"

_COUNT_WORDS: Final = ("", "", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight")


def _cell_groups(
    part: Part, spot: Spot, choices: Choices, moves: Sequence[Move | None]
) -> list[DrillGroup]:
    costs = [0.0 if move is None else move.cost for move in moves]
    groups = cell_groups(
        spot.runs, choices.sizes, choices.order, costs, keep_still=choices.keep_still
    )
    extra = [rhythm for name in choices.cell_rhythms for rhythm in find_rhythms(name)]
    made = []
    for group in groups if choices.sizes else ():
        made.append(_cell_group(part, spot, choices, group, None))
        for rhythm in extra:
            if 0 < group.size >= len(rhythm.weights):
                made.append(_cell_group(part, spot, choices, group, rhythm))
    return made


def _cell_group(
    part: Part, spot: Spot, choices: Choices, group: CellGroup, rhythm: Rhythm | None
) -> DrillGroup:
    """The cells of one size, even unless a rhythm is given."""
    title = (
        f"{_COUNT_WORDS[group.size]} notes at a time" if group.size else "Each hard move, growing"
    )
    drills = tuple(
        cell_drill(
            cell,
            setting_at(part, cell.attacks[0]),
            choices.cell_value,
            choices.ending,
            slurs=spot.slurs,
            rhythm=rhythm or EVEN,
        )
        for cell in group.cells
    )
    return DrillGroup(
        title if rhythm is None else f"{title}, {rhythm.name}",
        DrillKind.CELL,
        drills,
        tuple(cell.ranges[0] for cell in group.before_merging),
    )


def _line_groups(part: Part, spot: Spot, choices: Choices) -> list[DrillGroup]:
    """One group: every rhythm over every run that has more than one note."""
    runs = [run for run in spot.runs if len(run.attacks) > 1]
    rhythms = [rhythm for name in choices.rhythms for rhythm in find_rhythms(name)]
    drills = [
        drill
        for rhythm in dict.fromkeys(rhythms)
        for run in runs
        for drill in line_drills(
            run,
            setting_at(part, run.attacks[0]),
            rhythm,
            spot.slurs,
            value=choices.value,
            turn=choices.turn,
            named=len(spot.runs) > 1,
            places=_places_in_bars(part, run),
        )
    ]
    title = "The whole line in rhythms" if len(runs) == 1 else "Each run of the line in rhythms"
    return [DrillGroup(title, DrillKind.LINE, tuple(drills))] if drills else []


def _chord_groups(chords: SpotChords | None) -> list[DrillGroup]:
    """One group: the player's note in each chord of the spot."""
    if chords is None or chords.drill is None:
        return []
    return [DrillGroup(CHORDS_TITLE, DrillKind.CHORD, (chords.drill,))]


def _places_in_bars(part: Part, run: Run) -> tuple[Position, ...]:
    """Where each note of a run stands in its bar, a pickup counted from its missing start."""
    places = (attack.origin for attack in run.attacks if attack.origin is not None)
    return tuple(place.start + part.bars[place.bar].offset for place in places)


def _remarks(
    part: Part, spot: Spot, instruments: Sequence[EffortInstrument], choices: Choices
) -> tuple[str, ...]:
    found = list(part.remarks)
    if spot.other_voices:
        others: Sequence[str] = spot.other_voices
        found.append(
            f"voice {spot.voice} is drilled; voice{'s' * (len(others) > 1)} {', '.join(others)} "
            f"{'plays' if len(others) == 1 else 'play'} here too"
        )
    if len(spot.line) == 1:
        found.append("a single note is played here: there is no move to drill")
    last = spot.line[-1].origin
    wanted = choices.landing and not spot.span.includes_end
    if wanted and last is not None and goes_back(part.bars[last.bar]):
        found.append("the music goes back from here, so there is no landing note")
    assumed = (words for instrument in instruments for words in instrument.assumptions)
    return (*found, *dict.fromkeys(assumed))
