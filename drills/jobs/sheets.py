"""From a score and a player's choices to the sheets of its spots.

    sheets = build_sheets(Path("march.musicxml"), ["E:3"], None, Settings())
    write_outputs(sheets, Outputs())                            (writing.py)

Reading this module is reading the pipeline: score -> part -> spans -> sheets.
Every error is a DrillsError; ``tell`` is called with the name of each stage that may
take long.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from drills.errors import PlaceError
from drills.jobs.assumed_tempo import AskTempo, assumed_tempos, with_tempo
from drills.jobs.paper import paper_for
from drills.jobs.sheet_files import SheetSet
from drills.jobs.wanted_spots import Wanted, about, places_in, wanted_spots
from drills.music.score import Part
from drills.output.files import (
    made_from,
    safe_name,
)
from drills.places.finding import Span
from drills.places.words import file_words
from drills.project.book import BookSpot
from drills.reading.musicxml import ScoreFile, open_score, read_all, read_part
from drills.reading.partlist import choose
from drills.reading.source import ScoreSource, paths_of
from drills.rewriting.rewrite import rewritten
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet

if TYPE_CHECKING:  # imported only where chords are wanted
    from drills.jobs.pieces import Piece
    from drills.section.sheet_chords import SheetChords

from drills.jobs.request import Settings, Tell, say_nothing


def build_sheets(
    score: ScoreSource,
    places: Sequence[str],
    part: str | None,
    settings: Settings,
    tell: Tell = say_nothing,
    *,
    ask_tempo: AskTempo | None = None,
) -> SheetSet:
    """One sheet for each place in one part, or for each spot that the score marks.

    The hardest spots of ``settings`` follow, as far as they share no note with those.
    ``part`` is a name or number, None where the score has one part.  ``ask_tempo``
    is called at most once, for the first tempo that is needed and that the score
    gives in words only; what is still assumed then is a remark.  Raises ReadError,
    UsageError, PlaceError, NotationError.
    """
    tell(f"reading {score}")
    opened = open_score(score, settings.limits, settings.given)
    settings = replace(settings, given=opened.given)
    music, chords = music_of(opened, part, settings)
    places = places_in(score, music, places)
    wanted = wanted_spots(music, [BookSpot(place) for place in places])
    if ask_tempo is not None:
        spans = [one.span for one in wanted]
        choices = with_tempo(
            music, spans, settings.choices, ask_tempo, everywhere=settings.hardest > 0
        )
        settings = replace(settings, choices=choices)
    tell(f"writing out the drills of {music.name or score}")
    sheets = sheets_for(music, wanted, settings, chords)
    if settings.hardest:
        sheets += _proposed(music, sheets, settings, chords)
    if not sheets:
        raise _nothing_to_drill(score, music, settings)
    if chords is not None:
        chords.check([sheet.spot.span for sheet in sheets])
    asked = [sheet.spot.span.asked for sheet in sheets]
    name = sheets[0].part
    return SheetSet(
        sheets,
        file_name(name, [_place_name(music, sheet.spot.span) for sheet in sheets]),
        made_from(score.name, name, asked, music.credits.title, settings.chosen),
        remarks=(
            *opened.remarks,
            *assumed_tempos(score, sheets, "give --tempo for another"),
        ),
        inputs=paths_of(score),
    )


def music_of(
    score: ScoreFile, choice: str | None, settings: Settings, piece: Piece | None = None
) -> tuple[Part, SheetChords | None]:
    """The part, and the chords of its score where they are asked for.

    ``piece``: all its parts, where each has a file of its own.
    Chords may have to be read from the notes of all parts; without them only the one
    part is read.
    """
    chosen = choose(score.entries, choice, score.where)
    if not (settings.functions or settings.said):
        return (read_part(score, choice) if piece is None else piece.part), None
    from drills.section.sheet_chords import chords_behind  # noqa: PLC0415 - only where chords are wanted

    index = chosen.number - 1 if piece is None else piece.own
    parts = read_all(score) if piece is None else piece.parts
    return parts[index], chords_behind(parts, index, settings.said, settings.tuned)


def sheets_for(
    part: Part,
    wanted: Sequence[Wanted],
    settings: Settings,
    chords: SheetChords | None,
) -> tuple[Sheet, ...]:
    """A sheet for each spot; for another instrument each spot is moved by itself, so that
    none depends on which others are asked for."""
    sheets: list[Sheet] = []
    rewriting, paper = settings.rewriting, paper_for(settings.page, settings.pages)
    for one in wanted:
        with about(one.where):
            played = rewritten(part, rewriting, [one.span])
            harmonies = None if chords is None else chords.around(one.span, rewriting)
            sheets.append(
                make_sheet(played, one.span, settings.choices, one.note, harmonies, paper=paper)
            )
    return tuple(sheets)


def _nothing_to_drill(score: ScoreSource, part: Part, settings: Settings) -> PlaceError:
    if settings.hardest:
        return PlaceError(
            f"{score}: nothing in {part.name or 'the part'} is hard at its tempo; name a place "
            "with --at, or give a faster --tempo"
        )
    return PlaceError(
        f"{score}: no place is named and the score marks none; add, for example, --at 12, "
        "--at E:3 or --at 12@3-13@1 (drills show lists bars and rehearsal marks), or "
        "--hardest 5 for the hardest spots"
    )


def _proposed(
    part: Part, marked: Sequence[Sheet], settings: Settings, chords: SheetChords | None
) -> tuple[Sheet, ...]:
    """Sheets for the hearts of the hardest passages that share no note with what is marked."""
    choices = settings.choices
    if choices.tempo_place is None:  # as drills spots asks, so that both say the same
        choices = replace(choices, tempo_place=Fraction(0))
    part = rewritten(part, settings.rewriting)
    from drills.effort.reasons import why  # noqa: PLC0415 - only for the hardest spots
    from drills.jobs.spots import Judging, rank  # noqa: PLC0415 - only for the hardest spots

    how = Judging(choices.voice or "", choices.instrument, choices.asked_tempo, settings.judgement)
    theirs = [sheet.spot.span for sheet in marked]
    found = rank(part, how, top=settings.hardest, marked=theirs)
    same_voice = replace(choices, voice=found.judged.voice)
    return tuple(
        make_sheet(
            part,
            spot.heart,
            same_voice,
            why(found.judged, spot),
            None if chords is None else chords.around(spot.heart, settings.rewriting),
            paper=paper_for(settings.page, settings.pages),
        )
        for spot in found.spots
    )


def _place_name(part: Part, span: Span) -> str:
    """A place for a file: as it was typed, and in words where a beat is named."""
    if "@" not in span.asked:
        return span.asked
    first, end = span.first, span.end
    whole = end.start.quarters >= part.bars[end.bar].length.quarters
    last = (end.bar, None if whole else end.start)
    return file_words(
        part, (first.bar, first.start), None if last[0] == first.bar and whole else last
    )


def file_name(part: str, asked: Sequence[str]) -> str:
    """PART-PLACE for a file: "Clarinet-2-E.3+12", or how many more where they are many."""
    name = safe_name(f"{part.replace(',', '') or 'part'}-{'+'.join(asked[:3])}")
    return f"{name}-and-{len(asked) - 3}-more" if len(asked) > 3 else name
