"""The number of a new tempo, spoken by espeak-ng where the machine has it."""

from __future__ import annotations

import shutil
from fractions import Fraction

import numpy as np
import pytest

from drills.errors import UsageError
from drills.output.audio import speech
from drills.output.audio.mixing import Terms, scenes
from drills.sound.practice.choices import PracticeChoices
from drills.sound.practice.climb import Climb
from drills.sound.practice.events import Spoken, Strike
from tests.sound.practice.music import part_of, practice_of

ONE_BAR = part_of(("4/4", "C5/4 D5/4 E5/4 F5/4"))
HAS_ONE = shutil.which(speech.PROGRAM) is not None


def test_the_number_is_said_where_a_rung_begins_and_no_bell_rings() -> None:
    climb = Climb(rungs=3, repetitions=1, spoken=True)
    practice = practice_of(ONE_BAR, "1", PracticeChoices(climb=climb))
    events = list(practice.events())
    said = [one for one in events if isinstance(one, Spoken)]
    assert [one.at for one in said] == [stage.start.seconds for stage in practice.stages]
    numbers = [str(stage.tempo.number) for stage in practice.stages]
    assert [one.text for one in said] == numbers
    assert not any(isinstance(one, Strike) and one.voice == "signal" for one in events)


def test_what_to_do_without_a_voice(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(speech, "PROGRAM", "no-such-program")
    with pytest.raises(UsageError, match="needs the program no-such-program"):
        speech.find_speaker()


@pytest.mark.skipif(not HAS_ONE, reason="espeak-ng is an option of the machine")
def test_it_is_heard_from_its_very_sample_on() -> None:
    wave = speech.spoken("96", 44_100)
    assert np.abs(wave).max() == pytest.approx(1.0)
    assert 0.3 < len(wave) / 44_100 < 3
    event = Spoken(Fraction(1, 2), Fraction(1), "signal", "96")
    terms = Terms(44_100, {"signal": 0.5})
    mixed = np.concatenate([scene.mixed() for scene in scenes(iter([event]), terms, 88_200)])
    assert not mixed[:22_050].any()
    heard = mixed[22_050 : 22_050 + len(wave)]
    assert heard[: len(wave)] == pytest.approx(0.5 * wave[: len(heard)], abs=1e-6)
