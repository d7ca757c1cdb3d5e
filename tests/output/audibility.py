"""Whether a click is heard over what else sounds: band levels against a masked threshold.

Problem.  A click at a fixed peak says nothing of whether it is heard while a section plays.

Method.  That of ISO 7731:2003, "Ergonomics - Danger signals for public and work areas -
Auditory danger signals": levels in thirds of an octave; the threshold in a band is the
level of what masks there or that of the band below less 2.5 dB, whichever is higher; a signal
is clearly heard where it exceeds the threshold by 13 dB in one band or more.  (Its rule for
octaves, 7.5 dB and 10 dB, is applied in the worked examples of its annex D; 2.5 and 13 dB are
quoted from memory.)

Conventions.  Mono samples, peak 1 at full scale; bands by the discrete Fourier transform,
nominal centres of IEC 61260-1, edges a sixth of an octave away.  Both sides are measured over
0.2 seconds, in which the ear adds up a short sound (from memory: Plomp and Bouman 1959): a
click is spread over that time, the loudest stretch of what masks counts.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np

from drills.output.audio.shapes import Wave

CENTRES: Final = (
    *(125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000),
    *(2500, 3150, 4000, 5000, 6300, 8000),
)
"""Hertz."""
SLOPE: Final = 2.5
"""Decibels by which masking falls from one band to the next higher."""
CLEARLY: Final = 13.0
"""Decibels above the threshold in one band at which a signal is clearly heard."""
WINDOW: Final = 0.2
"""Seconds."""
_SILENCE: Final = 1e-20


def band_levels(samples: Wave, rate: int) -> Wave:
    """Decibels of full scale in each band of CENTRES, over the whole of ``samples``."""
    power = np.abs(np.fft.rfft(samples)) ** 2 * 2 / len(samples) ** 2
    at = np.fft.rfftfreq(len(samples), 1 / rate)
    edges = [(centre * 2 ** (-1 / 6), centre * 2 ** (1 / 6)) for centre in CENTRES]
    found = [power[(low <= at) & (at < high)].sum() for low, high in edges]
    return 10 * np.log10(np.array(found) + _SILENCE)


def threshold(masking: Wave, rate: int) -> Wave:
    """Decibels in each band that a signal must exceed to be heard over ``masking``."""
    count = round(WINDOW * rate)
    stretches = [masking[at : at + count] for at in range(0, len(masking) - count + 1, count)]
    levels: Wave = np.max([band_levels(one, rate) for one in stretches], axis=0)
    for band in range(1, len(levels)):
        levels[band] = max(levels[band], levels[band - 1] - SLOPE)
    return levels


def above(signal: Wave, masking: Wave, rate: int) -> Mapping[int, float]:
    """By the centre of each band, the decibels of a short signal above what masks it."""
    window = np.zeros(round(WINDOW * rate))
    window[: len(signal)] = signal[: len(window)]
    over = band_levels(window, rate) - threshold(masking, rate)
    return dict(zip(CENTRES, (float(one) for one in over), strict=True))
