"""``drills sheet``: hard bars become a page of drills."""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.options import (
    AskedTempo,
    ChordOptions,
    FileOptions,
    ForOptions,
    GivenOptions,
    PlanOptions,
    RunOptions,
    at_tempo,
    player_command,
)
from drills.cli.sources import source_of
from drills.harmony.tuning import Tuned
from drills.jobs.asked import drilled, music, planning
from drills.jobs.asked import files as asked_files
from drills.sheets.choices import Choices

EPILOG = """\b
Places, as a player says them:
  12          bar 12, by its printed number
  12@3        its third beat (12@3#2 its second note, 12@2.5 an offbeat)
  E, E:3      the bar of rehearsal mark E, the third bar of E
  12-14       bars 12 to 14
  12@3-13@1   from the third beat of bar 12 to the first of bar 13

\b
Examples:
  drills sheet march.musicxml --at E:3
  drills sheet suite.mxl --part "Clarinet 2" --at 12-13@1 --at G:2
  drills sheet march.musicxml --hardest 5
  drills sheet march.musicxml --at E:3 --minutes 10 --fingerings
  drills sheet march.musicxml --at E:3-E:6 --all
  drills sheet march.musicxml --at E:3 --functions
  drills sheet march.musicxml --at E:3 --for "alto saxophone"
  drills sheet march.musicxml --at 12 --student --paper letter
  drills sheet --notes "4/4: 16ths c5 bb4 c5 e5 half c5" --instrument flute

Play what is on the sheet slowly and correctly; rest often, and stop at the first
sign of pain. What your teacher or a doctor says comes first."""


@player_command(
    "sheet",
    click.argument("score", required=False, type=click.Path(path_type=Path)),
    choices=(*music.CHOICES, *drilled.CHOICES, *planning.CHOICES, *asked_files.CHOICES),
    groups={
        "given": GivenOptions,
        "drill": Choices,
        "plan": PlanOptions,
        "chords": ChordOptions,
        "tuned": Tuned,
        "wanted": ForOptions,
        "files": FileOptions,
        "run": RunOptions,
    },
    epilog=EPILOG,
)
def command(
    *,
    score: Path | None,
    notes: str | None,
    at: tuple[str, ...],
    hardest: int | None,
    part: str | None,
    tempo: AskedTempo | None,
    weights: Path | None,
    drill: Choices,
    plan: PlanOptions,
    chords: ChordOptions,
    tuned: Tuned,
    wanted: ForOptions,
    files: FileOptions,
    run: RunOptions,
    given: GivenOptions,
    limit: dict[str, str],
) -> None:
    """Turn hard bars into a page of drills.

    Takes the bars that you name out of SCORE (MusicXML; ABC, MEI, Humdrum and MIDI are
    read too), or the bars that you type with --notes, and writes PART-PLACE.pdf, a
    practice of a quarter of an hour: the spot as printed, its hardest moves, its beats,
    cells and rhythms, each with the metronome numbers that lead to the performing
    speed. Several spots make one PDF.
    """
    given.check(notes)
    source = source_of(score, notes, drill.instrument, limit)
    choices = plan.planned(at_tempo(drill, tempo))
    rewriting = wanted.rewriting()
    from drills.output.engrave import Engraving, lilypond_ahead  # noqa: PLC0415 - not for --help

    with lilypond_ahead(Engraving(run.lilypond)) as ahead:
        from drills.cli import work  # noqa: PLC0415 - heavy: imported while LilyPond starts

        work.make_sheets(
            source,
            at,
            part,
            choices=choices,
            pages=plan.pages or 0,
            given=given.given(),
            limits=limit,
            hardest=hardest or 0,
            weights=weights,
            chords=chords,
            rewriting=rewriting,
            tuned=tuned,
            files=files,
            run=run,
            ahead=ahead,
        )
