"""What ``import drills`` offers: read, spots, sheet, practice and write.

    part = read("march.musicxml", part="Clarinet 1")
    for passage in spots(part)[:3]:
        print(passage.words, passage.why)
    write(sheet(part, at="33", rhythms=["dotted"]), "33.pdf")
    write(practice(part, at="33"), "33.flac")

A function here takes the words that a player would type and passes on what the program
itself works with.  The command line goes the same way.  Every error is a DrillsError.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from os import PathLike
from pathlib import Path
from typing import TypeVar

from drills.effort.reasons import why as reasons_of
from drills.effort.suggest import HardSpot
from drills.errors import UsageError
from drills.jobs.request import Outputs, Settings
from drills.jobs.sheet_files import SheetSet
from drills.jobs.sheets import file_name
from drills.jobs.sound import practice_in, write_practice
from drills.jobs.sound_files import SOUND_ENDINGS, PracticeSet, SoundOutputs
from drills.jobs.spots import Judging, rank
from drills.jobs.wanted_spots import Wanted
from drills.jobs.writing import write_outputs
from drills.music.score import Part
from drills.output.files import ENDINGS, made_from
from drills.places.finding import Span, find_span
from drills.places.tempos import AskedTempo
from drills.reading.given import Given, read_key, read_metre
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_part
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from drills.sound.practice.choices import PracticeChoices

Name = str | PathLike[str]
"""A path of a file."""


@dataclass(frozen=True, slots=True)
class Passage:
    """A hard spot of a part, as a player reads of it."""

    words: str
    """Where it is: "bar 33, beats 1 to 2"."""
    why: str
    """What makes it hard."""
    at: str
    """The place as it may be typed, for ``sheet`` and ``practice``."""
    hardness: float
    """Fingers a second; larger is harder."""
    spot: HardSpot
    """All that is known of it."""


def read(
    path: Name,
    part: str | int | None = None,
    *,
    limits: Limits | None = None,
    metre: str | None = None,
    key: str | None = None,
) -> Part:
    """One part of a score, by its name or number; None where the score has one part.

    ``metre`` and ``key``, such as "6/8" and "F major", hold where the file gives none.

    Raises ReadError for a file that is no music, UsageError for a part that is not there.
    """
    chosen = None if part is None else str(part)
    given = Given(read_metre(metre) if metre else None, read_key(key) if key else None)
    return read_part(open_score(Path(path), limits or Limits(), given), chosen)


def spots(
    part: Part,
    *,
    tempo: Fraction | int | None = None,
    instrument: str | None = None,
    voice: str = "",
) -> tuple[Passage, ...]:
    """The hard spots of a part, the hardest first.

    ``tempo`` is in beats a minute, the score's own unless given.  Raises UsageError, and
    PlaceError for a voice that the part does not have.
    """
    asked = None if tempo is None else AskedTempo(Fraction(tempo))
    ranking = rank(part, Judging(voice, instrument, asked))
    return tuple(
        Passage(
            spot.span.words,
            reasons_of(ranking.judged, spot),
            spot.span.asked,
            spot.hardness,
            spot,
        )
        for spot in ranking.spots
    )


def sheet(part: Part, at: str, *, note: str = "", **choices: object) -> Sheet:
    """The sheet of one spot.

    ``at`` is a place as a player types it, ``note`` the player's own word about it;
    ``choices`` are fields of Choices by their names, lists and whole numbers welcome.
    Raises PlaceError, UsageError (also for a choice that there is none of), NotationError.
    """
    return make_sheet(part, find_span(part, at), _choices(Choices, choices), note)


def practice(
    part: Part, at: str, *, choices: Choices | None = None, **sound: object
) -> PracticeSet:
    """Practice sound for one spot of a part that is played alone.

    ``sound`` are fields of PracticeChoices by their names; ``choices`` those of the sheet
    that it belongs to.  Raises as ``sheet`` does.
    """
    settings = Settings(choices or Choices())
    return practice_in(
        (part,), 0, [Wanted(find_span(part, at))], settings, _choices(PracticeChoices, sound)
    )


def write(
    made: Sheet | SheetSet | PracticeSet, path: Name, *, force: bool = False
) -> tuple[Path, ...]:
    """Write a sheet, several, or practice sound; the ending of ``path`` says in which format.

    Returns the files, cue sheets included: all of them are written, or none.  A file that
    is there already and was made from something else is replaced only with ``force``.
    Raises WriteError, EngraveError, and UsageError for an ending that is no format.
    """
    file = Path(path)
    if isinstance(made, PracticeSet):
        sound = SoundOutputs(file, (_format(file, SOUND_ENDINGS),), force)
        return write_practice(made, sound).paths
    sheets = _set_of(made) if isinstance(made, Sheet) else made
    return write_outputs(sheets, Outputs(file, (_format(file, ENDINGS),), force)).paths


def _set_of(made: Sheet) -> SheetSet:
    span: Span = made.spot.span
    mark = made_from(made.source, made.part, [span.asked], made.credits.title)
    return SheetSet((made,), file_name(made.part, [span.asked]), mark)


def _format(path: Path, endings: Mapping[str, str]) -> str:
    found = next((name for name, ending in endings.items() if ending == path.suffix.lower()), None)
    if found is None:
        raise UsageError(f"{path}: end the name in one of {', '.join(endings.values())}")
    return found


_Chosen = TypeVar("_Chosen", Choices, PracticeChoices)


def _choices(kind: type[_Chosen], given: Mapping[str, object]) -> _Chosen:
    """An object of choices from keywords: lists become tuples, numbers exact.

    Raises UsageError for a name that it does not have.
    """
    known = {field.name: str(field.type) for field in fields(kind)}
    wrong = next((name for name in given if name not in known), None)
    if wrong is not None:
        raise UsageError(f"there is no choice {wrong!r}; there are {', '.join(known)}")
    exact = {name: _exact(value, known[name]) for name, value in given.items()}
    return replace(kind(), **exact)  # type: ignore[arg-type]  # the class checks its values


def _exact(value: object, kind: str) -> object:
    if isinstance(value, list):
        return tuple(value)
    return Fraction(value) if "Fraction" in kind and isinstance(value, int | str) else value
