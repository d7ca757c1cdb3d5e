"""A long take heard piece by piece is what it is heard as at once, and takes no more memory."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import pytest

from drills.listening import pieces, room, survey
from drills.listening.played import listen
from drills.listening.spectra import HOP, Floats
from tests.listening.takes import RATE, Computed, Manner, Place, make_take
from tests.listening.test_following import wanted_of


@dataclass
class Watched:
    """Samples that remember the longest piece that was asked for."""

    samples: Floats
    longest: int = field(default=0)

    def __len__(self) -> int:
        return len(self.samples)

    def __getitem__(self, piece: slice, /) -> Floats:
        found = self.samples[piece]
        self.longest = max(self.longest, len(found))
        return found


@pytest.mark.parametrize("manner", ["mixed", "legato"])
def test_pieces_give_what_the_whole_gives(monkeypatch: pytest.MonkeyPatch, manner: str) -> None:
    """Cut in silences and, played legato without one, at the beginning of a note."""
    how = Manner(bpm=104, manner=manner, missed=0.05, restarts=1)
    take = make_take(19, Computed(), how, Place(noise=30.0), beats=9)
    samples = take.samples.astype(np.float32)
    whole = listen(samples, RATE, wanted_of(take))
    seconds = {"LONG": 3.0, "LATEST": 2.2, "AHEAD": 1.0}
    for name, value in seconds.items():
        monkeypatch.setattr(pieces, name, round(value / HOP))
    monkeypatch.setattr(survey, "FRAMES", 500)
    monkeypatch.setattr(room, "PIECE", 500)
    watched = Watched(samples)
    cut = listen(watched, RATE, wanted_of(take))
    assert watched.longest < 5.5 * RATE < len(samples)
    assert [(one.kind, one.note, one.run) for one in cut.notes] == [
        (one.kind, one.note, one.run) for one in whole.notes
    ]
    off = [a.at - b.at for a, b in zip(cut.notes, whole.notes, strict=True)]
    assert np.percentile(np.abs(off), 95) < 0.004
    assert cut.sounding == pytest.approx(whole.sounding, abs=0.02)
