"""``drills click``: a spot with a click that climbs by itself."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import click

from drills.cli.options import (
    AskedTempo,
    ForOptions,
    GivenOptions,
    RunOptions,
    at_tempo,
    player_command,
)
from drills.cli.sound_options import ClickOptions, ClimbOptions, PlayOptions, SoundFileOptions
from drills.cli.sources import source_of
from drills.harmony.tuning import Tuned
from drills.jobs.asked import climbing, drilled, music, sound_files, sounding
from drills.jobs.asked import files as asked_files
from drills.sheets.choices import Choices

EPILOG = """\b
Examples:
  drills click march.musicxml --part 2 --at 33
  drills click march.musicxml --part 2 --at 33 --click beats --click 4
  drills click march.musicxml --part 2 --at 33 --with section,bass
  drills click march.musicxml --part 2 --at 33 --minutes 12 --up-and-back 3-1
  drills click swing.musicxml --part 2 --at 8 --groove swing --click none
  drills click air.musicxml --part 1 --at 5-8 --with chord --tuning pure
  drills click march.musicxml --part 2 --at 33 --each --also pdf

In headphones start at the lowest level, and take them off between two rungs: a
click is louder than you expect, and loud sound does lasting harm. Play slowly and
correctly, rest often, stop at the first sign of pain. What your teacher or a
doctor says comes first."""


@player_command(
    "click",
    click.argument("score", required=False, type=click.Path(path_type=Path)),
    choices=(
        *music.CHOICES,
        *sounding.CHOICES,
        *climbing.CHOICES,
        *drilled.CHOICES,
        *asked_files.CHOICES,
        *sound_files.CHOICES,
    ),
    groups={
        "given": GivenOptions,
        "playing": PlayOptions,
        "clicks": ClickOptions,
        "climbing": ClimbOptions,
        "drill": Choices,
        "tuned": Tuned,
        "wanted": ForOptions,
        "files": SoundFileOptions,
        "run": RunOptions,
    },
    epilog=EPILOG,
)
def command(
    *,
    score: Path | None,
    notes: str | None,
    at: tuple[str, ...],
    part: str | None,
    tempo: AskedTempo | None,
    playing: PlayOptions,
    clicks: ClickOptions,
    climbing: ClimbOptions,
    drill: Choices,
    tuned: Tuned,
    wanted: ForOptions,
    files: SoundFileOptions,
    run: RunOptions,
    given: GivenOptions,
    limit: dict[str, str],
) -> None:
    """Make a sound file that climbs from slow to the performing tempo.

    Writes PART-PLACE.wav for the bars that you name in SCORE, and PART-PLACE.txt,
    which says at what time each tempo begins. Unless you choose otherwise there
    are eight tempos from that up to which the music is easy (half the performing
    one where it is easy at that) up to it, by the metronome's numbers; on each a
    bell and one bar counted in, four times through with a click on every beat,
    and one bar of silence.

    The click can help less (on beat 4 only, on the offbeats, every three
    sixteenths, two bars with it and two without), drums can take its place, and the music
    or the other parts of the score can play along. All sound is computed by the
    program itself, unless a sound font of your own plays the music. MIND THE
    LEVEL IN HEADPHONES: start at the lowest.
    """
    given.check(notes)
    source = source_of(score, notes, drill.instrument, limit)
    climb = climbing.climb(drill.start, drill.rungs)
    practice = playing.choices(clicks, climb, each=files.each)
    choices = replace(at_tempo(drill, tempo), rungs=max(2, drill.rungs))
    from drills.cli import work_click  # noqa: PLC0415 - heavy, and not needed for --help

    work_click.make_click(
        source,
        at,
        part,
        choices=choices,
        practice=practice,
        gains=playing.gains(),
        font=playing.sound_font,
        rewriting=wanted.rewriting(),
        tuned=tuned,
        given=given.given(),
        limits=limit,
        files=files,
        run=run,
    )
