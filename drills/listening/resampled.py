"""Samples at another rate, second by second, by their spectrum.

A piece of a whole number of seconds has a whole number of samples at either rate: its
spectrum is cut or filled up with silence (exact for what lies below half of both rates), and
margins, in which the ends of the piece show, are left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.spectra import Floats, Samples, piece_of

PIECE: Final = 8
"""Seconds that are kept of each piece."""
MARGIN: Final = 1
"""Seconds on either side."""


def at_rate(samples: Samples, rate: int, wanted: int) -> Iterator[Floats]:
    """Blocks of the samples, which are at ``rate`` a second, at ``wanted`` a second."""
    total = round(len(samples) * wanted / rate)
    for second in range(0, -(-len(samples) // rate), PIECE):
        low, high = second - MARGIN, second + PIECE + MARGIN
        piece: NDArray[np.floating] = piece_of(samples, low * rate, high * rate)
        if rate != wanted:
            size = (high - low) * wanted
            piece = np.fft.irfft(np.fft.rfft(piece)[: size // 2 + 1], size) * (wanted / rate)
        end = min(PIECE * wanted, total - second * wanted)
        yield piece[MARGIN * wanted : MARGIN * wanted + end].astype(np.float32)
