"""``drills section``: every player's sheet from a score or from parts, and the section's page."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import click

from drills.cli.options import (
    AskedTempo,
    FileOptions,
    ForOptions,
    GivenOptions,
    PlanOptions,
    RunOptions,
    at_tempo,
    player_command,
)
from drills.cli.sources import sources_of
from drills.errors import UsageError
from drills.harmony.tuning import Tuned
from drills.jobs.asked import drilled, music, planning
from drills.jobs.asked import files as asked_files
from drills.sheets.choices import Choices

EPILOG = """\b
Examples:
  drills section march.musicxml --at 33
  drills section march.musicxml --at D:4-D:5 --parts "Clarinet 1,Clarinet 2"
  drills section march.musicxml --at 33 --chord 33=C9 --section-cells 4
  drills section march.musicxml --at 33,41 -o rehearsal --also midi
  drills section alto1.musicxml alto2.abc tenor.mid --at E

Under each note stands what it is in the chord that sounds: R the root, 3 the third,
p a passing note and so on; the small numbers are cents for a beatless chord. Tune
softly and listen more than you play. Rest often, and stop at the first sign of pain;
what your teacher or a doctor says comes first."""


@player_command(
    "section",
    click.argument("scores", nargs=-1, type=click.Path(path_type=Path)),
    choices=(*music.CHOICES, *drilled.CHOICES, *planning.CHOICES, *asked_files.CHOICES),
    groups={
        "given": GivenOptions,
        "drill": Choices,
        "plan": PlanOptions,
        "tuned": Tuned,
        "wanted": ForOptions,
        "files": FileOptions,
        "run": RunOptions,
    },
    epilog=EPILOG,
)
def command(
    *,
    scores: tuple[Path, ...],
    notes: tuple[str, ...],
    instrument: tuple[str, ...],
    at: tuple[str, ...],
    parts: tuple[str, ...],
    tempo: AskedTempo | None,
    chord: tuple[tuple[str, str], ...],
    section_cells: int | None,
    whole_score: bool,
    no_cells: bool,
    players: tuple[tuple[str, int], ...],
    leader_only: bool,
    drill: Choices,
    plan: PlanOptions,
    tuned: Tuned,
    wanted: ForOptions,
    files: FileOptions,
    run: RunOptions,
    given: GivenOptions,
    limit: dict[str, str],
) -> None:
    """Make every player's sheet, and the page of the section.

    Takes the bars that you name out of SCORES, which is a full score, or the parts in
    files of their own, or a folder or a book of them, and writes a folder:
    Section.pdf for the leader, with the spot as slow chords, built up in the order in
    which a section tunes, and the hard cells for all together; and a PDF for each
    player who plays there, with their own sheet and what each note is in the chord.
    A staff for several players ("Trombone 1, 2") makes a file for each of them. With
    --for, the players named by --parts get it for another instrument.
    """
    if not scores:
        given.check(notes)
    sources = sources_of(scores, notes, instrument)
    if not at and scores:
        raise UsageError("name the place with --at, such as --at 12, --at E:3 or --at 12@3-13@1")
    rewriting = wanted.rewriting()
    if rewriting is not None and not parts:
        raise UsageError("--for rewrites the parts of certain players; name them with --parts")
    choices = plan.planned(at_tempo(drill, tempo))
    from drills.output.engrave import Engraving, lilypond_ahead  # noqa: PLC0415 - not for --help

    printed = not files.json or files.output is not None
    with lilypond_ahead(Engraving(run.lilypond), count=AHEAD if printed else 0) as ahead:
        from drills.cli import work_section  # noqa: PLC0415 - heavy: while LilyPond starts

        work_section.make_section(
            sources,
            at,
            parts,
            said=chord,
            counts=players,
            cells=0 if no_cells else section_cells,
            whole_score=whole_score,
            choices=choices,
            pages=plan.pages or 0,
            rewriting=rewriting,
            tuned=tuned,
            given=given.given(),
            limits=limit,
            files=files,
            run=run,
            leader_only=leader_only,
            ahead=ahead,
        )


AHEAD: Final = 5
"""LilyPonds that start while the score is read: a section is engraved in portions."""
