"""What the stand's processes do with recordings: check them, keep them, measure a delay.

A take is a sound file under takes/ in the player's folder, with a small file of data beside it:
of which part and place it is, at which number, and how many seconds after its start the first
time through began.  Names are ours; nothing of a request becomes a path.
"""

from __future__ import annotations

import io
import json
from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any, Final

import numpy as np
import soundfile

from drills.errors import EngraveError, ReadError, UsageError
from drills.jobs.request import Settings
from drills.jobs.take_files import take_files
from drills.jobs.take_material import Asked
from drills.jobs.takes import judge_takes
from drills.output.data.text import SCHEMA
from drills.output.files import OutputFile, make_folder, safe_name, write_files
from drills.sheets.choices import Choices
from drills.stand.shelf import id_of
from drills.stand.telling import Told

FOLDER: Final = "takes"
ENDINGS: Final = {"WAV": ".wav", "WAVEX": ".wav", "FLAC": ".flac", "OGG": ".ogg", "MP3": ".mp3"}
LONGEST: Final = 20 * 60
"""Seconds of a take."""
MOST: Final = 1000
_WINDOW: Final = 0.5
"""Seconds in which a click must have come back."""
_RISE: Final = 0.3
"""Of the loudest in that window, from where a click counts as begun (our own choice)."""
_FEWEST: Final = 4


def add(content: bytes, about: dict[str, Any]) -> Told:
    """Keep a recording; raises ReadError for what is no sound that can be read."""
    ending = _ending(content)
    if len(list(Path(FOLDER).glob("*.json"))) >= MOST:
        raise UsageError(f"there are {MOST} takes already; take some out of the folder first")
    make_folder(Path(FOLDER))
    at = datetime.now().astimezone()
    stem = safe_name(f"{about['part']}-{about['at']}-{at:%Y-%m-%d-%H%M%S}")
    number = 1
    while (Path(FOLDER) / f"{stem}-{number}.json").exists():
        number += 1
    path = Path(FOLDER) / f"{stem}-{number}{ending}"
    told = {"schema": SCHEMA, **about, "recorded": at.isoformat(timespec="seconds")}
    beside = path.with_suffix(".json")
    text = json.dumps({**told, "sound": path.name}, ensure_ascii=False, indent=1)
    write_files([OutputFile(path, content), OutputFile(beside, text.encode())])
    return {"key": id_of(path.name), "name": path.name, **told}


def _ending(content: bytes) -> str:
    try:
        with soundfile.SoundFile(io.BytesIO(content)) as sound:
            kind, seconds = str(sound.format), sound.frames / sound.samplerate
    except (soundfile.SoundFileError, TypeError, ValueError) as error:
        raise ReadError(
            "this is no sound that can be read; record as WAV, FLAC, Ogg or MP3"
        ) from error
    if kind not in ENDINGS:
        raise ReadError("this is no sound that can be read; record as WAV, FLAC, Ogg or MP3")
    if not 0 < seconds <= LONGEST:
        raise ReadError(f"a take lasts {LONGEST // 60} minutes at most, and is not empty")
    return ENDINGS[kind]


def verdict(name: str, of: tuple[str, str], place: str) -> Told:
    """What ``drills take takes/NAME SCORE --part PART --at PLACE`` says of a take that is kept.

    ``of``: score and part.  The pictures are those of ``--picture``, as SVG; none where
    LilyPond is missing.
    """
    score, part = of
    asked = Asked(place, part)
    (take,) = judge_takes([Path(FOLDER) / name], Path(score), asked, Settings(Choices()))
    best = take.best
    pictures = []
    if not best.refused:
        with suppress(EngraveError):
            pictures = list(take_files(take, Path("take.svg")))
    return {
        "files": [(one.path.name, one.content) for one in pictures],
        "words": take.sentence,
        "refused": best.refused,
        "right": round(best.share_right, 3),
        "tempo": None if best.timing is None else round(best.timing.tempo, 1),
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
