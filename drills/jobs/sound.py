"""From a score and a player's choices to practice sound: what sheets.py is for the page.

    made = build_practice(Path("march.musicxml"), ["E:3"], None, Settings(), choices)
    write_practice(made, SoundOutputs())

Reading this module is reading the pipeline: score -> parts -> spans -> sheets ->
practices -> files.  Every error is a DrillsError; ``tell`` is called with the name
of each stage that may take long.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from drills.errors import PlaceError, UsageError
from drills.jobs.assumed_tempo import AskTempo, assumed_tempos, with_tempo
from drills.jobs.request import Outputs, Settings, Tell, say_nothing, unusual
from drills.jobs.sheet_files import SheetSet
from drills.jobs.sheets import file_name
from drills.jobs.sound_files import (
    PRINTED,
    PracticeSet,
    SoundOutputs,
    Track,
    names_on_sheet,
    planned,
    sound_files,
)
from drills.jobs.sound_score import (
    SECTION,
    SoundingScore,
    needs_chords,
    needs_score,
    read_needed,
)
from drills.jobs.sound_tracks import shared, tracks
from drills.jobs.wanted_spots import Wanted, about, places_in, wanted_spots
from drills.jobs.writing import files_of
from drills.music.score import Part
from drills.music.tempo import Tempo
from drills.output.files import (
    ENDINGS,
    check_place,
    chosen_too,
    made_from,
    write_files,
)
from drills.places.aligning import align
from drills.project.book import BookSpot
from drills.reading.source import ScoreSource, paths_of
from drills.rewriting.asked import How
from drills.rewriting.rewrite import rewritten
from drills.section.harmonies import harmonies_in
from drills.section.sheet_chords import SheetChords
from drills.sheets.making import make_sheet, tempos_for
from drills.sheets.sheet import with_ladder
from drills.sound.practice.choices import Material, PracticeChoices
from drills.sound.practice.material import Source


@dataclass(frozen=True, slots=True)
class WrittenPractice:
    """What a call has written."""

    paths: tuple[Path, ...] = ()
    """The sheet last."""
    pages: int = 0
    """Printed pages; 0 where nothing was printed."""
    remarks: tuple[str, ...] = ()
    """What the player should know about the print."""


def build_practice(
    score: ScoreSource,
    places: Sequence[str],
    part: str | None,
    settings: Settings,
    choices: PracticeChoices,
    *,
    tell: Tell = say_nothing,
    each: bool = False,
    ask_tempo: AskTempo | None = None,
) -> PracticeSet:
    """Practice sound for each place in one part, or for each spot that the score marks.

    With ``each`` one practice for every heading of a sheet that ``choices`` plays.  The
    whole score is read only where a voice or the chords need it.  ``part`` and
    ``ask_tempo`` as in build_sheets.  Raises ReadError, UsageError, PlaceError,
    NotationError.
    """
    tell(f"reading {score}")
    parts, own = read_needed(score, part, settings.limits, choices, settings.given)
    music = parts[own]
    wanted = _wanted(score, music, places)
    if ask_tempo is not None:
        spans = [one.span for one in wanted]
        asked = with_tempo(music, spans, settings.choices, ask_tempo)
        settings = replace(settings, choices=asked)
    tell(f"laying out the practice of {music.name or score}")
    return practice_in(parts, own, wanted, settings, choices, each=each, score=score)


def practice_in(
    parts: tuple[Part, ...],
    own: int,
    wanted: Sequence[Wanted],
    settings: Settings,
    choices: PracticeChoices,
    *,
    each: bool = False,
    score: ScoreSource | None = None,
) -> PracticeSet:
    """Practice sound for spots of the part ``own`` of ``parts``, which sound together.

    ``score`` is where the parts come from; their own file unless given.  Raises as
    build_practice does.
    """
    music = parts[own]
    score = Path(music.source) if score is None else score
    read = SoundingScore(parts, own, align(parts) if len(parts) > 1 else None)
    sources = [_source(read, one, settings, choices) for one in wanted]
    choices = shared(choices, sources, each=each)
    named = [one.span.asked for one in wanted]
    sheets = tuple(source.sheet for source in sources)
    name = sheets[0].part
    return PracticeSet(
        tuple(
            tuple(tracks(source, place, choices, each=each))
            for source, place in zip(sources, named, strict=True)
        ),
        SheetSet(
            sheets,
            file_name(name, named),
            made_from(
                score.name,
                name,
                named,
                music.credits.title,
                (
                    *settings.chosen,
                    *unusual(choices, PracticeChoices()),
                    *(["each"] if each else []),
                ),
            ),
            remarks=assumed_tempos(score, sheets, "give --tempo for another"),
            inputs=paths_of(score),
        ),
        tuple(file_name(name, [place]) for place in named),
    )


def read_source(
    score: Path,
    place: str,
    part: str | None,
    settings: Settings,
    choices: PracticeChoices,
) -> Source:
    """One place with all that can sound there, for what plays it otherwise than into a file.

    Terms and errors as for build_practice.
    """
    parts, own = read_needed(score, part, settings.limits, choices, settings.given)
    (wanted, *_) = _wanted(score, parts[own], [place])
    read = SoundingScore(parts, own, align(parts) if len(parts) > 1 else None)
    return _source(read, wanted, settings, choices)


def write_practice(
    made: PracticeSet, outputs: SoundOutputs, tell: Tell = say_nothing
) -> WrittenPractice:
    """Write the practices in every format asked for, their cues and the sheet: all, or none.

    Raises WriteError, before any long work, where a file cannot be written or is not
    ours to replace; UsageError for what a format cannot hold; EngraveError where
    LilyPond fails.
    """
    outputs.check()
    made = outputs.marked(made)
    inputs = made.sheets.inputs
    for file in planned(made, outputs):
        check_place(file.path, made.mark, outputs.force, inputs)
    files, written = sound_files(made, outputs, tell), WrittenPractice()
    if PRINTED in outputs.formats:
        path = outputs.path and outputs.path.with_suffix(ENDINGS[PRINTED])
        printed = Outputs(path, (PRINTED,), outputs.force, outputs.style)
        sheets = _printed(made, outputs)
        mark = chosen_too(sheets.mark, printed.chosen)
        place = printed.place(sheets.name, PRINTED)
        check_place(place, mark, outputs.force, inputs, careful=True)
        pages, rendered = files_of(sheets, printed, tell)
        files = (*files, *pages)
        written = WrittenPractice(pages=rendered.pages, remarks=rendered.remarks)
    write_files(files, outputs.force, inputs)
    return replace(written, paths=tuple(file.path for file in files))


def _printed(made: PracticeSet, outputs: SoundOutputs) -> SheetSet:
    """The sheets with the names of their sound files and the rungs that sound in them."""
    names = names_on_sheet(made, outputs)
    rows = zip(made.sheets.sheets, names, made.spots, strict=True)
    return replace(
        made.sheets,
        mark=chosen_too(made.sheets.mark, ["with its sound"]),
        careful=True,
        sheets=tuple(
            with_ladder(replace(sheet, sounds=own), sheet.ladder.at(_rungs(spot)))
            for sheet, own, spot in rows
        ),
    )


def _rungs(spot: Sequence[Track | None]) -> list[Tempo]:
    """The tempos of all files of a spot, ascending."""
    stages = [stage for track in spot if track is not None for stage in track.practice.stages]
    tempos = dict.fromkeys(stage.tempo for stage in stages)
    return sorted(tempos, key=lambda tempo: tempo.quarters_per_minute)


def _wanted(score: ScoreSource, part: Part, places: Sequence[str]) -> tuple[Wanted, ...]:
    """The spots that are named, else those that the score marks; PlaceError for none."""
    places = places_in(score, part, places)
    wanted = wanted_spots(part, [BookSpot(place) for place in places])
    if not wanted:
        raise PlaceError(
            f"{score}: no place is named and the score marks none; add, for example, --at 12 or "
            "--at E:3 (drills show lists bars and rehearsal marks)"
        )
    return tuple(wanted)


def _source(
    score: SoundingScore,
    one: Wanted,
    settings: Settings,
    choices: PracticeChoices,
) -> Source:
    drilled = settings.choices
    part, span = score.parts[score.own], one.span
    needed = needs_chords(choices)
    chords = SheetChords(score.line, score.own, how=settings.tuned)
    harmonies = chords.common(span) if needed else ()
    with about(one.where):
        played = rewritten(part, settings.rewriting, [span])
        _check_together(part, played, settings, choices)
        drilling = Material.CHORDS in choices.material and bool(harmonies)
        known = harmonies_in(score.line, score.own, harmonies) if drilling else None
        sheet = make_sheet(played, span, drilled, one.note, known)
    others = tuple(index for index in range(len(score.parts)) if index != score.own)
    return Source(
        sheet,
        played,
        tempos_for(played, span, drilled),
        score.sounding_with(played),
        others if SECTION in choices.voices else (),
        harmonies,
    )


def _check_together(part: Part, played: Part, settings: Settings, choices: PracticeChoices) -> None:
    """Music that keeps its letters on an instrument in another key fits no other part."""
    wanted = settings.rewriting
    if wanted is None or wanted.how is not How.WRITTEN or not needs_score(choices):
        return
    before, after = (one.instrument.transposition.chromatic for one in (part, played))
    if (before - after) % 12:
        raise UsageError(
            "with --for-pitch written the music sounds in another key than the other parts; "
            "leave out section, bass, chord and chords, or take --for-pitch sounding"
        )
