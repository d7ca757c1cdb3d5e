"""The practice sound that was played to, as samples: the file, or made anew from its plan."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Final

from drills.listening.bleed import bleed_of
from drills.listening.plan import Plan
from drills.listening.resampled import at_rate
from drills.listening.sound_file import Recording, kept, open_recording
from drills.listening.spectra import Samples
from drills.output.audio import struck_sound

USUAL_RATE: Final = 44_100
"""Samples a second of a practice sound, unless chosen otherwise."""


@dataclass(frozen=True, slots=True)
class Cleaned:
    """A recording without the practice sound."""

    recording: Recording
    shift: float | None
    """Where the practice sound begins on it, seconds; None where it is not heard."""


@contextmanager
def without_practice(recording: Recording, plan: Plan) -> Iterator[Cleaned]:
    """The recording without what bleeds into it of the practice sound, as long as it is used."""
    with _sound(plan, recording.rate) as sound:
        bleed = None if sound is None else bleed_of(recording.samples, sound, recording.rate)
        if bleed is None:
            yield Cleaned(recording, None)
            return
        with kept(bleed.blocks()) as samples:
            yield Cleaned(Recording(recording.path, samples, recording.rate), bleed.begins)


@contextmanager
def _sound(plan: Plan, rate: int) -> Iterator[Samples | None]:
    """The practice sound at a rate; None where the plan tells nothing that sounds."""
    if plan.sound is not None:
        with (
            open_recording(plan.sound) as sound,
            kept(at_rate(sound.samples, sound.rate, rate)) as samples,
        ):
            yield samples
    elif plan.struck:
        with (
            kept(struck_sound(plan.struck, USUAL_RATE)) as made,  # its hiss depends on the rate
            kept(at_rate(made, USUAL_RATE, rate)) as samples,
        ):
            yield samples
    else:
        yield None
