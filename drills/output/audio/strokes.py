"""Strokes without a practice around them -> samples, for what compares a recording with them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import numpy.typing as npt

from drills.output.audio.level import amplitudes
from drills.output.audio.mixing import Terms, scenes
from drills.sound.practice.events import Strike

RINGING = 2
"""Seconds after the last stroke."""


def struck_sound(strokes: Sequence[Strike], rate: int) -> Iterator[npt.NDArray[np.float32]]:
    """Blocks of samples, each stroke as a file has it, but for what turns the whole down.

    ``strokes``: in order of time.
    """
    terms = Terms(rate, amplitudes({}))
    frames = (terms.sample(strokes[-1].at) if strokes else 0) + RINGING * rate
    for scene in scenes(iter(strokes), terms, frames):
        yield scene.mixed().astype(np.float32)
