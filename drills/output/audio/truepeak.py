"""How loud a signal gets between its samples.

Method: ITU-R BS.1770-5 (2023), Annex 2: the signal is interpolated to four times
its rate by the 48 coefficients printed there, and the largest magnitude counts.
All of them are linear, so the true peak of a mix is never above the sum of those
of its sounds: which parts of a long file need measuring is known beforehand.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

Wave = npt.NDArray[np.float64]

_PHASE_0: Final = (
    *(0.0017089843750, 0.0109863281250, -0.0196533203125, 0.0332031250000),
    *(-0.0594482421875, 0.1373291015625, 0.9721679687500, -0.1022949218750),
    *(0.0476074218750, -0.0266113281250, 0.0148925781250, -0.0083007812500),
)
_PHASE_1: Final = (
    *(-0.0291748046875, 0.0292968750000, -0.0517578125000, 0.0891113281250),
    *(-0.1665039062500, 0.4650878906250, 0.7797851562500, -0.2003173828125),
    *(0.1015625000000, -0.0582275390625, 0.0330810546875, -0.0189208984375),
)
PHASES: Final = np.array([_PHASE_0, _PHASE_1, _PHASE_1[::-1], _PHASE_0[::-1]])
"""Annex 2, table of coefficients: the last two phases are the first two backwards."""
TAPS: Final = PHASES.shape[1]


def oversampled(wave: Wave) -> Wave:
    """Magnitudes at four times the rate, silence before and after; sample n is from 4n on."""
    return _interleaved([np.convolve(wave, phase) for phase in PHASES])


def true_peak(wave: Wave, before: Wave | None = None) -> float:
    """The largest magnitude, of samples and in between.

    ``before`` are the samples that precede (TAPS - 1 of them); silence unless given.
    Only what is between them and the end is looked at, so that parts of a signal
    may be measured one after the other.
    """
    if not len(wave):
        return 0.0
    led = np.concatenate([np.zeros(TAPS - 1) if before is None else before, wave])
    between = max(float(np.abs(np.convolve(led, phase, "valid")).max()) for phase in PHASES)
    return max(between, float(np.abs(wave).max()))


def _interleaved(phases: list[Wave]) -> Wave:
    return np.abs(np.stack(phases, axis=1)).ravel()
