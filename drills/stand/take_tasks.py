"""What the stand's processes do with recordings: check them, keep them, measure a delay.

A take is a sound file under takes/ in the player's folder, with a small file of data beside it:
of which part and place it is, at which number, and how many seconds after its start the first
time through began.  Names are ours; nothing of a request becomes a path.
"""

from __future__ import annotations

import io
import json
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

import numpy as np
import soundfile

from drills.errors import DrillsError, EngraveError, ReadError, UsageError
from drills.jobs.judged_take import JudgedTake, changes
from drills.jobs.request import Settings
from drills.jobs.take_click import click_beside, click_words
from drills.jobs.take_files import take_files, takes_text
from drills.jobs.take_material import Asked
from drills.jobs.takes import judge_takes
from drills.listening.bar_times import bar_times, own_beat
from drills.listening.sound_file import open_recording
from drills.listening.telling import told
from drills.output.data.text import SCHEMA
from drills.output.files import OutputFile, make_folder, safe_name, write_files
from drills.sheets.choices import Choices
from drills.stand import play_tasks
from drills.stand.bounds import LONGEST_TAKE, MOST_TAKES, TAKES
from drills.stand.given import given_of
from drills.stand.shelf import id_of
from drills.stand.telling import Told

ENDINGS: Final = {"WAV": ".wav", "WAVEX": ".wav", "FLAC": ".flac", "OGG": ".ogg", "MP3": ".mp3"}
EBML: Final = b"\x1a\x45\xdf\xa3"
_WINDOW: Final = 0.5
"""Seconds in which a click must have come back."""
_RISE: Final = 0.3
"""Of the loudest in that window, from where a click counts as begun (our own choice)."""
_FEWEST: Final = 4


def add(content: bytes, about: dict[str, Any]) -> Told:
    """Keep a recording; raises ReadError for what is no sound that can be read."""
    ending = _ending(content)
    if len(list(Path(TAKES).glob("*.json"))) >= MOST_TAKES:
        raise UsageError(f"there are {MOST_TAKES} takes already; take some out of the folder first")
    make_folder(Path(TAKES))
    at = datetime.now().astimezone()
    stem = safe_name(f"{about['part']}-{about['at']}-{at:%Y-%m-%d-%H%M%S}")
    number = 1
    while (Path(TAKES) / f"{stem}-{number}.json").exists():
        number += 1
    path = Path(TAKES) / f"{stem}-{number}{ending}"
    told = {"schema": SCHEMA, **about, "recorded": at.isoformat(timespec="seconds")}
    beside = path.with_suffix(".json")
    text = json.dumps({**told, "sound": path.name}, ensure_ascii=False, indent=1)
    write_files([OutputFile(path, content), OutputFile(beside, text.encode())])
    return {"key": id_of(path.name), "name": path.name, **told}


def _ending(content: bytes) -> str:
    """The ending of a recording that can be read and is not too long; raises ReadError."""
    try:
        with soundfile.SoundFile(io.BytesIO(content)) as sound:
            kind, seconds = str(sound.format), sound.frames / sound.samplerate
        ending = ENDINGS.get(kind, "")
    except (soundfile.SoundFileError, TypeError, ValueError):
        ending, seconds = _of_a_phone(content)
    if not ending:
        raise ReadError("this is no sound that can be read; record as WAV, FLAC, Ogg or MP3")
    if not 0 < seconds <= LONGEST_TAKE:
        raise ReadError(f"a take lasts {LONGEST_TAKE // 60} minutes at most, and is not empty")
    return ending


def _of_a_phone(content: bytes) -> tuple[str, float]:
    """Ending and seconds of what phones record; none where it begins like nothing of that kind.

    A media file of ISO/IEC 14496-12 has "ftyp" in its first box, one of WebM (RFC 8794) begins
    with the EBML header.  Raises ReadError where the decoder cannot read it.
    """
    ending = ".m4a" if content[4:8] == b"ftyp" else ".webm" if content[:4] == EBML else ""
    if not ending:
        return "", 0.0
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"recording{ending}"
        path.write_bytes(content)
        try:
            with open_recording(path) as recording:
                return ending, recording.seconds
        except DrillsError as error:
            why = str(error).removeprefix(f"{path}: ")
            raise ReadError(f"this recording: {why}") from error


def verdict(name: str, of: tuple[str, str], place: str, before: str) -> Told:
    """What ``drills take takes/NAME SCORE --part PART --at PLACE`` says of a take that is kept.

    ``of``: score and part; ``before``: the take to set it beside, or empty.  Files are the
    data of ``--json`` and the pages of ``--picture``, as SVG; none where LilyPond is missing.
    """
    take = _judged(name, of, place)
    best = take.best
    pictures = []
    if not best.refused:
        with suppress(EngraveError):
            pictures = list(take_files(take, Path("take.svg")))
    beside = changes([_judged(before, of, place), take]) if before else None
    more = told(best, take.paper, take.asked.thresholds, take.asked.ratio(take.sheet))
    return {
        "files": [
            ("take.json", f"{takes_text([take])}\n".encode()),
            *((one.path.name, one.content) for one in pictures),
        ],
        "words": take.sentence,
        "click_words": click_words(best),
        "more": [] if best.refused else list(more),
        "refused": best.refused,
        "right": round(best.share_right, 3),
        "tempo": None if best.timing is None else round(best.timing.tempo, 1),
        "compared": [] if beside is None else list(beside.lines(take.paper)),
        "bars": [
            {"number": bar.number, "begin": bar.begin, "end": bar.end, "notes": list(bar.notes)}
            for bar in (() if best.refused else bar_times(take.material.wanted, best))
        ],
        "click": _clicks(take, of, place),
        "notes": [
            {
                "number": note.number,
                "call": note.call,
                "late": None if note.late is None else round(note.late),
                "off": note.timed,
                "seconds": note.seconds,
            }
            for note in best.notes
        ],
    }


def _judged(name: str, of: tuple[str, str], place: str) -> JudgedTake:
    path, (score, part) = Path(TAKES) / name, of
    beside = path.with_suffix(".json")
    stamps = tuple(one.stat().st_mtime_ns for one in (path, beside, Path(score)) if one.exists())
    return _kept(path, score, part, place, stamps)


@lru_cache(maxsize=8)
def _kept(
    path: Path,
    score: str,
    part: str,
    place: str,
    stamps: tuple[int, ...],  # noqa: ARG001 - what has changed is heard again
) -> JudgedTake:
    settings = Settings(Choices(), given=given_of(Path(score)))
    (take,) = judge_takes([path], Path(score), Asked(place, part), settings)
    return take


def _clicks(take: JudgedTake, of: tuple[str, str], place: str) -> list[list[object]]:
    """``[seconds, gain, sound]`` of a plain click on the recording; empty where there is none.

    It is the click that the take was made to, where one is known, else a steady one at the
    player's own mean tempo.
    """
    beat = click_beside(take.path) or own_beat(take.material.wanted, take.best)
    if beat is None or take.best.refused:
        return []
    return play_tasks.clicks_on((*of, place), beat)


def latency(content: bytes, clicks: Sequence[float]) -> Told:
    """Milliseconds from when clicks were sent out to when they came back through the microphone.

    ``clicks``: seconds from the start of the recording.  The median of what each click says;
    raises UsageError where they are not heard, or do not agree.
    """
    _ending(content)
    samples, rate = soundfile.read(io.BytesIO(content), dtype="float64", always_2d=True)
    wave = np.abs(samples.mean(axis=1))
    found = [late for at in clicks if (late := _late(wave, rate, at)) is not None]
    if len(found) < _FEWEST:
        raise UsageError(
            "the clicks are not heard; turn the speaker up or lay a headphone on the microphone, "
            "and try again"
        )
    middle = float(np.median(found))
    if float(np.median(np.abs(np.array(found) - middle))) > 0.005:
        raise UsageError("the clicks come back unevenly; try again where it is quiet")
    return {"milliseconds": round(middle * 1000, 2), "clicks": len(found)}


def _late(wave: np.ndarray[Any, np.dtype[np.float64]], rate: int, at: float) -> float | None:
    """Seconds from a click to its sound; None where nothing stands out of the noise."""
    first = round(at * rate)
    window = wave[first : first + round(_WINDOW * rate)]
    if first < 0 or not len(window):
        return None
    loudest = float(window.max())
    if loudest < 0.01 or loudest < 6 * float(np.median(window)):
        return None
    return float(np.argmax(window >= _RISE * loudest)) / rate
