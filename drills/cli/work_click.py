"""What ``drills click`` does, once its options are read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil
from pathlib import Path
from typing import Final

from drills.cli.options import IN_THE_BOOK, RunOptions, session
from drills.cli.screen import Progress, say, say_data
from drills.cli.sound_options import SoundFileOptions, sound_format
from drills.cli.work import asking, asking_silent, remark, style_of
from drills.errors import UsageError
from drills.harmony.tuning import Tuned
from drills.jobs.book_sound import build_book_practice, with_percentage
from drills.jobs.request import Settings
from drills.jobs.sound import WrittenPractice, build_practice, write_practice
from drills.jobs.sound_files import (
    Planned,
    PracticeSet,
    SoundOutputs,
    font_remarks,
    names_on_sheet,
    planned,
)
from drills.output.audio import FORMATS, open_sound_font, peak
from drills.output.audio.speech import find_speaker
from drills.project.book import is_book, read_book
from drills.reading.given import NOTHING_GIVEN, Given
from drills.reading.limits import Limits
from drills.reading.source import ScoreSource
from drills.rewriting.asked import Rewriting
from drills.sheets.choices import Choices
from drills.sheets.ladder import shown, tempo_words
from drills.sheets.metronome import settable
from drills.sound.practice.choices import PracticeChoices
from drills.sound.practice.numbers import ClickNumber, click_ranges
from drills.sound.practice.stage import Stage

PHONE: Final = "ogg"
"""The format of the sound for a book: small."""


def make_click(
    score: ScoreSource,
    places: Sequence[str],
    part: str | None,
    *,
    choices: Choices,
    practice: PracticeChoices,
    gains: Mapping[str, float],
    font: Path | None,
    rewriting: Rewriting | None,
    tuned: Tuned,
    given: Given,
    limits: Mapping[str, str],
    files: SoundFileOptions,
    run: RunOptions,
) -> None:
    """Practice sound for places in one part, written and told, or told as data."""
    book = score if isinstance(score, Path) and is_book(score) else None
    if book is not None and (places or part is not None or files.output is not None):
        raise UsageError(
            "a book names its places and parts itself, and its files are numbered like its sheets; "
            "leave out --at, --part and -o"
        )
    if book is not None and given != NOTHING_GIVEN:
        raise UsageError(IN_THE_BOOK)
    outputs = outputs_of(files, run, gains, font, usual=PHONE if book is not None else "wav")
    outputs.check()
    if practice.climb.spoken:
        find_speaker()
    settings = Settings(choices, Limits().with_values(limits), rewriting=rewriting, tuned=tuned)
    with Progress(session()) as tell:
        made = (
            build_book_practice(read_book(book), settings, practice, tell=tell, each=files.each)
            if book is not None
            else build_practice(
                score,
                places,
                part,
                replace(settings, given=asking_silent(given, tell, as_data=files.json)),
                practice,
                tell=tell,
                each=files.each,
                ask_tempo=asking(tell, as_data=files.json),
            )
        )
        telling = with_percentage(tell, len(planned(made, outputs)))
        written = write_practice(made, outputs, telling) if outputs.formats else WrittenPractice()
        data = _data(made, outputs) if files.json else ""
    remark((*made.remarks, *font_remarks(made, outputs.sound_font), *written.remarks))
    if files.json:
        say_data(data)
    elif not session().quiet:
        say("\n".join(_report(made, outputs, written)))


def outputs_of(
    files: SoundFileOptions,
    run: RunOptions,
    gains: Mapping[str, float],
    font: Path | None = None,
    usual: str = "wav",
) -> SoundOutputs:
    """What is to be written; with ``--json`` nothing but what is asked for beside it."""
    first = (
        ()
        if files.json and files.output is None
        else (
            usual
            if files.output is None and not files.phone
            else sound_format(files.output, phone=files.phone),
        )
    )
    formats = tuple(dict.fromkeys((*first, *files.also)))
    return SoundOutputs(
        files.output,
        formats,
        files.force,
        files.rate,
        files.bits,
        gains,
        style_of(run),
        None if font is None else open_sound_font(font),
    )


def _data(made: PracticeSet, outputs: SoundOutputs) -> str:
    from drills.output.data import json_text, practices_data  # noqa: PLC0415 - only for --json

    names = names_on_sheet(made, outputs)
    spots = [
        (
            sheet,
            [(n, track.practice) for n, track in zip(own, spot, strict=True) if track is not None],
        )
        for sheet, own, spot in zip(made.sheets.sheets, names, made.spots, strict=True)
    ]
    return json_text(practices_data(spots))


# --- on the screen ---------------------------------------------------------------------


def _report(made: PracticeSet, outputs: SoundOutputs, written: WrittenPractice) -> Iterator[str]:
    """The files with their lengths, then for each spot its climb and what its clicks need."""
    sounds = {file.path: file for file in planned(made, outputs)}
    for path in written.paths:
        yield f"{path} ({_about(sounds.get(path), written.pages)})"
    for sheet, spot in zip(made.sheets.sheets, made.spots, strict=True):
        stages = [stage for track in spot if track for stage in track.practice.stages]
        if len(made.spots) > 1:
            yield f"{sheet.words}:"
        yield from _climb(stages)
        if "click" in made.tracks[0].practice.choices.voices:
            yield from (_numbers(*both) for both in click_ranges(stages))


def _about(file: Planned | None, pages: int) -> str:
    """What a line says of a file after its name."""
    if file is None:
        return f"{pages} page{'s' * (pages != 1)}"
    if not file.kind:
        return "when each tempo begins"
    length = _minutes(file.tracks[0].practice.duration)
    if file.kind not in FORMATS:
        return length
    highest = peak(file.path)
    level = "silent" if highest is None else f"peak {highest:.1f} dB of full scale"
    return f"{length}, {level}"


def _climb(stages: Sequence[Stage]) -> Iterator[str]:
    """From which tempo to which, and how often each is played."""
    tempos = sorted({stage.tempo for stage in stages}, key=lambda one: one.quarters_per_minute)
    often = sorted({stage.repetitions for stage in stages})
    times = " to ".join(str(number) for number in dict.fromkeys((often[0], often[-1])))
    through = f"{times} time{'s' * (times != '1')} through"
    if len(tempos) == 1:
        yield f"{tempo_words(tempos[0])}, {through}"
        return
    yield (
        f"from {tempo_words(tempos[0])} to {shown(tempos[-1].number)} in {len(tempos)} tempos, "
        f"{through} each"
    )


def _numbers(slowest: ClickNumber, fastest: ClickNumber) -> str:
    """What a plain metronome would be set to on the slowest and on the fastest rung."""
    both = dict.fromkeys(one.number for one in (slowest, fastest))
    numbers = [settable(number) for number in both if number is not None]
    if not numbers:
        return slowest.words
    return f"{slowest.words}: {' to '.join(numbers)} on a plain metronome"


def _minutes(seconds: Fraction) -> str:
    """ "6:32": minutes and seconds, rounded up."""
    minutes, rest = divmod(ceil(seconds), 60)
    return f"{minutes}:{rest:02} min"
