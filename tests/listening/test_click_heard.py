"""A click in a recording is found where it is, and not where nobody set one."""

from __future__ import annotations

import numpy as np
import pytest

from drills.listening.click_heard import heard_click
from tests.listening.takes import RATE, Computed, Manner, Place, click_sound, make_take

COUNTED_IN = 4


@pytest.mark.parametrize(("number", "level"), [(72, -12.0), (97, 0.0), (120, 6.0)])
def test_a_click_beside_the_player(number: int, level: float) -> None:
    """Counted in for four beats, in noise; its moments are known to 5 ms."""
    beat = 60 / number
    take = make_take(number, Computed(), Manner(bpm=number, jitter=0.01), Place(), beats=12)
    before = int(COUNTED_IN * beat * RATE)
    sound = np.concatenate([np.zeros(before), take.samples])
    ping = click_sound() * 10 ** (level / 20) * np.abs(sound).max()
    first = before / RATE + take.start - COUNTED_IN * beat
    for n in range(COUNTED_IN + 12):
        at = round((first + n * beat) * RATE)
        sound[at : at + len(ping)] += ping[: len(sound) - at]
    sound += 0.002 * np.random.default_rng(1).normal(size=len(sound))
    attacks = [one.at + before / RATE for one in take.played]
    found = heard_click(sound.astype(np.float32), RATE, number * 1.02, attacks)
    assert found is not None
    assert found.number == number
    off = (found.at - first + beat / 2) % beat - beat / 2
    assert off == pytest.approx(0, abs=0.005)


@pytest.mark.parametrize("jitter", [0.002, 0.01])
def test_a_steady_player_is_no_click(jitter: float) -> None:
    manner = Manner(bpm=90, jitter=jitter, manner="tongued")
    take = make_take(3, Computed(), manner, Place(noise=30.0), beats=16)
    attacks = [one.at for one in take.played]
    assert heard_click(take.samples.astype(np.float32), RATE, 90.0, attacks) is None
    silence = np.zeros(RATE, dtype=np.float32)
    assert heard_click(silence, RATE, 90.0, []) is None
