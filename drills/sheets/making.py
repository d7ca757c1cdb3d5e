"""The waist of the program: spots and choices go in, a Sheet comes out.

Without a time the sheet has everything (whole.py); with one it is planned (plan.py).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from drills.effort.easy import easy_start
from drills.effort.within import hard_moves, moves_within
from drills.harmony.chord import Harmony
from drills.instruments.judged import EffortInstrument
from drills.music.lines import bar_starts
from drills.music.score import Part
from drills.music.tempo import Tempo
from drills.music.time import START, TimeSignature
from drills.places.finding import Span
from drills.places.spots import Spot, goes_back, make_spot
from drills.places.tempos import AskedTempo, TempoMap, asked_at, tempo_map
from drills.places.words import stretch_words
from drills.reading.remarks import CHORDS_FROM
from drills.sheets.as_written import as_written
from drills.sheets.blocks import Block, BlockKind, Plan
from drills.sheets.choices import Choices
from drills.sheets.chord_notes.spot import SpotChords, spot_chords
from drills.sheets.excerpt import Excerpt, make_excerpt, setting_at
from drills.sheets.given import Given
from drills.sheets.ladder import Ladder, make_ladder
from drills.sheets.metre_changes import metre_remarks_in
from drills.sheets.own_rhythm import AS_WRITTEN
from drills.sheets.plan import planned
from drills.sheets.sheet import CAUTIONS, Paper, Sheet
from drills.sheets.telling import instruction
from drills.sheets.whole import all_cells, all_lines

CHORDS_TITLE: Final = "Chords, slowly: your note in each"
LINE_TITLE: Final = "The line as written"
_NEEDED: Final = {BlockKind.BEGIN, BlockKind.BEATS, BlockKind.RHYTHM}
"""Kinds of blocks for which a page is added."""
LINE_WORDS: Final = "The spot on top of the page."


def make_sheet(
    part: Part,
    span: Span,
    choices: Choices,
    note: str = "",
    harmonies: Sequence[Harmony] | None = None,
    *,
    paper: Paper | None = None,
) -> Sheet:
    """Everything that is printed for one spot.

    ``note`` is the player's own word about it; ``harmonies`` are the chords that
    sound, in quarters from the start of the part: with them every note gets its
    function, and the chords are drilled too.  ``paper`` says whether a sheet fits on the
    pages that are wanted; it is asked where the choices name minutes.  Raises PlaceError
    where the spot has no notes, UsageError for choices that make no sense, NotationError
    for what cannot be written.
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
    tempo = performing_tempo(part, span, choices)
    excerpt = make_excerpt(part, spot)
    chords = spot_chords(part, spot, excerpt, harmonies) if harmonies else None
    time = setting_at(part, spot.line[0]).time
    start = ladder_start(part, spot, time, choices)
    own = replace(choices, start=start)
    given = Given(part, spot, own, tempo, moves, hard_moves(spot.line, moves))
    ladder = make_ladder(tempo, given.time, rungs=choices.rungs, start=start, value=given.level)
    fixed = (_line_block(excerpt, spot, ladder), *_chord_block(chords, ladder))
    sheet = Sheet(
        credits=part.credits,
        part=part.name,
        spot=spot,
        words=_heading(part, spot),
        tempo=tempo,
        excerpt=excerpt if chords is None else chords.excerpt,
        blocks=fixed,
        ladder=ladder,
        start=start,
        cautions=CAUTIONS,
        remarks=(
            *metre_remarks_in(part, spot, choices.asked_tempo),
            *_remarks(part, spot, instruments, choices, with_chords=chords is not None),
            *(chords.remarks if chords is not None else ()),
        ),
        moves=moves,
        hard=given.hard,
        student=choices.student,
        teacher=choices.teacher,
        source=part.source,
        functions=chords.functions if chords is not None else (),
        held=chords.held if chords is not None else (),
    )
    return _filled(sheet, given, paper)


def _filled(sheet: Sheet, given: Given, paper: Paper | None) -> Sheet:
    """The sheet with everything that can be made, or with what its minutes and pages hold."""
    minutes = given.choices.minutes
    if minutes is None:
        return replace(sheet, blocks=(*all_cells(given), *all_lines(given), *sheet.blocks))
    made = _planned(sheet, given, minutes, paper)
    smaller = None if paper is None else paper.smaller(made)
    if smaller is None:
        return made
    less = _planned(sheet, given, minutes, smaller)
    same = less.plan is not None and not less.plan.why and _use(less) >= _use(made)
    return less if same else made


def _use(sheet: Sheet) -> set[BlockKind]:
    """What a practice should not do without, as far as the sheet has it."""
    return {block.kind for block in sheet.blocks} & _NEEDED


def _planned(sheet: Sheet, given: Given, minutes: Fraction, paper: Paper | None) -> Sheet:
    def fits(blocks: Sequence[Block], plan: Plan) -> bool:
        return paper is None or paper.holds(replace(sheet, blocks=tuple(blocks), plan=plan))

    blocks, plan = planned(given, sheet.blocks, minutes, fits)
    return replace(sheet, blocks=blocks, plan=plan)


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
        tempo=_asked_here(part, spot, choices),
    )


def _asked_here(part: Part, spot: Spot, choices: Choices) -> AskedTempo | None:
    """The tempo asked for, with its place only where that makes another tempo of it.

    A part is judged once for all spots that ask in the same words.
    """
    asked = choices.asked_tempo
    same = tempo_map(part, asked) == tempos_for(part, spot.span, choices)
    return asked if same else asked_at(asked, _start_of(part, spot.span))


def performing_tempo(part: Part, span: Span, choices: Choices) -> Tempo:
    """The tempo where a spot begins."""
    return tempos_for(part, span, choices).at(_start_of(part, span))


def tempos_for(part: Part, span: Span, choices: Choices) -> TempoMap:
    """The tempos of the part for a spot: one that the player names is the spot's own."""
    return tempo_map(part, asked_at(choices.asked_tempo, _start_of(part, span)))


def _start_of(part: Part, span: Span) -> Fraction:
    """Quarters from the start of the part to where a span begins."""
    return bar_starts(part)[span.first.bar] + span.first.start.quarters


def _heading(part: Part, spot: Spot) -> str:
    """The spot in words, its landing note included, as a heading."""
    words = spot.span.words
    landing = spot.line[-1].origin
    if spot.landing and landing is not None:
        first = spot.span.first
        start = None if first.start == START else first.start
        words = stretch_words(part, (first.bar, start), (landing.bar, landing.start))
    return words[:1].upper() + words[1:]


def _line_block(excerpt: Excerpt, spot: Spot, ladder: Ladder) -> Block:
    """The line as written, for which the spot itself is the music."""
    return Block(
        AS_WRITTEN,
        BlockKind.LINE,
        LINE_TITLE,
        instruction(ladder.repetitions, LINE_WORDS),
        (as_written(excerpt, spot.line),),
        ladder,
        printed=False,
    )


def _chord_block(chords: SpotChords | None, ladder: Ladder) -> tuple[Block, ...]:
    """The player's note in each chord of the spot, at the slowest number."""
    if chords is None or chords.drill is None:
        return ()
    slow = Ladder(ladder.beat, ladder.rungs[:1], (), 1)
    words = "Each note until it is in tune and at rest; once through at this number."
    return (Block("chords", BlockKind.CHORDS, CHORDS_TITLE, words, (chords.drill,), slow),)


def _remarks(
    part: Part,
    spot: Spot,
    instruments: Sequence[EffortInstrument],
    choices: Choices,
    *,
    with_chords: bool,
) -> tuple[str, ...]:
    found = [one for one in part.remarks if with_chords or not one.startswith(CHORDS_FROM)]
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
