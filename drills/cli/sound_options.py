"""The options of practice sound, gathered into one typed object per group as in options.py."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Final

import click

from drills.cli import sound_values as values
from drills.cli.options import gathered, reading
from drills.cli.values import whole_number
from drills.errors import UsageError
from drills.sheet.clicks.laying import Accent
from drills.sheet.clicks.pattern import Pattern
from drills.sound.groove import Swing, Variation, parse_swing
from drills.sound.practice.choices import Material, PracticeChoices, Tuning
from drills.sound.practice.climb import MOST_BARS, MOST_REPETITIONS, Climb, Steps

_USUAL: Final = PracticeChoices()
_CLIMB: Final = Climb()


@dataclass(frozen=True, slots=True)
class ClickOptions:
    """What the metronome sounds."""

    click: tuple[Pattern, ...]
    accent: str
    click_sound: str
    accent_sound: str


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
        )


@dataclass(frozen=True, slots=True)
class PlayOptions:
    """What is played, and what plays along."""

    play: tuple[Material, ...]
    with_voices: tuple[str, ...]
    octave: int
    tuning: str
    pitch: Fraction
    groove: str | None
    swing: Swing
    swing_line: bool
    human: int | None
    gain: dict[str, float]
    sound_font: Path | None

    def choices(self, clicks: ClickOptions, climb: Climb, *, each: bool) -> PracticeChoices:
        """The same in the terms of practice; with ``each`` what is on every sheet unless said."""
        usual = (Material.SPOT, Material.CELLS, Material.LINES) if each else _USUAL.material
        return PracticeChoices(
            material=self.play or usual,
            patterns=clicks.click,
            accent=Accent(clicks.accent),
            click_sound=clicks.click_sound,
            accent_sound=clicks.accent_sound,
            climb=climb,
            voices=("click", *self.with_voices),
            octave=self.octave,
            tuning=Tuning(self.tuning),
            a4=self.pitch,
            groove=self.groove or "",
            swing=self.swing,
            swing_line=self.swing_line,
            variation=None if self.human is None else Variation(self.human),
        )


@dataclass(frozen=True, slots=True)
class SoundFileOptions:
    """What is written, and where."""

    output: Path | None
    also: tuple[str, ...]
    each: bool
    rate: int | None
    bits: int | None
    json: bool
    force: bool


PLAY: Final = gathered(
    "playing",
    PlayOptions,
    (
        click.option(
            "--play",
            multiple=True,
            metavar="WHAT",
            callback=reading(values.read_material),
            help="What the click is for: spot, as it stands in the part; cells, lines or chords of "
            "its sheet; or sheet, all of them. Several with commas. [default: spot]",
        ),
        click.option(
            "--with",
            "with_voices",
            multiple=True,
            metavar="VOICES",
            callback=reading(values.read_voices),
            help="What plays along: line, the music itself; octave, the same an octave away; "
            "section, the other parts of the score; bass or chord, held under you, from the chord "
            "symbols or else from the notes of the score.",
        ),
        click.option(
            "--octave",
            default="down",
            show_default=True,
            metavar="WAY",
            callback=reading(values.read_octave),
            help="Where the voice octave plays: up, down, or a number of octaves.",
        ),
        click.option(
            "--tuning",
            type=click.Choice([tuning.value for tuning in Tuning]),
            default=_USUAL.tuning.value,
            show_default=True,
            help="Of bass and chord: equal, as a tuner shows it; pure, without beats against the "
            "bass.",
        ),
        click.option(
            "--pitch",
            default=str(_USUAL.a4),
            show_default=True,
            metavar="HERTZ",
            callback=reading(values.read_pitch),
            help="The tuning note A, 415 to 466.",
        ),
        click.option(
            "--gain",
            multiple=True,
            metavar="VOICE=DB",
            callback=reading(values.read_gains),
            help="Make a voice louder or softer, such as click=-6: click, signal, groove, or one "
            "of --with.",
        ),
        click.option(
            "--sound-font",
            type=click.Path(path_type=Path),
            metavar="FILE",
            help="A SoundFont 2 file (.sf2) of your own plays the voices of --with, on your "
            "instrument where it has it. The click stays exact, the font's notes speak as late as "
            "they were recorded. The font's licence decides whether the file may be given away. "
            "Needs the package tinysoundfont.",
        ),
        click.option(
            "--groove",
            metavar="NAME",
            callback=reading(values.read_groove),
            help="A drum pattern to play with: straight, swing, shuffle, two-beat, bossa, samba, "
            "march-cut and others.",
        ),
        click.option(
            "--swing",
            default="tempo",
            show_default=True,
            metavar="RATIO",
            callback=reading(parse_swing),
            help="How the drums swing: tempo, less the faster it goes, as drummers do; straight; "
            "or long against short, such as 2:1.",
        ),
        click.option("--swing-line", is_flag=True, help="Swing the music too, as the drums do."),
        click.option(
            "--human",
            metavar="SEED",
            callback=reading(whole_number(0, 999_999_999)),
            help="Make the drums a little uneven, as a player is: the same number gives the same "
            "file. The click stays exact.",
        ),
    ),
)

CLICKS: Final = gathered(
    "clicks",
    ClickOptions,
    (
        click.option(
            "--click",
            multiple=True,
            metavar="PATTERN",
            callback=reading(values.read_patterns),
            help='Where it clicks: beats, 4, "2,4", offbeats, groups, divided, "every 3 '
            'sixteenths", "every 2 bars", "2 on 2 off", fading, none. Again for each rung in turn, '
            "to be helped less and less; the last one stays. [default: what the ladder counts: "
            "the beat, unless that is too slow or too fast for a metronome]",
        ),
        click.option(
            "--accent",
            type=click.Choice([accent.value for accent in Accent]),
            default=_USUAL.accent.value,
            show_default=True,
            help="Which clicks are accented: those on beat 1, on the first beat of each group, or "
            "none.",
        ),
        click.option(
            "--click-sound",
            default=_USUAL.click_sound,
            show_default=True,
            metavar="SOUND",
            callback=reading(values.read_sound),
            help="What clicks: claves, side-stick, cowbell, beep, closed-hi-hat and others.",
        ),
        click.option(
            "--accent-sound",
            default=_USUAL.accent_sound,
            show_default=True,
            metavar="SOUND",
            callback=reading(values.read_sound),
            help="What clicks on an accent.",
        ),
    ),
)

CLIMB: Final = gathered(
    "climbing",
    ClimbOptions,
    (
        click.option(
            "--step",
            default=_CLIMB.steps.value,
            show_default=True,
            metavar="STEP",
            callback=reading(values.read_step),
            help="From rung to rung: metronome, by its usual numbers; a percentage such as 5%, "
            "however many rungs that makes; even, so many rungs equally far apart.",
        ),
        click.option(
            "--past",
            default="0",
            metavar="PERCENT",
            callback=reading(values.read_past),
            help="Go on past the performing tempo, up to 50 per cent.",
        ),
        click.option(
            "--up-and-back",
            metavar="UP-BACK",
            callback=reading(values.read_up_and_back),
            help="Go 3-1: three rungs up, one back, and so on to the top.",
        ),
        click.option(
            "--times",
            metavar="COUNT",
            callback=reading(whole_number(1, MOST_REPETITIONS)),
            help=f"Times through on each rung. [default: {_CLIMB.repetitions}]",
        ),
        click.option(
            "--minutes",
            metavar="NUMBER",
            callback=reading(values.read_minutes),
            help="Length of the whole file; as many times through as fit are played.",
        ),
        click.option(
            "--count-in",
            default=str(_CLIMB.count_in),
            show_default=True,
            metavar="BARS",
            callback=reading(whole_number(0, MOST_BARS)),
            help="Bars counted before each rung.",
        ),
        click.option(
            "--rest",
            default=str(_CLIMB.rest),
            show_default=True,
            metavar="BARS",
            callback=reading(whole_number(0, MOST_BARS)),
            help="Bars of rest after each time through; the click goes on.",
        ),
        click.option(
            "--pause",
            default=str(_CLIMB.rung_rest),
            show_default=True,
            metavar="BARS",
            callback=reading(whole_number(0, MOST_BARS)),
            help="Bars of silence after each rung.",
        ),
        click.option(
            "--signal/--no-signal",
            default=_CLIMB.signal,
            show_default=True,
            help="A bell where a new rung begins.",
        ),
    ),
)

SOUND_FILES: Final = gathered(
    "files",
    SoundFileOptions,
    (
        click.option(
            "-o",
            "--output",
            type=click.Path(path_type=Path),
            metavar="FILE",
            help="The file to write; its ending says what it is: .wav, .flac, .ogg, .opus, .mp3 or "
            ".mid.",
        ),
        click.option(
            "--also",
            multiple=True,
            metavar="FORMAT",
            callback=reading(values.read_sound_formats),
            help="Write this too, under the same name: wav, flac, ogg, opus, mp3, midi, or pdf, "
            "the sheet with the names of its sound files.",
        ),
        click.option(
            "--each",
            is_flag=True,
            help="One file for each heading of the sheet, numbered in the order of the page.",
        ),
        click.option(
            "--rate",
            metavar="NUMBER",
            callback=reading(whole_number(1, 999_999)),
            help="Samples a second: 44100 or 48000.",
        ),
        click.option(
            "--bits",
            metavar="NUMBER",
            callback=reading(whole_number(1, 99)),
            help="Bits a sample of .wav and .flac: 16 or 24.",
        ),
        click.option(
            "--json",
            is_flag=True,
            help="Print the plan as data: what begins when. Then files only with -o or --also.",
        ),
        click.option("--force", is_flag=True, help="Replace files that are there already."),
    ),
)


def sound_format(path: Path | None) -> str:
    """What a file is by its ending, WAV where none is named; raises UsageError for no format."""
    if path is None:
        return "wav"
    names = {ending: name for name, ending in values.SOUND_FORMATS.items() if name != "pdf"}
    name = (names | _OTHER_ENDINGS).get(path.suffix.lower())
    if name is None:
        raise UsageError(f"-o {path}: end the name in one of {', '.join(names)}")
    return name


_OTHER_ENDINGS: Final[dict[str, str]] = {".midi": "midi"}
