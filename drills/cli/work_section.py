"""What ``drills section`` does, once its options are read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from drills.cli.options import FileOptions, RunOptions, session
from drills.cli.screen import Progress, say, say_data
from drills.cli.work import asking_silent, remark, style_of, with_pages
from drills.harmony.tuning import Tuned
from drills.jobs.request import Settings
from drills.jobs.section import (
    SectionOutputs,
    SectionWanted,
    SectionWritten,
    write_section,
)
from drills.output.engrave import Ahead
from drills.reading.given import Given
from drills.reading.limits import Limits
from drills.reading.source import ScoreSource
from drills.rewriting.asked import Rewriting
from drills.sheets.choices import Choices


def make_section(
    scores: Sequence[ScoreSource],
    places: Sequence[str],
    parts: Sequence[str],
    *,
    said: Sequence[tuple[str, str]],
    counts: Sequence[tuple[str, int]],
    cells: int | None,
    whole_score: bool = True,
    choices: Choices,
    pages: int = 0,
    rewriting: Rewriting | None,
    tuned: Tuned,
    given: Given,
    limits: Mapping[str, str],
    files: FileOptions,
    run: RunOptions,
    leader_only: bool,
    ahead: Ahead | None,
) -> None:
    """A section's material for some places, written and told, or told as data."""
    first = () if files.json and files.output is None else ("pdf",)
    style = replace(style_of(run), ahead=ahead, midi_tempo=files.midi_tempo)
    formats = tuple(dict.fromkeys((*first, *files.also)))
    outputs = SectionOutputs(files.output, formats, files.force, leader_only, style)
    settings = Settings(
        choices,
        Limits().with_values(limits),
        rewriting=rewriting,
        tuned=tuned,
        page=style.page,
        pages=pages,
    )
    wanted = SectionWanted(
        tuple(places), tuple(parts), tuple(said), tuple(counts), cells, whole_score
    )
    with Progress(session()) as tell:
        settings = replace(settings, given=asking_silent(given, tell, as_data=files.json))
        done = write_section(scores, wanted, settings, outputs, tell)
        data = _data(done) if files.json else ""
    remark((*done.remarks, *_about(done)))
    if files.json:
        say_data(data)
    elif not session().quiet:
        for path, taken in zip(done.paths, done.pages, strict=True):
            say(f"{path}{with_pages(taken)}")


def _about(done: SectionWritten) -> list[str]:
    """What the player should know of each section: what was assumed, and who has no sheet."""
    told: list[str] = []
    for section in done.sections:
        told += section.remarks
        told += [
            f"{player.part.name}: {player.silence}" for player in section.players if player.silence
        ]
        for player in section.players:
            told += player.sheet.remarks if player.sheet is not None else ()
    return told


def _data(done: SectionWritten) -> str:
    from drills.output.data import json_text, section_data  # noqa: PLC0415 - only for --json

    return json_text([section_data(section) for section in done.sections])
