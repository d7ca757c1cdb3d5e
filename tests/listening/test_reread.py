"""Notes looked at again once it is known from when to when they sound: rows made by hand."""

from __future__ import annotations

import numpy as np
import pytest

from drills.listening.following import Heard
from drills.listening.going_back import gone_back
from drills.listening.hearing import Hearing
from drills.listening.reread import reread
from drills.listening.room import OPEN_AIR
from drills.listening.states import ADDED, AGAIN, NOTE, WRONG
from drills.listening.survey import Survey
from drills.listening.wanted import Wanted, WantedNote

KEYS = tuple(range(50, 71))
FRAME = 0.006


def hearing_of(*sounding: tuple[int, int]) -> Hearing:
    """So many frames of each key, which costs 0.2, its neighbours 0.4, all others 1."""
    rows = []
    for key, frames in sounding:
        apart = np.abs(np.array(KEYS) - key)
        rows.append(np.tile(np.where(apart == 0, 0.2, np.where(apart == 1, 0.4, 1.0)), (frames, 1)))
    costs = np.concatenate(rows).astype(np.float32)
    nothing = np.zeros(len(costs), dtype=np.float32)
    survey = Survey(OPEN_AIR, -90, -80, -20, -10, np.zeros(8, dtype=np.float32))
    return Hearing(22_050, 132, KEYS, 0.0, costs, nothing, costs[:, :0], (), survey)


REREAD = {
    "what is written": (((60, 40),), ((NOTE, 0, 40),)),
    "a semitone higher": (((61, 25),), ((WRONG, 0, 25),)),
    "one added after it": (((60, 25), (61, 25)), ((NOTE, 0, 25), (ADDED, 25, 50))),
    "one added before it": (((59, 25), (60, 40)), ((ADDED, 0, 25), (NOTE, 25, 65))),
    "the next one begun early": (((60, 25), (62, 15)), ((NOTE, 0, 40),)),
    "too short to tell": (((61, 10),), ((NOTE, 0, 10),)),
}
"""What -> keys and frames that sounded for a written 60 before a 62; kinds and frames."""


@pytest.mark.parametrize("what", REREAD)
def test_a_note_is_read_again(what: str) -> None:
    sounding, expected = REREAD[what]
    frames = sum(size for _, size in sounding)
    hearing = hearing_of(*sounding, (62, 20))
    heard = (Heard(NOTE, 0, 0, frames), Heard(NOTE, 1, frames, frames + 20))
    found = reread(hearing, heard, (60, 62))
    assert found[-1] == heard[-1]
    assert [one.kind for one in found[:-1]] == [kind for kind, _, _ in expected]
    for one, (_, first, end) in zip(found, expected, strict=False):
        assert abs(one.first - first) <= 3
        assert abs(one.end - end) <= 3


def test_a_recording_that_leans_is_not_all_wrong() -> None:
    """Its tuning was told half a semitone off: each note is as near to the one below."""
    hearing = hearing_of((59, 240))
    heard = tuple(Heard(NOTE, n, 40 * n, 40 * n + 40) for n in range(6))
    assert reread(hearing, heard, (60,) * 6) == heard


THREE = Wanted(tuple(WantedNote(0.5 * n, 0.5, key) for n, key in enumerate((60, 64, 64, 62))), 0.6)
"""Two notes of one pitch in the middle; 0.3 seconds, 50 frames, from note to note."""
STOPS = {
    "begun anew with the second": (
        ((NOTE, 1, 50), (AGAIN, 1, 100), (NOTE, 2, 250)),
        ((NOTE, 1, False), (NOTE, 2, False), (NOTE, 2, True)),
    ),
    "begun anew with the first": (
        ((NOTE, 1, 50), (NOTE, 2, 200), (AGAIN, 2, 250)),
        ((NOTE, 1, False), (NOTE, 1, True), (NOTE, 2, False)),
    ),
    "struck twice within its time": (
        ((NOTE, 1, 50), (AGAIN, 1, 75), (NOTE, 2, 100)),
        ((NOTE, 1, False), (AGAIN, 1, False), (NOTE, 2, False)),
    ),
    "struck twice early, and a stop": (
        ((NOTE, 1, 50), (AGAIN, 1, 70), (NOTE, 2, 250)),
        ((NOTE, 1, False), (AGAIN, 1, False), (NOTE, 2, False)),
    ),
}
"""What -> kind, note and first frame of what was heard; kind, note and whether it goes back."""


@pytest.mark.parametrize("what", STOPS)
def test_who_went_back_to_a_pitch_that_comes_twice(what: str) -> None:
    heard, expected = STOPS[what]
    starts = [first for *_, first in heard]
    ends = [min(first + 50, after) for first, after in zip(starts, (*starts[1:], 999), strict=True)]
    rows = [Heard(NOTE, 0, 0, 50)]
    rows += [Heard(kind, n, a, b) for (kind, n, a), b in zip(heard, ends, strict=True)]
    found = gone_back(rows, THREE, FRAME)
    assert tuple((one.kind, one.note, one.jumped) for one in found[1:]) == expected
