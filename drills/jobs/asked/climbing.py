"""How the tempo of practice sound rises: the rows that fill ``Climb``."""

from __future__ import annotations

from typing import Final

from drills.jobs.asked import sound_values as values
from drills.jobs.asked.choice import Choice, Heading, Kind
from drills.sound.practice.climb import MOST_BARS, MOST_REPETITIONS, Climb

_USUAL: Final = Climb()
_TEMPO: Final = Heading.TEMPO
_CLICK: Final = ("click",)

CHOICES: Final = (
    Choice(
        "step",
        "From rung to rung: metronome, by its usual numbers; a percentage such as 5%, however many "
        "rungs that makes; even, so many rungs equally far apart.",
        _TEMPO,
        _CLICK,
        "climbing",
        unit="STEP",
        usual=_USUAL.steps.value,
        words=("metronome", "even"),
        read=values.read_step,
        data="practice:spots.files.stages.tempo",
    ),
    Choice(
        "past",
        "Go on past the performing tempo, up to 50 per cent.",
        _TEMPO,
        _CLICK,
        "climbing",
        unit="PERCENT",
        usual="0",
        read=values.read_past,
        data="practice:spots.files.stages.tempo",
    ),
    Choice(
        "up_and_back",
        "Go 3-1: three rungs up, one back, and so on to the top.",
        _TEMPO,
        _CLICK,
        "climbing",
        unit="UP-BACK",
        usually="straight up",
        read=values.read_up_and_back,
        data="practice:spots.files.stages.rung",
    ),
    Choice(
        "times",
        "Times through on each rung.",
        _TEMPO,
        _CLICK,
        "climbing",
        kind=Kind.COUNT,
        unit="COUNT",
        limits=(1, MOST_REPETITIONS),
        usually=str(_USUAL.repetitions),
        data="practice:spots.files.stages.times",
    ),
    Choice(
        "minutes",
        "Length of the whole practice, shared among the files where there are several; as many "
        "times through as fit are played.",
        _TEMPO,
        _CLICK,
        "climbing",
        unit="NUMBER",
        read=values.read_minutes,
        first=_CLICK,
        data="practice:spots.files.end",
    ),
    Choice(
        "count_in",
        "Bars counted before each rung.",
        _TEMPO,
        _CLICK,
        "climbing",
        kind=Kind.COUNT,
        unit="BARS",
        limits=(0, MOST_BARS),
        usual=str(_USUAL.count_in),
        data="practice:spots.files.stages.start",
    ),
    Choice(
        "rest",
        "Bars of rest after each time through; the click goes on.",
        _TEMPO,
        _CLICK,
        "climbing",
        kind=Kind.COUNT,
        unit="BARS",
        limits=(0, MOST_BARS),
        usual=str(_USUAL.rest),
        data="practice:spots.files.stages.times",
    ),
    Choice(
        "pause",
        "Bars of silence after each rung.",
        _TEMPO,
        _CLICK,
        "climbing",
        kind=Kind.COUNT,
        unit="BARS",
        limits=(0, MOST_BARS),
        usual=str(_USUAL.rung_rest),
        data="practice:spots.files.stages.end",
    ),
    Choice(
        "say_tempo",
        "Say the number of each new tempo in place of the bell; needs the program espeak-ng.",
        _TEMPO,
        _CLICK,
        "climbing",
        kind=Kind.FLAG,
        data="practice:spots.files.stages.tempo",
    ),
    Choice(
        "signal",
        "A bell where a new rung begins.",
        _TEMPO,
        _CLICK,
        "climbing",
        kind=Kind.SWITCH,
        usual=_USUAL.signal,
    ),
)
