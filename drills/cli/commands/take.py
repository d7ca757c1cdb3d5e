"""``drills take``: a recording judged against the written notes."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import click

from drills.cli.options import AskedTempo, ChordOptions, ForOptions, GivenOptions, player_command
from drills.errors import UsageError
from drills.harmony.tuning import Tuned
from drills.jobs.asked import drilled, music, takes
from drills.jobs.asked import files as asked_files
from drills.sheets.choices import USUAL_MINUTES, Choices
from drills.sound.groove import Swing

EPILOG = """\b
Examples:
  drills take evening.m4a march.musicxml --part 2 --at E:3
  drills take tue.wav march.musicxml --part 2 --at E:3 --drill dotted
  drills take tue.wav march.musicxml --part 2 --at E:3 --practice plan.json
  drills take mon.wav tue.wav march.musicxml --part 2 --at E:3
  drills take takes/ march.musicxml --part 2 --at E:3 --log spring.toml
  drills take tue.wav march.musicxml --part 2 --at E:3 --picture tue.svg

A recording never leaves your machine, and nothing of it is kept. If you hear a click
in headphones while you record, start at the lowest level, leave one ear free, and take
them off now and then: loud sound does lasting harm. Play slowly and correctly, rest
often, stop at the first sign of pain. What your teacher or a doctor says comes first."""


@player_command(
    "take",
    click.argument("recordings", nargs=-1, required=True, type=click.Path(path_type=Path)),
    click.argument("score", type=click.Path(path_type=Path)),
    choices=(*music.CHOICES, *takes.CHOICES, *drilled.CHOICES, *asked_files.CHOICES),
    groups={
        "drill": Choices,
        "chords": ChordOptions,
        "tuned": Tuned,
        "given": GivenOptions,
        "wanted": ForOptions,
    },
    epilog=EPILOG,
)
def command(
    *,
    recordings: tuple[Path, ...],
    score: Path,
    at: str | None,
    part: str | None,
    tempo: AskedTempo | None,
    drill: Choices,
    chords: ChordOptions,
    tuned: Tuned,
    given: GivenOptions,
    wanted: ForOptions,
    played: str | None,
    page_minutes: Fraction | None,
    practice: Path | None,
    against_click: AskedTempo | None,
    swing: Swing | None,
    threshold: dict[str, str],
    picture: Path | None,
    also: tuple[str, ...],
    book: Path | None,
    json: bool,
    force: bool,
    limit: dict[str, str],
) -> None:
    """Judge a recording against the written notes.

    Says which notes were right, wrong, missed or added, how long the longest clean
    stretch was, which moves came late against your own beat, at which tempo you
    played, and how the notes were in tune; then the one or two things to do next.
    Several RECORDINGS, or a folder of them, are told as a table too, and the last is
    compared with the first. What could not be heard is said so, and not judged.
    One player, one line, no chords.
    """
    if at is None:
        raise UsageError("say where it was played with --at, for example --at E:3")
    if practice is not None and played is not None:
        raise UsageError("--practice says itself what was played; leave out --drill")
    if practice is not None and against_click is not None:
        raise UsageError("--practice says itself which click was heard; leave out --against-click")
    from drills.cli import work_take  # noqa: PLC0415 - heavy, and not needed for --help
    from drills.listening.thresholds import Thresholds  # noqa: PLC0415 - likewise

    work_take.show_takes(
        recordings,
        score,
        work_take.Asked(
            at,
            part,
            played,
            practice,
            swing,
            against_click,
            Thresholds().with_values(threshold),
            page_minutes or USUAL_MINUTES,
        ),
        choices=drill,
        tempo=tempo,
        rewriting=wanted.rewriting(),
        given=given.given(),
        limits=limit,
        chords=chords,
        tuned=tuned,
        wish=work_take.Wish(json, picture, "midi" in also, book, force),
    )
