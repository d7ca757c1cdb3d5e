"""What ``drills take`` does, once its options are read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from drills.cli.options import AskedTempo, at_tempo, session
from drills.cli.screen import Progress, say, say_data
from drills.cli.work import asking_silent
from drills.jobs.request import Settings
from drills.jobs.take_click import click_words
from drills.jobs.take_files import take_files, takes_text
from drills.jobs.take_material import Asked
from drills.jobs.takes import JudgedTake, judge_takes
from drills.listening.comparing import compared
from drills.listening.thresholds import called_late, threshold
from drills.listening.verdict import NoteVerdict, Verdict
from drills.output.files import write_files
from drills.reading.given import Given
from drills.reading.limits import Limits
from drills.rewriting.asked import Rewriting
from drills.sheets.choices import Choices

NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")

__all__ = ["Asked", "Wish", "show_takes"]


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be shown and written."""

    as_data: bool
    picture: Path | None
    midi: bool
    force: bool


def show_takes(
    recordings: Sequence[Path],
    score: Path,
    asked: Asked,
    *,
    voice: str | None,
    tempo: AskedTempo | None,
    rewriting: Rewriting | None,
    given: Given,
    limits: Mapping[str, str],
    functions: bool,
    wish: Wish,
) -> None:
    """Judge recordings and print their verdicts, in words or as data."""
    choices = replace(at_tempo(Choices(), tempo), voice=voice)
    settings = Settings(
        choices, Limits().with_values(limits), rewriting=rewriting, functions=functions
    )
    with Progress(session()) as tell:
        known = asking_silent(given, tell, as_data=wish.as_data)
        settings = replace(settings, given=known)
        takes = judge_takes(recordings, score, asked, settings, tell)
        files = [one for take in takes for one in take_files(take, wish.picture, midi=wish.midi)]
        if files:
            write_files(files, wish.force, (score, *recordings))
        text = takes_text(takes) if wish.as_data else "\n".join(_told(takes))
    (say_data if wish.as_data else say)(text)


# --- on the screen ---------------------------------------------------------------------


def _told(takes: Sequence[JudgedTake]) -> Iterator[str]:
    for number, take in enumerate(takes):
        if number:
            yield ""
        yield f"{take.path}: {take.sheet.words}, {take.material.what}"
        yield take.sentence
        yield from _rungs(take)
        if not take.rungs and not take.best.refused:
            yield from _verdict(take)
    if len(takes) > 1:
        yield ""
        yield from _table(takes)
    if len(takes) == 2:
        side_by_side = compared(takes[0].best, takes[1].best)
        yield from () if side_by_side is None else side_by_side.lines


def _rungs(take: JudgedTake) -> Iterator[str]:
    for rung in take.rungs:
        heard = [v for v in rung.verdicts if not v.refused]
        if not heard:
            yield f"  {rung.words:>5}  nothing heard"
            continue
        share = sum(v.share_right for v in heard) / len(heard)
        faults = sorted({n.number for v in heard for n in v.notes if n.call in ("wrong", "missed")})
        where = f"; notes {', '.join(map(str, faults[:6]))}" if faults else ""
        yield (
            f"  {rung.words:>5}  {'clean' if rung.clean else 'breaks'}, {100 * share:.0f} % right "
            f"in {len(heard)} of {len(rung.verdicts)} times{where}"
        )


def _verdict(take: JudgedTake) -> Iterator[str]:
    best = take.best
    if len(take.verdicts) > 1:
        yield f"{len(take.verdicts)} times through; told is the best of them."
    timing = best.timing
    if timing is not None:
        drift = (
            f" (from {timing.first:.0f} to {timing.last:.0f})"
            if abs(timing.last / timing.first - 1) > threshold("tempo")
            else ""
        )
        yield (
            f"tempo {timing.tempo:.1f} quarters a minute{drift}; attacks spread by "
            f"{timing.evenness:.0f} ms about your own beat, each known to {timing.uncertain:.0f} ms"
        )
        if timing.downbeats is not None and timing.offbeats is not None:
            yield (
                f"on the beat {_ms(timing.downbeats)}, off it {_ms(timing.offbeats)}"
                + ("" if timing.swing is None else f"; eighths {timing.swing:.2f} to 1")
            )
    if words := click_words(best):
        yield words
    yield f"your A: {440 * 2 ** (best.tuning / 1200):.1f} Hz" + _pitch(best)
    for note in best.notes:
        if best.bars is not None and not note.tries:
            continue
        line = _note(note, best.uncertain, take.transposed)
        if line:
            yield line
    for extra in best.extras:
        what = "struck twice" if extra.call == "twice" else f"added {name_of(extra.key)}"
        yield f"  after note {extra.after}: {what}"
    for one in best.restarts:
        yield f"  stopped at note {one.stopped}, went back to {one.back_to}"
    for habit in take.habits:
        ms = "" if habit.late is None else f", {habit.late:+.0f} ms on average"
        yield f"  habit: note {habit.number} {habit.what} {habit.times} of {habit.of} times{ms}"
    yield "Notes are counted as on the sheet; pitches are named as they sound."


def _pitch(verdict: Verdict) -> str:
    drift = verdict.pitch_drift
    said = ""
    if drift is not None and abs(drift) >= threshold("tuning"):
        said = f", {abs(drift):.0f} cents {'higher' if drift > 0 else 'lower'} at the end"
    off = sorted(abs(n.pure_cents) for n in verdict.notes if n.pure_cents is not None)
    if off:
        said += f"; {off[len(off) // 2]:.0f} cents off the chords' pure tuning, as a median"
    return said


def _note(note: NoteVerdict, uncertain: float, shift: int) -> str:
    """A line about a note that is worth one."""
    if note.call == "wrong" and note.heard is not None:
        return f"  note {note.number}: {name_of(note.heard)} instead of {name_of(note.key + shift)}"
    if note.call in ("missed", "unclear"):
        what = "missed" if note.call == "missed" else "could not be heard"
        return f"  note {note.number}: {what}"
    said: list[str] = []
    if note.late is not None and called_late(note.late, uncertain):
        said.append(_ms(note.late))
    if note.cents is not None and abs(note.cents) > threshold("mistuned"):
        said.append(_cents(note.cents))
    if note.pure_cents is not None and abs(note.pure_cents) > threshold("mistuned"):
        said.append(f"{_cents(note.pure_cents)} for its chord")
    return f"  note {note.number}: {', '.join(said)}" if said else ""


def _cents(value: float) -> str:
    return f"{abs(value):.0f} cents {'high' if value > 0 else 'low'}"


def _table(takes: Sequence[JudgedTake]) -> Iterator[str]:
    """Takes over days, one line each."""
    yield "right  tempo  spread  clean  recording"
    for take in takes:
        best = take.best
        if best.refused or best.timing is None:
            yield f"    -      -       -      -  {take.path.name}"
            continue
        yield (
            f"{100 * best.share_right:4.0f} % {best.timing.tempo:6.1f} "
            f"{best.timing.evenness:4.0f} ms {best.clean_notes:6d}  {take.path.name}"
        )


def _ms(value: float) -> str:
    if abs(value) < 1:
        return "in time"
    return f"{abs(value):.0f} ms {'late' if value > 0 else 'early'}"


def name_of(key: int) -> str:
    """ "Bb4" for a sounding MIDI number."""
    return f"{NAMES[key % 12]}{key // 12 - 1}"
