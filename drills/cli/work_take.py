"""What ``drills take`` does, once its options are read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from pathlib import Path

from drills.cli.options import AskedTempo, ChordOptions, at_tempo, session
from drills.cli.screen import Progress, say, say_data
from drills.cli.work import asking_silent, remark
from drills.harmony.tuning import Tuned
from drills.jobs.judged_rung import JudgedRung
from drills.jobs.judged_take import JudgedTake, changes
from drills.jobs.request import Settings
from drills.jobs.take_files import check_picture, take_files, takes_text
from drills.jobs.take_log import log_take
from drills.jobs.take_material import Asked
from drills.jobs.takes import judge_takes
from drills.listening.telling import ms_words, times_told, told
from drills.output.files import write_files
from drills.reading.given import Given
from drills.reading.limits import Limits
from drills.rewriting.asked import Rewriting
from drills.sheets.choices import Choices

__all__ = ["Asked", "Wish", "show_takes"]


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be shown and written."""

    as_data: bool
    picture: Path | None
    midi: bool
    book: Path | None
    """In whose log it is kept."""
    force: bool


def show_takes(
    recordings: Sequence[Path],
    score: Path,
    asked: Asked,
    *,
    choices: Choices,
    tempo: AskedTempo | None,
    rewriting: Rewriting | None,
    given: Given,
    limits: Mapping[str, str],
    chords: ChordOptions,
    tuned: Tuned,
    wish: Wish,
) -> None:
    """Judge recordings and print their verdicts, in words or as data."""
    if wish.picture is not None:
        check_picture(wish.picture)
    settings = Settings(
        at_tempo(choices, tempo),
        Limits().with_values(limits),
        rewriting=rewriting,
        functions=chords.functions,
        said=chords.chord,
        tuned=tuned,
    )
    remarks: tuple[str, ...] = ()
    with Progress(session()) as tell:
        known = asking_silent(given, tell, as_data=wish.as_data)
        settings = replace(settings, given=known)
        takes = judge_takes(recordings, score, asked, settings, tell)
        files = [
            one
            for number, take in enumerate(takes, 1)
            for one in take_files(
                take,
                _picture(wish.picture, number, len(takes)),
                midi=wish.midi,
                tell=tell,
            )
        ]
        if files:
            write_files(files, wish.force, (score, *recordings))
        if wish.book is not None:
            remarks = log_take(wish.book, score, asked, takes, settings)
        text = takes_text(takes) if wish.as_data else "\n".join(_told(takes))
    (say_data if wish.as_data else say)(text)
    remark(remarks)


def _picture(path: Path | None, number: int, count: int) -> Path | None:
    """Where the picture of one take goes; of several each has its number."""
    if path is None or count == 1:
        return path
    return path.with_name(f"{path.stem}-take-{number}{path.suffix}")


# --- on the screen ---------------------------------------------------------------------


def _told(takes: Sequence[JudgedTake]) -> Iterator[str]:
    for number, take in enumerate(takes):
        if number:
            yield ""
        what = take.material.what
        yield f"{take.path}: {take.sheet.words}, {what[:1].lower()}{what[1:]}"
        yield take.sentence
        yield from _rungs(take.rungs)
        if not take.rungs and not take.best.refused:
            yield from _verdict(take)
    if len(takes) > 1:
        yield ""
        yield from _table(takes)
        found = changes(takes)
        if found is not None:
            yield "The last one against the first:"
            yield from found.lines(takes[0].paper, takes[0].asked.thresholds)


def _rungs(rungs: Sequence[JudgedRung]) -> Iterator[str]:
    several = len({rung.what for rung in rungs}) > 1
    for what, own in groupby(rungs, key=lambda rung: rung.what):
        if several:
            yield what
        yield from map(_rung, own)


def _rung(rung: JudgedRung) -> str:
    if not rung.heard:
        return f"  {rung.words:>5}  nothing heard"
    share = sum(v.share_right for v in rung.heard) / len(rung.heard)
    how = "clean" if rung.clean else "not all heard" if rung.unsure else "breaks"
    said = (
        f"  {rung.words:>5}  {how}, {100 * share:.0f} % right "
        f"in {len(rung.heard)} of {len(rung.verdicts)} times"
    )
    if rung.faults:
        said += f"; notes {', '.join(map(str, sorted(rung.faults)[:6]))}"
    if rung.against_click is not None:
        said += f"; {ms_words(rung.against_click)} against the click"
    if rung.late:
        said += f"; off your own beat: notes {', '.join(map(str, rung.late[:6]))}"
    return said


def _verdict(take: JudgedTake) -> Iterator[str]:
    if len(take.verdicts) > 1:
        yield f"{len(take.verdicts)} times through:"
        yield from times_told(take.verdicts, take.paper)
        yield "The best of them:"
    yield from told(take.best, take.paper, take.asked.thresholds, take.asked.ratio(take.sheet))
    yield "Notes are counted as on the sheet and named as you read them."


def _table(takes: Sequence[JudgedTake]) -> Iterator[str]:
    """Takes over days, one line each."""
    yield "recorded          right  tempo  spread  clean  recording"
    for take in takes:
        best = take.best
        when = "-" if take.recorded is None else f"{take.recorded:%Y-%m-%d %H:%M}"
        if best.refused or best.timing is None:
            yield f"{when:16}      -      -       -      -  {take.path.name}"
            continue
        yield (
            f"{when:16} {100 * best.share_right:4.0f} % {take.paper.tempo(best.timing.tempo):6.1f} "
            f"{best.timing.evenness:4.0f} ms {best.clean_notes:6d}  {take.path.name}"
        )
