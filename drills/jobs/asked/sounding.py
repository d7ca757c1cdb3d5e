"""What sounds, and where it clicks: the rows that fill ``PracticeChoices``."""

from __future__ import annotations

from typing import Final

from drills.jobs.asked import sound_values as values
from drills.jobs.asked.choice import Choice, Heading, Kind
from drills.sheets.clicks.laying import Accent
from drills.sheets.clicks.reading import NAMED
from drills.sound.groove import GROOVES, parse_swing
from drills.sound.practice.choices import Material, PracticeChoices, Tuning
from drills.sound.practice.voices import CLICKS_OVER_SECTION, SOUNDS, USUAL_CLICKS, VOICES

_USUAL: Final = PracticeChoices()
_SOUNDS: Final = Heading.SOUNDS
_CLICKS: Final = Heading.CLICKS
_CLICK: Final = ("click",)

PLAYED: Final = (
    Choice(
        "play",
        "What the click is for: spot, as it stands in the part; cells, lines or chords of its "
        "sheet; or sheet, all of them. Several with commas.",
        _SOUNDS,
        _CLICK,
        "playing",
        unit="WHAT",
        usually="spot",
        words=(*Material, values.SHEET),
        read=values.read_material,
        several=True,
        data="practice:spots.files.stages.what",
    ),
    Choice(
        "with_voices",
        "What plays along: line, the music itself; octave, the same an octave away; section, the "
        "other parts of the score; bass or chord, held under you, from the chord symbols or else "
        "from the notes of the score.",
        _SOUNDS,
        _CLICK,
        "playing",
        flags=("--with",),
        unit="VOICES",
        words=values.WITH,
        read=values.read_voices,
        several=True,
        first=_CLICK,
        data="practice:spots.files.voices",
    ),
    Choice(
        "octave",
        "Where the voice octave plays: up, down, or a number of octaves.",
        _SOUNDS,
        _CLICK,
        "playing",
        unit="WAY",
        usual="down",
        words=("up", "down"),
        read=values.read_octave,
    ),
    Choice(
        "tuning",
        "Of bass and chord: equal, as a tuner shows it; pure, without beats, counted from the tone "
        "that --tune-from names.",
        _SOUNDS,
        _CLICK,
        "playing",
        kind=Kind.WORD,
        unit="HOW",
        usual=_USUAL.tuning.value,
        words=tuple(tuning.value for tuning in Tuning),
        read=Tuning,
    ),
    Choice(
        "pitch",
        "The tuning note A, 415 to 466.",
        _SOUNDS,
        _CLICK,
        "playing",
        unit="HERTZ",
        usual=str(_USUAL.a4),
        read=values.read_pitch,
        data="practice:spots.files.a4",
    ),
    Choice(
        "louder",
        "Make a voice louder by a step of 5 dB: click, signal, groove, or one of --with. Named "
        "twice it is two steps, which is heard as about twice as loud.",
        _SOUNDS,
        _CLICK,
        "playing",
        unit="VOICES",
        words=tuple(VOICES),
        read=values.read_steps,
        several=True,
    ),
    Choice(
        "softer",
        "Make a voice softer by a step of 5 dB; as --louder.",
        _SOUNDS,
        _CLICK,
        "playing",
        unit="VOICES",
        words=tuple(VOICES),
        read=values.read_steps,
        several=True,
    ),
    Choice(
        "sound_font",
        "A SoundFont 2 file (.sf2) of your own plays the voices of --with, on your instrument "
        "where it has it. The click stays exact, the font's notes speak as late as they were "
        "recorded. The font's licence decides whether the file may be given away. Needs the "
        "package tinysoundfont.",
        _SOUNDS,
        _CLICK,
        "playing",
        kind=Kind.PATH,
        unit="FILE",
    ),
    Choice(
        "groove",
        "A drum pattern to play with: straight, swing, shuffle, two-beat, bossa, samba, march-cut "
        "and others.",
        _SOUNDS,
        _CLICK,
        "playing",
        unit="NAME",
        words=tuple(GROOVES),
        read=values.read_groove,
        first=_CLICK,
        data="practice:spots.files.groove",
    ),
    Choice(
        "swing",
        "How the drums swing: steady, on every rung as at the performing tempo; tempo, less the "
        "faster it goes, as drummers do; straight; or long against short, such as 2:1.",
        _SOUNDS,
        _CLICK,
        "playing",
        unit="RATIO",
        usual="steady",
        words=("steady", "tempo", "straight"),
        read=parse_swing,
    ),
    Choice(
        "swing_line",
        "Swing the music too, as the drums do, but never more than 2.5:1; the ratio is told.",
        _SOUNDS,
        _CLICK,
        "playing",
        kind=Kind.FLAG,
    ),
    Choice(
        "uneven",
        "Make the drums a little uneven, as players are: any number, and the same number gives the "
        "same file. The click stays exact.",
        _SOUNDS,
        _CLICK,
        "playing",
        kind=Kind.COUNT,
        unit="NUMBER",
        limits=(0, 999_999_999),
    ),
)

CLICKED: Final = (
    Choice(
        "click",
        'Where it clicks: beats, 4, "2,4", offbeats, groups, divided, "every 3 sixteenths", '
        '"every 2 bars", "2 with 2 without", fading, drums, none. Again for each rung in turn, to '
        "be helped less and less; the last one stays. More than there are rungs follow at the last "
        "tempo.",
        _CLICKS,
        _CLICK,
        "clicks",
        unit="PATTERN",
        usually="what the ladder counts: the beat, unless that is too slow or too fast for a "
        "metronome",
        words=tuple(NAMED),
        read=values.read_patterns,
        several=True,
        first=_CLICK,
        data="practice:spots.files.stages.click.words",
    ),
    Choice(
        "accent",
        "Which clicks are accented: those on beat 1, on the first beat of each group, or none.",
        _CLICKS,
        _CLICK,
        "clicks",
        kind=Kind.WORD,
        unit="WHICH",
        usual=_USUAL.accent.value,
        words=tuple(accent.value for accent in Accent),
        read=Accent,
    ),
    Choice(
        "click_sound",
        "What clicks: claves, side-stick, cowbell, beep, closed-hi-hat and others.",
        _CLICKS,
        _CLICK,
        "clicks",
        unit="SOUND",
        usually=f"{USUAL_CLICKS[0]}; {CLICKS_OVER_SECTION[0]} where the section sounds",
        words=tuple(SOUNDS),
        read=values.read_sound,
    ),
    Choice(
        "accent_sound",
        "What clicks on an accent.",
        _CLICKS,
        _CLICK,
        "clicks",
        unit="SOUND",
        usually=f"{USUAL_CLICKS[1]}; {CLICKS_OVER_SECTION[1]} where the section sounds",
        words=tuple(SOUNDS),
        read=values.read_sound,
    ),
)

CHOICES: Final = (*PLAYED, *CLICKED)
