"""What ``drills write`` does, once its options are read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from drills.cli.options import RunOptions, session
from drills.cli.screen import Progress, say
from drills.cli.sources import source_of
from drills.cli.work import asking_silent, remark, style_of
from drills.jobs.written_part import check_drawn, check_name, write_part
from drills.output.files import check_place, write_files
from drills.output.typed import unsaid, words_of
from drills.reading.given import Given
from drills.reading.limits import Limits
from drills.reading.source import Typed, paths_of


def write_bars(
    path: Path,
    score: Path | None,
    notes: str | None,
    instrument: str | None,
    part: str | None,
    *,
    also: Sequence[str],
    force: bool,
    given: Given,
    limits: Mapping[str, str],
    run: RunOptions,
) -> None:
    """Write what was typed, or a part of a score, as MusicXML, and show it in words."""
    check_name(path)
    check_drawn(also)
    within = Limits().with_values(limits)
    source = source_of(score, notes, instrument, limits)
    check_place(path, "", force, paths_of(source))
    with Progress(session()) as tell:
        tell(f"writing {path}")
        known = asking_silent(given, tell, as_data=False)
        made = write_part(
            source, part, path, formats=also, limits=within, style=style_of(run), given=known
        )
        write_files(made.files, force, paths_of(source))
    remark(made.part.remarks)
    if session().quiet:
        return
    left_out = unsaid(made.part)
    if isinstance(source, Typed) and not left_out:
        for number, bar in enumerate(words_of(made.part), start=1):
            say(f"bar {number}: {bar}")
    for file in made.files:
        say(f"{file.path}")
