"""What sounds in a stage, voice by voice: each time through at its exact seconds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from drills.harmony.chord import Harmony
from drills.instruments.general_midi import KIN, drum_of
from drills.music.grid import GridBar
from drills.music.pitch import Unpitched
from drills.sheets.clicks.laying import Accent, laid
from drills.sheets.clicks.pattern import Place, first_downbeat
from drills.sheets.clicks.patterns import Counted
from drills.sheets.ladder import shown
from drills.sound.groove import find_groove, line_ratio, strokes, swing_of
from drills.sound.practice.choices import PracticeChoices
from drills.sound.practice.drones import bass_key, chord_keys, joined
from drills.sound.practice.events import Event, Spoken, Strike, Tone
from drills.sound.practice.stage import Span, Stage
from drills.sound.practice.swinging import swung_line
from drills.sound.practice.voices import SOUNDS, section_level
from drills.sound.timeline import Struck

PLAIN_LEVEL: Final = 0.8
ACCENT_LEVEL: Final = 1.0
GRACE_LEVEL: Final = 0.7
DRONE_LEVEL: Final = 0.8

_SOUND_OF: Final = {key: name for name, key in reversed(SOUNDS.items())}
"""The struck sound for a percussion key; of two with one key the first."""
_ANY_DRUM: Final = "snare"


class Voicing:
    """The sounds of one stage; what is the same every time through is worked out once."""

    def __init__(self, stage: Stage, choices: PracticeChoices) -> None:
        self._stage, self._choices = stage, choices
        self._music: dict[tuple[Fraction, bool, bool], tuple[Event, ...]] = {}
        drums = stage.drums and choices.drums_in(stage.pattern)
        self._groove = find_groove(choices.groove) if choices.groove and drums else None
        bars = stage.row()
        self._origin = first_downbeat(bars)
        self._row = stage.again.quarters
        self._downbeats = sum(not bar.offset for bar in bars)

    def counted(self) -> Iterator[Event]:
        """The bell of a new rung and the count-in, in what the ladder counts."""
        stage, choices = self._stage, self._choices
        begin = stage.start
        if choices.climb.spoken and stage.begins_rung:
            text = shown(stage.tempo.number)
            yield Spoken(begin.seconds, begin.quarters, "signal", text)
        elif choices.climb.signal and stage.begins_rung:
            yield Strike(begin.seconds, begin.quarters, "signal", choices.signal_sound)
        pace, bar = stage.clock.paces[0], stage.time.bar_length
        bars = (
            GridBar(bar.quarters * number, bar, stage.time)
            for number in range(choices.climb.count_in)
        )
        accent = Accent.DOWNBEAT if choices.accent is Accent.NONE else choices.accent
        counted = Counted(stage.tempo.beat)
        for click in laid(counted, bars, Place(Fraction(0), 0), accent, stage.rung):
            yield self._click(begin, click.at, click.at * pace, click.accent, click.level)

    def time_through(self, number: int) -> Iterator[Event]:
        """Everything that sounds in one time through and the rest after it, unordered.

        Grace notes before it, and strokes that come early, lie before its start.
        """
        last = number == self._stage.repetitions - 1
        begin = self._stage.time_through(number)
        bars = self._stage.row()
        if "click" in self._choices.voices:
            yield from self._clicks(begin, bars, number)
        if self._groove is not None:
            yield from self._drums(begin, bars, number, last=last)
        rest = self._stage.rest.quarters
        before, after = not rest and number > 0, not rest and not last
        silence = rest if number else self._stage.count.quarters
        for event in self._played(silence, before, after):
            yield _moved(event, begin)

    def _clicks(self, begin: Span, bars: tuple[GridBar, ...], number: int) -> Iterator[Event]:
        stage = self._stage
        row = Place(self._origin - self._row * number, self._downbeats * number)
        for click in laid(stage.pattern, bars, row, self._choices.accent, stage.rung):
            seconds = stage.clock.at(click.at)
            yield self._click(begin, click.at, seconds, click.accent, click.level)

    def _click(
        self, begin: Span, place: Fraction, seconds: Fraction, accent: bool, level: float
    ) -> Strike:
        sound = self._choices.strikes(accent=accent)
        return Strike(begin.seconds + seconds, begin.quarters + place, "click", sound, level)

    def _drums(
        self, begin: Span, bars: tuple[GridBar, ...], number: int, *, last: bool
    ) -> Iterator[Event]:
        if self._groove is None:
            return
        for stroke in strokes(
            self._groove,
            bars,
            beats_per_minute=self._stage.beats_per_minute,
            swing=self._choices.swing,
            variation=self._choices.variation,
            first_bar=self._downbeats * number,
            last=last,
        ):
            seconds = begin.seconds + self._stage.clock.at(stroke.at) + stroke.late
            place = begin.quarters + stroke.at
            yield Strike(seconds, place, "groove", stroke.sound, stroke.level)

    def _played(self, silence: Fraction, before: bool, after: bool) -> tuple[Event, ...]:
        """The music of one time through, from its own start on; terms of Passage.sounds."""
        key = (silence, before, after)
        if key not in self._music:
            found = sorted(self._music_events(*key), key=lambda event: event.at)
            self._music[key] = tuple(found)
        return self._music[key]

    def _music_events(self, silence: Fraction, before: bool, after: bool) -> Iterator[Event]:
        stage, voices = self._stage, self._choices.voices
        if "line" in voices or "octave" in voices:
            line = stage.item.passage.sounds(silence, before=before, after=after)
            for one in self._swung(line):
                if "line" in voices:
                    yield from self._struck(one, "line", 0, before)
                if "octave" in voices:
                    yield from self._struck(one, "octave", 12 * self._choices.octave, before)
        if "section" in voices:
            share = section_level(len(stage.item.others))
            for part in stage.item.others:
                for one in self._swung(part):
                    for event in self._struck(one, "section", 0, before):
                        yield replace(event, level=event.level * share)
        yield from self._drones()

    def _swung(self, line: Sequence[Struck]) -> Sequence[Struck]:
        """The attacks as they are played: swung if the player asked for it."""
        if not self._choices.swing_line:
            return line
        clock, swing = self._stage.clock, self._choices.swing
        if self._groove is not None:
            swing = swing_of(self._groove, swing)
        return swung_line(
            line, self._stage.bars, lambda place: line_ratio(60 / clock.pace(place), swing)
        )

    def _struck(self, one: Struck, voice: str, higher: int, before: bool) -> Iterator[Event]:
        """The tones of an attack, or its strokes where they have no pitch."""
        level = ACCENT_LEVEL if one.accent else GRACE_LEVEL if one.grace else PLAIN_LEVEL
        start, end = one.at.quarters, one.end.quarters
        at = self._stage.seconds(start, again=before)
        until = self._stage.seconds(end, again=before)
        for key in one.keys:
            if isinstance(key, Unpitched):
                if voice != "octave":
                    drum = drum_of(key)
                    sound = _SOUND_OF.get(drum) or _SOUND_OF.get(KIN.get(drum, drum), _ANY_DRUM)
                    yield Strike(at, start, voice, sound, level)
            elif start < end:
                yield Tone(at, until, start, end, voice, key + higher, level)

    def _drones(self) -> Iterator[Event]:
        yield from sorted(
            joined(self._drones_by_chord()), key=lambda tone: (tone.quarters, tone.key)
        )

    def _drones_by_chord(self) -> Iterator[Tone]:
        voices = self._choices.voices
        for harmony in self._stage.item.harmonies:
            bass = bass_key(harmony.chord, self._choices.tuning)
            if bass is None:
                continue
            if "bass" in voices:
                yield self._held(harmony, "bass", bass)
            if "chord" in voices:
                keys = chord_keys(harmony.chord, self._choices.tuning)
                for key in keys if "bass" in voices else (bass, *keys):
                    yield self._held(harmony, "chord", key)

    def _held(self, harmony: Harmony, voice: str, key: Fraction) -> Tone:
        clock, start, end = self._stage.clock, harmony.start, harmony.end
        return Tone(clock.at(start), clock.at(end), start, end, voice, key, DRONE_LEVEL)


def _moved(event: Event, by: Span) -> Event:
    """An event of a time through, where it lies in the file."""
    at, place = event.at + by.seconds, event.quarters + by.quarters
    if isinstance(event, Strike):
        return Strike(at, place, event.voice, event.sound, event.level)
    if isinstance(event, Spoken):
        return replace(event, at=at, quarters=place)
    return Tone(
        at,
        event.end + by.seconds,
        place,
        event.end_quarters + by.quarters,
        event.voice,
        event.key,
        event.level,
    )


def within(event: Event, earliest: Fraction, latest: Fraction) -> Event:
    """The event, brought inside two times (seconds) where it lies outside."""
    at = min(max(event.at, earliest), latest)
    if isinstance(event, Tone) and not at <= event.end <= latest:
        return replace(event, at=at, end=min(max(event.end, at), latest))
    return event if at == event.at else replace(event, at=at)
