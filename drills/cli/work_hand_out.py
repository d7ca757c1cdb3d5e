"""What ``drills hand-out`` does, once its options are read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from drills.cli.options import IN_THE_BOOK, RunOptions, session
from drills.cli.screen import Progress, say
from drills.cli.work import asking_silent, remark, style_of
from drills.errors import UsageError
from drills.jobs.hand_out import HandOut, hand_out, spots_to_hand_out
from drills.jobs.request import Settings
from drills.project.book import is_book
from drills.reading.given import NOTHING_GIVEN, Given
from drills.reading.limits import Limits
from drills.rewriting.asked import Rewriting


def make_hand_out(
    source: Path,
    places: Sequence[str],
    part: str | None,
    *,
    rewriting: Rewriting | None,
    student: str,
    kind: str,
    folder: Path | None,
    megabytes: int,
    force: bool,
    run: RunOptions,
    given: Given,
    limits: Mapping[str, str],
) -> None:
    """Write the folder and its archive, and say what is in them."""
    style = style_of(run)
    settings = Settings(limits=Limits().with_values(limits), rewriting=rewriting, page=style.page)
    wanted = HandOut(folder, student, kind, megabytes, force, style)
    if is_book(source) and given != NOTHING_GIVEN:
        raise UsageError(IN_THE_BOOK)
    with Progress(session()) as tell:
        settings = replace(settings, given=asking_silent(given, tell, as_data=False))
        title, spots = spots_to_hand_out(source, places, part, settings, tell)
        made = hand_out(title, spots, wanted, tell)
    remark(made.remarks)
    if not session().quiet:
        say(
            f"{made.folder} ({made.files} files; the page for the phone has "
            f"{made.page_bytes / 1e6:.1f} MB)"
        )
        say(f"{made.archive}")
