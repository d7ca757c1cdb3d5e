"""The groups of values that ``drills click`` takes, and what they are in terms of practice."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Final

from drills.errors import UsageError
from drills.jobs.asked.sound_values import SOUND_FORMATS
from drills.sheets.clicks.laying import Accent
from drills.sheets.clicks.pattern import Pattern
from drills.sound.groove import Swing, Variation
from drills.sound.practice.choices import Material, PracticeChoices, Tuning
from drills.sound.practice.climb import Climb, Steps

_USUAL: Final = PracticeChoices()
_CLIMB: Final = Climb()
STEP: Final = 5.0
"""Decibels of a step louder or softer: two of them are heard as twice as loud, or half (common
practice: ten decibels)."""


@dataclass(frozen=True, slots=True)
class ClickOptions:
    """What the metronome sounds."""

    click: tuple[Pattern, ...]
    accent: Accent
    click_sound: str | None
    accent_sound: str | None


@dataclass(frozen=True, slots=True)
class ClimbOptions:
    """How the tempo rises; the lowest number and how many there are belong to the ladder."""

    step: tuple[Steps, Fraction | None]
    past: Fraction
    up_and_back: tuple[int, int] | None
    times: int | None
    minutes: Fraction | None
    count_in: int
    rest: int
    pause: int
    signal: bool
    say_tempo: bool

    def climb(self, start: Fraction | None, rungs: int) -> Climb:
        """The same in the terms of practice; raises UsageError for what excludes each other."""
        if self.times is not None and self.minutes is not None:
            raise UsageError("--minutes says how often each rung is played; leave --times out")
        steps, percent = self.step
        up, back = self.up_and_back or (_CLIMB.up, _CLIMB.back)
        return Climb(
            start=start,
            beyond=self.past,
            steps=steps,
            rungs=rungs,
            percent=_CLIMB.percent if percent is None else percent,
            up=up,
            back=back,
            repetitions=self.times or _CLIMB.repetitions,
            rest=self.rest,
            rung_rest=self.pause,
            count_in=self.count_in,
            total=self.minutes,
            signal=self.signal,
            spoken=self.say_tempo,
        )


@dataclass(frozen=True, slots=True)
class PlayOptions:
    """What is played, and what plays along."""

    play: tuple[Material, ...]
    with_voices: tuple[str, ...]
    octave: int
    tuning: Tuning
    pitch: Fraction
    groove: str | None
    swing: Swing
    swing_line: bool
    uneven: int | None
    louder: dict[str, int]
    softer: dict[str, int]
    sound_font: Path | None

    def choices(self, clicks: ClickOptions, climb: Climb, *, each: bool) -> PracticeChoices:
        """The same in the terms of practice; with ``each`` what is on every sheet unless said."""
        usual = (Material.SPOT, Material.CELLS, Material.LINES) if each else _USUAL.material
        return PracticeChoices(
            material=self.play or usual,
            patterns=clicks.click,
            accent=clicks.accent,
            click_sound=clicks.click_sound,
            accent_sound=clicks.accent_sound,
            climb=climb,
            voices=("click", *self.with_voices),
            octave=self.octave,
            tuning=self.tuning,
            a4=self.pitch,
            groove=self.groove or "",
            swing=self.swing,
            swing_line=self.swing_line,
            variation=None if self.uneven is None else Variation(self.uneven),
        )

    def gains(self) -> dict[str, float]:
        """Decibels by voice, for those that are louder or softer than usual."""
        return {
            voice: STEP * (self.louder.get(voice, 0) - self.softer.get(voice, 0))
            for voice in (*self.louder, *self.softer)
        }


@dataclass(frozen=True, slots=True)
class SoundFileOptions:
    """What is written, and where."""

    output: Path | None
    also: tuple[str, ...]
    each: bool
    phone: bool
    rate: int | None
    bits: int | None
    json: bool
    force: bool


def sound_format(path: Path | None, *, phone: bool = False) -> str:
    """What a file is by its ending; raises UsageError for no format.

    Where none is named it is a WAV, for a phone an MP3.
    """
    if path is None:
        return "mp3" if phone else "wav"
    names = {ending: name for name, ending in SOUND_FORMATS.items() if name != "pdf"}
    name = (names | _OTHER_ENDINGS).get(path.suffix.lower())
    if name is None:
        raise UsageError(f"-o {path}: end the name in one of {', '.join(names)}")
    if phone and name in ("wav", "flac", "midi"):
        raise UsageError(
            f"--phone is for a small file, and -o {path} names a large one or none that sounds; "
            "end its name in .mp3, or leave --phone out"
        )
    return name


_OTHER_ENDINGS: Final[dict[str, str]] = {".midi": "midi"}
