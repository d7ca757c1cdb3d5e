"""A note that is struck twice is found, and one that is held is not taken for two.

The truth comes from tests/listening/takes.py, which shares no code with the listener.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from drills.listening.judging import judge
from drills.listening.played import listen
from drills.listening.verdict import Extra
from drills.listening.wanted import Wanted, WantedNote
from tests.listening.takes import RATE, Computed, Manner, Place, Take, Written, make_take

HALVES = tuple(
    Written(0.75 * n, 0.75, key) for n, key in enumerate((60, 64, 62, 67, 65, 69, 67, 71))
)
"""Long enough for two attacks each."""


def extras(take: Take) -> tuple[Extra, ...]:
    notes = tuple(WantedNote(w.at, w.length, w.key, beat=True) for w in take.written)
    wanted = Wanted(notes, 60 / take.manner.bpm)
    return judge(wanted, listen(take.samples.astype(np.float32), RATE, wanted)).extras


STRUCK = {
    "tongued": (Manner(twice=0.4), Place(noise=30.0), 0),
    "soft": (Manner(twice=0.4, manner="soft"), Place(noise=30.0), 0),
    "with vibrato": (Manner(twice=0.4, vibrato=20), Place(noise=20.0), 0),
    "through a phone": (Manner(twice=0.4), Place(phone=True, noise=30.0), 0),
    "in a room": (Manner(twice=0.25), Place(reverb=0.3, noise=30.0), 2),
}
"""What -> manner, place, how many of those that were planted may be overlooked."""


@pytest.mark.parametrize("what", STRUCK)
def test_a_note_struck_twice_is_found(what: str) -> None:
    manner, place, overlooked = STRUCK[what]
    take = make_take(26, Computed(), manner, place, written=HALVES)
    planted = [one.at for one in take.played if one.call == "twice"]
    assert len(planted) >= 2
    found = extras(take)
    assert all(extra.call == "twice" for extra in found)
    near = [at for at in planted if any(abs(extra.seconds - at) < 0.08 for extra in found)]
    assert len(near) == len(found)
    assert len(near) >= len(planted) - overlooked


HELD = {
    "swelling": Place(noise=30.0),
    "with clicks": Place(noise=30.0, click=-3.0),
    "in a room": Place(noise=30.0, reverb=0.4),
}
"""What -> place, of notes with vibrato."""


@pytest.mark.parametrize("what", HELD)
def test_a_note_that_is_held_is_one(what: str) -> None:
    take = make_take(6, Computed(), Manner(vibrato=20), HELD[what], written=HALVES)
    if what == "swelling":  # by 6 dB, four times a second
        time = np.arange(len(take.samples)) / RATE
        swell = 10 ** (3 * np.sin(2 * np.pi * 4 * time) / 20)
        take = replace(take, samples=take.samples * swell)
    assert not extras(take)
