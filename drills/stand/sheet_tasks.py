"""What the stand's processes do for pages on paper: the jobs of the command line, to bytes.

Scores are named as in the player's folder, where these processes work, so that every file is the
very one that the command line writes there.
"""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Final

from drills.errors import UsageError
from drills.jobs.book import build_book
from drills.jobs.request import Outputs, Settings, Tell, say_nothing
from drills.jobs.section import SectionOutputs, SectionWanted, write_section
from drills.jobs.sheet_files import PRINTED, SheetSet
from drills.jobs.sheets import build_sheets
from drills.jobs.sound import build_practice, write_practice
from drills.jobs.sound_files import SoundOutputs
from drills.jobs.writing import files_of
from drills.music.pitch import Pitch
from drills.output.data.section import section_data
from drills.output.engrave import lilypond_ahead
from drills.project.book import read_book
from drills.section.players import Section, SliceNote
from drills.sound.practice.choices import PracticeChoices
from drills.sound.practice.climb import Climb
from drills.stand.given import given_of
from drills.stand.telling import Told
from drills.stand.wishes import Words, settings_of

KINDS: Final = ("pdf", "svg", "midi", "musicxml")
Files = tuple[tuple[str, bytes], ...]
"""Names without a folder, and contents."""


def sheet(
    of: tuple[str, str], places: tuple[str, ...], words: Words, kind: str, tell: Tell
) -> Told:
    """The pages of ``drills sheet SCORE --part PART --at PLACE``, in one format.

    ``of``: score and part.
    """
    score, part = of
    settings, style = settings_of(words)
    settings = replace(settings, given=given_of(Path(score)))
    if _kind(kind) not in PRINTED:
        made = build_sheets(Path(score), places, part, settings, tell)
        return _written(made, Outputs(formats=(kind,), style=style), tell)
    with lilypond_ahead(style.engraving, (kind,)) as ahead:  # it starts while the score is read
        made = build_sheets(Path(score), places, part, settings, tell)
        style = replace(style, ahead=ahead)
        return _written(made, Outputs(formats=(kind,), style=style), tell)


def book(name: str, words: Words, kind: str, tell: Tell) -> Told:
    """The pages of ``drills book``."""
    settings, style = settings_of(words)
    made = build_book(read_book(Path(name)), settings, tell)
    return _written(made, Outputs(formats=(_kind(kind),), style=style), tell)


def _kind(kind: str) -> str:
    if kind not in KINDS:
        raise UsageError(f"choose of {', '.join(KINDS)}")
    return kind


def _written(made: SheetSet, outputs: Outputs, tell: Tell) -> Told:
    files, rendered = files_of(made, outputs, tell)
    told = (one for sheet in made.sheets for one in sheet.remarks)
    return {
        "files": [(file.path.name, file.content) for file in files],
        "pages": rendered.pages,
        "remarks": list(dict.fromkeys((*made.remarks, *told, *rendered.remarks))),
    }


def climb(score: str, part: str, place: str, tell: Tell = say_nothing) -> Told:
    """The sound of ``drills click SCORE --part PART --at PLACE``, as WAV."""
    settings = Settings(given=given_of(Path(score)))
    choices = PracticeChoices(climb=Climb(rungs=settings.choices.rungs))
    made = build_practice(Path(score), [place], part, settings, choices, tell=tell)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"{made.names[0]}.wav"
        written = write_practice(made, SoundOutputs(path), tell)
        return {"files": [(path.name, written.paths[0].read_bytes())], "remarks": made.remarks}


def section(
    score: str,
    places: tuple[str, ...],
    parts: tuple[str, ...],
    words: Words,
    tell: Tell = say_nothing,
) -> Told:
    """What ``drills section`` writes: PDFs of the leader and the players, and the leader's picture.

    With it the chords of the section as data (docs/schema/section.json).
    """
    settings, style = settings_of(words)
    settings = replace(settings, functions=False)
    with tempfile.TemporaryDirectory() as folder:
        outputs = SectionOutputs(Path(folder) / "section", ("pdf", "svg"), style=style)
        wanted = SectionWanted(places, parts)
        done = write_section([Path(score)], wanted, settings, outputs, tell)
        files = [(path.name, path.read_bytes()) for path in done.paths]
    return {
        "files": files,
        "sections": [{**section_data(one), "beats": _beats(one)} for one in done.sections],
        "remarks": list(done.remarks),
    }


def _beats(one: Section) -> list[Told]:
    """What sounds on every beat: where and in which chord, who plays what, and the keys."""
    return [
        {
            "words": f"bar {each.bar}, beat {each.beat}",
            "chord": "" if each.harmony is None else str(each.harmony.chord),
            "who": [_who(one, note) for note in each.notes],
            "keys": [
                round(float(sounding.midi) + (note.cents or 0.0) / 100, 4)
                for note in each.notes
                if isinstance(sounding := note.sounding or note.written, Pitch)
            ],
        }
        for each in one.slices
        if each.beat.isdecimal()
    ]


def _who(one: Section, note: SliceNote) -> str:
    """ "Clarinet 1 in B flat: minor seventh"."""
    name = one.players[note.part].part.name
    return name if note.function is None else f"{name}: {note.function.words}"
