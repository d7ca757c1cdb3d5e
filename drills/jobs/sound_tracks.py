"""One source -> its tracks: all in one file, or one for each heading of the sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from drills.errors import UsageError
from drills.jobs.sound_files import (
    Track,
)
from drills.jobs.sound_score import (
    DRONES,
    SECTION,
)
from drills.jobs.wanted_spots import about
from drills.output.files import (
    safe_name,
)
from drills.sound.practice.choices import Material, PracticeChoices
from drills.sound.practice.headings import Heading, headings_of
from drills.sound.practice.material import Source
from drills.sound.practice.practice import Practice, make_practice


def tracks(
    source: Source, place: str, choices: PracticeChoices, *, each: bool
) -> Iterator[Track | None]:
    """All in one, or one for each heading of the sheet: None for those that are not played."""
    if not each:
        yield Track(_sounding(source, choices), place)
        return
    for heading in headings_of(source.sheet):
        if heading.material not in choices.material:
            yield None
            continue
        with about(f"{source.sheet.words}, {heading.words}"):
            alone = replace(source, sheet=heading.alone(source.sheet))
            practice = _sounding(alone, _fitting(choices, heading))
        yield Track(practice, place, f"{heading.number}-{_in_a_name(heading.words)}")


def shared(choices: PracticeChoices, sources: Sequence[Source], *, each: bool) -> PracticeChoices:
    """The choices with a total length divided among all files that are written."""
    total = choices.climb.total
    if total is None:
        return choices
    files = len(sources)
    if each:
        headings = [one for source in sources for one in headings_of(source.sheet)]
        files = sum(heading.material in choices.material for heading in headings)
    share = total / max(files, 1)
    return replace(choices, climb=replace(choices.climb, total=share))


def _sounding(source: Source, choices: PracticeChoices) -> Practice:
    """The practice; UsageError where all of it would be silence."""
    if choices.only_counts:
        raise UsageError(
            "with --click none alone only the count-in would sound; add drums with --groove or "
            "the music with --with, or choose a click"
        )
    practice = make_practice(source, choices)
    if next(practice.events(), None) is None:
        raise UsageError("nothing would sound; choose a click, a groove or a voice to play along")
    return practice


def _in_a_name(words: str) -> str:
    """A heading as it stands in the name of a file."""
    return safe_name(words.lower().replace(",", ""))


def _fitting(choices: PracticeChoices, heading: Heading) -> PracticeChoices:
    """The choices without voices that have nothing to play under a heading."""
    silent: tuple[str, ...] = () if heading.material is Material.SPOT else (SECTION,)
    if heading.material not in (Material.SPOT, Material.CHORDS):
        silent += DRONES
    voices = tuple(voice for voice in choices.voices if voice not in silent)
    return replace(choices, material=(heading.material,), voices=voices)
