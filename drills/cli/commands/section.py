"""``drills section``: every player's sheet from one score, and the page of the section."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Final

import click

from drills.cli import values
from drills.cli.options import (
    DRILLS,
    FOR,
    LIMIT,
    PLAN,
    RUN,
    TEMPO,
    DrillOptions,
    FileOptions,
    ForOptions,
    PlanOptions,
    RunOptions,
    at_tempo,
    gathered,
    player_command,
    reading,
)
from drills.errors import UsageError
from drills.music.time import NoteValue

EPILOG = """\b
Examples:
  drills section march.musicxml --at 33
  drills section march.musicxml --at D:4-D:5 --parts "Clarinet 1,Clarinet 2"
  drills section march.musicxml --at 33 --chord 33=C9 --section-cells 4
  drills section march.musicxml --at 33,41 -o rehearsal --also midi

Under each note stands what it is in the chord that sounds: R the root, 3 the third,
p a passing note and so on; the small numbers are cents for a beatless chord. Tune
softly and listen more than you play. Rest often, and stop at the first sign of pain;
what your teacher or a doctor says comes first."""

USUAL_CELLS: Final = 8
"""Repeated here, since its module takes long to import; a test compares the two."""

FILES: Final = gathered(
    "files",
    FileOptions,
    (
        click.option(
            "-o",
            "--output",
            type=click.Path(path_type=Path),
            metavar="FOLDER",
            help="The folder for the files; named after the piece and the place otherwise.",
        ),
        click.option(
            "--also",
            multiple=True,
            metavar="FORMAT",
            callback=reading(values.read_formats),
            help="Write this beside each PDF: ly, png or svg; and each player's drills as midi or "
            "musicxml. In headphones, start at a low level.",
        ),
        click.option(
            "--midi-tempo",
            metavar="NUMBER",
            callback=reading(values.read_tempo),
            help="Tempo of the MIDI files; the performing tempo otherwise.",
        ),
        click.option(
            "--json",
            is_flag=True,
            help="Print who sounds what in which chord as data; then files only with -o or --also.",
        ),
        click.option("--force", is_flag=True, help="Replace files that are there already."),
    ),
)


@player_command(
    "section",
    click.argument("score", type=click.Path(path_type=Path)),
    click.option(
        "--at",
        multiple=True,
        metavar="PLACES",
        callback=reading(values.read_places),
        help="Where the hard spot is, as most of the parts read it; several with commas, or give "
        "--at again.",
    ),
    click.option(
        "--parts",
        multiple=True,
        metavar="NAMES",
        callback=reading(values.read_names),
        help="The players of the section, by name or number, with commas; else all that play "
        "pitches. Chords are read from the whole score all the same.",
    ),
    TEMPO,
    click.option(
        "--chord",
        multiple=True,
        metavar="PLACE=CHORD",
        callback=reading(values.read_said),
        help="What the chord is in this place, in concert pitch, whatever the score or its "
        "notes say: E:3=C7. Give it once for each chord.",
    ),
    click.option(
        "--section-cells",
        metavar="COUNT",
        default=str(USUAL_CELLS),
        show_default=True,
        callback=reading(values.whole_number(0, 99)),
        help="The most cells that all play together; 0 for none.",
    ),
    DRILLS,
    PLAN,
    FOR,
    FILES,
    RUN,
    LIMIT,
    epilog=EPILOG,
)
def command(
    *,
    score: Path,
    at: tuple[str, ...],
    parts: tuple[str, ...],
    tempo: tuple[NoteValue | None, Fraction] | None,
    chord: tuple[tuple[str, str], ...],
    section_cells: int,
    drill: DrillOptions,
    plan: PlanOptions,
    wanted: ForOptions,
    files: FileOptions,
    run: RunOptions,
    limit: dict[str, str],
) -> None:
    """Make every player's sheet from one score, and the page of the section.

    Takes the bars that you name out of SCORE, a full score, and writes a folder:
    Section.pdf for the leader, with the spot as slow chords, built up in the order in
    which a section tunes, and the hard cells for all together; and a PDF for each
    player, with their own sheet, what each note is in the chord, and the section's
    page. With --for, the players named by --parts get it for another instrument.
    """
    if not at:
        raise UsageError("name the place with --at, such as --at 12, --at E:3 or --at 12@3-13@1")
    rewriting = wanted.rewriting()
    if rewriting is not None and not parts:
        raise UsageError("--for rewrites the parts of certain players; name them with --parts")
    choices = plan.planned(at_tempo(drill.choices(), tempo))
    from drills.output.engrave import Engraving, lilypond_ahead  # noqa: PLC0415 - not for --help

    printed = not files.json or files.output is not None
    with lilypond_ahead(Engraving(run.lilypond), count=AHEAD if printed else 0) as ahead:
        from drills.cli import work_section  # noqa: PLC0415 - heavy: while LilyPond starts

        work_section.make_section(
            score,
            at,
            parts,
            said=chord,
            cells=section_cells,
            choices=choices,
            pages=plan.pages or 0,
            rewriting=rewriting,
            limits=limit,
            files=files,
            run=run,
            ahead=ahead,
        )


AHEAD: Final = 5
"""LilyPonds that start while the score is read: a section is engraved in portions."""
