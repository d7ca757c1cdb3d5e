"""``drills take``: a recording judged against the written notes."""

from __future__ import annotations

from pathlib import Path

import click

from drills.cli.options import AskedTempo, ForOptions, GivenOptions, player_command
from drills.errors import UsageError
from drills.jobs.asked import files as asked_files
from drills.jobs.asked import music, takes

EPILOG = """\b
Examples:
  drills take evening.m4a march.musicxml --part 2 --at E:3
  drills take tue.wav march.musicxml --part 2 --at E:3 --drill dotted
  drills take tue.wav march.musicxml --part 2 --at E:3 --practice plan.json
  drills take takes/ march.musicxml --part 2 --at E:3
  drills take tue.wav march.musicxml --part 2 --at E:3 --picture tue.svg

A recording never leaves your machine, and nothing of it is kept. If you hear a click
in headphones while you record, start at the lowest level, leave one ear free, and take
them off now and then: loud sound does lasting harm. Play slowly and correctly, rest
often, stop at the first sign of pain. What your teacher or a doctor says comes first."""


@player_command(
    "take",
    click.argument("recordings", nargs=-1, required=True, type=click.Path(path_type=Path)),
    click.argument("score", type=click.Path(path_type=Path)),
    choices=(*music.CHOICES, *takes.CHOICES, *asked_files.CHOICES),
    groups={"given": GivenOptions, "wanted": ForOptions},
    epilog=EPILOG,
)
def command(
    *,
    recordings: tuple[Path, ...],
    score: Path,
    at: str | None,
    part: str | None,
    voice: str | None,
    tempo: AskedTempo | None,
    wanted: ForOptions,
    drill: str | None,
    practice: Path | None,
    functions: bool,
    picture: Path | None,
    also: tuple[str, ...],
    json: bool,
    force: bool,
    given: GivenOptions,
    limit: dict[str, str],
) -> None:
    """Judge a recording against the written notes.

    Says which notes were right, wrong, missed or added, how long the longest clean
    stretch was, which moves came late against your own beat, at which tempo you
    played, and how the notes were in tune; then the one or two things to do next.
    Several RECORDINGS, or a folder of them, are told as a table. What could not be
    heard is said to be unclear, not judged. One player, one line, no chords.
    """
    if at is None:
        raise UsageError("say where it was played with --at, for example --at E:3")
    if drill is not None and practice is not None:
        raise UsageError("--practice says itself what was played; leave out --drill")
    from drills.cli import work_take  # noqa: PLC0415 - heavy, and not needed for --help

    work_take.show_takes(
        recordings,
        score,
        work_take.Asked(at, part, drill, practice),
        voice=voice,
        tempo=tempo,
        rewriting=wanted.rewriting(),
        given=given.given(),
        limits=limit,
        functions=functions,
        wish=work_take.Wish(json, picture, "midi" in also, force),
    )
