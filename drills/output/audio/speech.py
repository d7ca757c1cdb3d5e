"""The number of a new tempo, spoken: "ninety-six", by espeak-ng where the machine has it.

espeak-ng (GPL, as Debian packages it) is a program of its own: it is run, not linked, and
what it says belongs to nobody.  It writes a WAV to its standard output; that is brought to
the rate of the file by straight lines between its samples, which speech bears, and to a
peak of 1.  The same text gives the same samples on one machine and version of it.
"""

from __future__ import annotations

import io
import shutil
from functools import lru_cache
from typing import Final

import numpy as np
import soundfile

from drills.errors import UsageError
from drills.output.audio.shapes import Wave
from drills.output.programs import output_of

PROGRAM: Final = "espeak-ng"
_WORDS_A_MINUTE: Final = 150
_SECONDS: Final = 20
"""More than any number takes."""


def find_speaker() -> str:
    """The program that speaks; raises UsageError with what to do where there is none."""
    found = shutil.which(PROGRAM)
    if found is None:
        raise UsageError(
            f"--say-tempo needs the program {PROGRAM}, which is not on the PATH; install it "
            f"(Debian and Ubuntu: apt install {PROGRAM}), or leave --say-tempo out: a bell "
            "tells a new tempo"
        )
    return found


@lru_cache(maxsize=128)
def spoken(text: str, rate: int) -> Wave:
    """A text as samples, mono, its peak 1; raises UsageError where it cannot be said."""
    command = (find_speaker(), "-v", "en", "-s", str(_WORDS_A_MINUTE), "--stdout", text)
    try:
        samples, own = soundfile.read(io.BytesIO(output_of(command, _SECONDS)), always_2d=True)
    except (soundfile.LibsndfileError, OSError) as error:
        raise UsageError(f"{PROGRAM} did not speak ({error}); leave --say-tempo out") from error
    mono: Wave = samples.mean(axis=1)
    count = int(len(mono) * rate / own)
    wave: Wave = np.interp(np.arange(count) * (own / rate), np.arange(len(mono)), mono)
    peak = float(np.abs(wave).max(initial=0.0))
    if peak:
        wave /= peak
    return wave
