"""Practice sound as MIDI, read by a reader written from the specification, symusic, pretty_midi."""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from math import log2, log10

import pretty_midi
import pytest
import symusic

from drills.errors import UsageError
from drills.music.time import COMMON_TIME, TimeSignature
from drills.output.midi import practice_midi_bytes
from drills.sound.practice.events import Cue, Event, Strike, TempoStep, Tone
from drills.sound.practice.voices import SOUNDS, VOICES
from tests.output import smf
from tests.output.fixtures_sound import (
    Made,
    clicks,
    climbing,
    drums,
    ladder,
    line,
    of,
    strike,
    together,
    tone,
)

MARKER, TEXT, COPYRIGHT, NAME, TEMPO, TIME = 0x06, 0x01, 0x02, 0x03, 0x51, 0x58
DRUMS = 9

AWKWARD = (63, 63, 69, 104, 207, 112, 58, Fraction(271, 2), 176, Fraction(200, 3), 63, 144)
"""Tempos of which most are no whole number of microseconds a quarter."""


def onsets(events: Iterable[Event], voice: str) -> list[Fraction]:
    return [event.at for event in events if event.voice == voice]


def notes_of(read: smf.Smf, voice: str) -> list[smf.MidiNote]:
    named = [track for track in read.tracks if track[0].data == VOICES[voice].words.encode()]
    assert len(named) == 1
    return smf.notes(named[0])


@pytest.fixture(scope="module")
def half_an_hour() -> Made:
    return climbing(ladder(64, AWKWARD), together(clicks, drums, line))


@pytest.mark.parametrize("voice", ["click", "groove", "line"])
def test_every_time_is_exact_to_a_tick_over_half_an_hour(half_an_hour: Made, voice: str) -> None:
    assert half_an_hour.duration > 1800
    read = smf.read(practice_midi_bytes(half_an_hour))
    clock = Clock(read)
    wanted = sorted(onsets(half_an_hour.events(), voice))
    found = sorted(clock.seconds(note.on) for note in notes_of(read, voice))
    assert len(found) == len(wanted)
    shortest = Fraction(60, 207) / read.division
    assert max(abs(a - b) for a, b in zip(found, wanted, strict=True)) < shortest


class Clock:
    """Exact seconds of a tick by the file's tempos (Standard MIDI Files 1.0, Set Tempo)."""

    def __init__(self, read: smf.Smf) -> None:
        self.division = read.division
        self.changes = [(0, Fraction(0), 500_000)]
        for tick, data in sorted(read.metas(TEMPO)):
            self.changes.append((tick, self.seconds(tick), int.from_bytes(data)))

    def seconds(self, tick: int) -> Fraction:
        when, at, per = next(c for c in reversed(self.changes) if c[0] <= tick)
        return at + Fraction((tick - when) * per, self.division * 1_000_000)


def test_symusic_and_pretty_midi_hear_the_same_times(half_an_hour: Made) -> None:
    """Two independent readers of the whole half hour; both reckon in floats."""
    data = practice_midi_bytes(half_an_hour)
    ticks = smf.read(data).division
    tick = 60 / 58 / ticks
    score = symusic.Score.from_midi(data).to("second")
    heard = pretty_midi.PrettyMIDI(io.BytesIO(data))
    for voice in ("click", "groove", "line"):
        words = VOICES[voice].words
        wanted = [float(at) for at in sorted(onsets(half_an_hour.events(), voice))]
        for tracks in (
            [sorted(n.time for n in track.notes) for track in score.tracks if track.name == words],
            [sorted(n.start for n in i.notes) for i in heard.instruments if i.name == words],
        ):
            found = sorted(time for track in tracks for time in track)
            assert len(found) == len(wanted)
            assert max(abs(a - b) for a, b in zip(found, wanted, strict=True)) < tick


def test_tones_end_when_they_end() -> None:
    made = climbing(ladder(4, [60, 63]), line)
    read = smf.read(practice_midi_bytes(made))
    clock = Clock(read)
    ends = sorted(event.end for event in made.events() if isinstance(event, Tone))
    found = sorted(clock.seconds(note.off) for note in notes_of(read, "line"))
    tick = Fraction(60, 60) / read.division
    assert max(abs(a - b) for a, b in zip(found, ends, strict=True)) < tick


def test_time_comes_from_the_seconds_where_an_event_is_moved_by_hand() -> None:
    """A drummer who drags: the place says one beat, the seconds say later."""
    late = Strike(Fraction(51, 100), Fraction(1), "groove", "snare")
    read = smf.read(practice_midi_bytes(of(late)))
    assert float(Clock(read).seconds(notes_of(read, "groove")[0].on)) == pytest.approx(
        0.51, abs=2e-4
    )


@pytest.mark.parametrize("sound", SOUNDS)
def test_struck_sounds_are_general_midi_percussion(sound: str) -> None:
    read = smf.read(practice_midi_bytes(of(strike(1, sound))))
    (note,) = notes_of(read, "click")
    assert (note.channel, note.key) == (DRUMS, SOUNDS[sound])
    assert 35 <= note.key <= 81  # the percussion key map of General MIDI Level 1


NAMES = {
    "bass-drum": "Bass Drum 1",
    "side-stick": "Side Stick",
    "snare": "Acoustic Snare",
    "closed-hi-hat": "Closed Hi Hat",
    "pedal-hi-hat": "Pedal Hi Hat",
    "open-hi-hat": "Open Hi Hat",
    "low-tom": "Low Tom",
    "mid-tom": "Low-Mid Tom",
    "high-tom": "High Tom",
    "crash": "Crash Cymbal 1",
    "ride": "Ride Cymbal 1",
    "ride-bell": "Ride Bell",
    "tambourine": "Tambourine",
    "cowbell": "Cowbell",
    "high-bongo": "Hi Bongo",
    "low-bongo": "Low Bongo",
    "maracas": "Maracas",
    "claves": "Claves",
    "high-wood-block": "Hi Wood Block",
    "low-wood-block": "Low Wood Block",
    "triangle": "Open Triangle",
}


@pytest.mark.parametrize(("sound", "name"), NAMES.items())
def test_an_independent_table_has_the_same_numbers(sound: str, name: str) -> None:
    assert pretty_midi.note_number_to_drum_name(SOUNDS[sound]) == name


def test_voices_have_tracks_of_their_own() -> None:
    made = of(
        strike(0, "claves"),
        strike(0, "bell", "signal"),
        strike(0, "snare", "groove"),
        tone(0, 1, 60, "line"),
        tone(0, 1, 48, "bass"),
    )
    read = smf.read(practice_midi_bytes(made))
    names = [track[0].data.decode() for track in read.tracks[1:]]
    assert names == [VOICES[v].words for v in ("click", "signal", "groove", "line", "bass")]


def programs(data: bytes) -> dict[str, int]:
    found = pretty_midi.PrettyMIDI(io.BytesIO(data)).instruments
    return {i.name: i.program for i in found if not i.is_drum}


def test_the_line_is_played_by_the_players_instrument() -> None:
    """Program numbers from 0: 65 alto saxophone, 71 clarinet (General MIDI Level 1)."""
    made = of(tone(0, 1, 60))
    assert programs(practice_midi_bytes(made, part="Alto Saxophone 2")) == {"the line itself": 65}
    assert programs(practice_midi_bytes(made, part="Solo")) == {"the line itself": 71}


def test_the_other_voices_have_programs_of_their_own() -> None:
    """From 0: 60 French horn, 20 reed organ (General MIDI Level 1); by pretty_midi's names."""
    voices = ("section", "bass", "chord")
    made = of(*[tone(0, 1, 48 + n, voice) for n, voice in enumerate(voices)])
    found = programs(practice_midi_bytes(made))
    named = {name: pretty_midi.program_to_instrument_name(n) for name, n in found.items()}
    assert [named[VOICES[voice].words] for voice in voices] == [
        "French Horn",
        "Reed Organ",
        "Reed Organ",
    ]


def bent(data: bytes) -> list[float]:
    """Every note as a fraction of a key, by pretty_midi's reading of bends."""
    found = []
    for instrument in pretty_midi.PrettyMIDI(io.BytesIO(data)).instruments:
        for note in instrument.notes:
            bends = [b.pitch for b in instrument.pitch_bends if b.time <= note.start]
            found.append(note.pitch + (bends[-1] if bends else 0) / 4096)
    return sorted(found)


def test_a_fraction_of_a_key_is_a_bend() -> None:
    keys = [Fraction(60), Fraction(6386, 100), Fraction(6702, 100)]
    made = of(*[tone(place, place + 1, key) for place, key in enumerate(keys)], duration=4)
    assert bent(practice_midi_bytes(made)) == pytest.approx([float(k) for k in keys], abs=2e-4)


def test_a_pure_chord_has_a_channel_for_every_bend() -> None:
    """The pure third is 13.7 cents low, the pure fifth 2.0 cents high: 5:4 and 3:2."""
    keys = [Fraction(48), Fraction(51_863, 1000), Fraction(55_020, 1000)]
    made = of(*[tone(0, 2, key, "chord") for key in keys])
    data = practice_midi_bytes(made)
    assert len({note.channel for note in notes_of(smf.read(data), "chord")}) == 3
    assert bent(data) == pytest.approx([float(key) for key in keys], abs=2e-4)


@pytest.mark.parametrize("a4", [415, 440, 442, 466])
def test_another_a(a4: int) -> None:
    """12 log2(a4 / 440) semitones, to the step of a bend."""
    found = bent(practice_midi_bytes(replace(of(tone(0, 1, 69)), a4=Fraction(a4))))
    assert found == pytest.approx([69 + 12 * log2(a4 / 440)], abs=1 / 8192)


def test_a_unison_of_two_players_is_two_notes() -> None:
    made = of(tone(0, 2, 60, "section"), tone(Fraction(1, 2), 1, 60, "section"))
    found = notes_of(smf.read(practice_midi_bytes(made)), "section")
    assert len({note.channel for note in found}) == 2


def test_loudness_goes_with_the_square_of_velocity() -> None:
    made = of(strike(0, "claves"), strike(1, "claves", level=0.25))
    loud, soft = notes_of(smf.read(practice_midi_bytes(made)), "click")
    assert (loud.velocity / soft.velocity) ** 2 == pytest.approx(4, rel=0.03)
    # room for two decibels more: 40 log10(127 / 112) = 2.2 (our own choice)
    assert 40 * log10(127 / loud.velocity) == pytest.approx(2.2, abs=0.1)
    (louder,) = notes_of(
        smf.read(practice_midi_bytes(of(strike(0, "claves")), gains={"click": 40})), "click"
    )
    assert louder.velocity == 127


def test_cues_are_markers_and_titles_are_told() -> None:
    made = Made(
        Fraction(4),
        lambda: iter((strike(0, "claves"),)),
        cues=(Cue(Fraction(0), Fraction(0), "slow"), Cue(Fraction(1), Fraction(2), "schneller, ♩")),
    )
    read = smf.read(
        practice_midi_bytes(made, title="Lee Shore", part="Flute", rights="CC0", mark="mark:1")
    )
    assert read.format == 1
    assert [(t * 2 // read.division, d.decode()) for t, d in read.metas(MARKER)] == [
        (0, "slow"),
        (4, "schneller, ♩"),
    ]
    assert read.metas(NAME)[0] == (0, b"Lee Shore")
    assert read.metas(COPYRIGHT) == [(0, b"CC0")]
    assert [data for _, data in read.metas(TEXT)] == [b"mark:1", b"Flute"]


def test_time_signatures_stand_where_they_begin() -> None:
    half = Fraction(1, 2)
    steps = (
        TempoStep(Fraction(0), Fraction(0), half, COMMON_TIME),
        TempoStep(Fraction(2), Fraction(4), Fraction(1, 3), COMMON_TIME),
        TempoStep(Fraction(4), Fraction(10), half, TimeSignature((6,), 8)),
    )
    made = Made(Fraction(6), lambda: iter(()), tempos=steps)
    read = smf.read(practice_midi_bytes(made))
    found = [(tick / read.division, data[0], 2 ** data[1]) for tick, data in read.metas(TIME)]
    assert found == [(0, 4, 4), (10, 6, 8)]


def test_a_steady_tempo_is_written_once() -> None:
    read = smf.read(practice_midi_bytes(climbing(ladder(400, [120]), clicks)))
    assert [int.from_bytes(data) for _, data in read.metas(TEMPO)] == [500_000]


def test_rounding_shows_as_a_change_of_a_microsecond_now_and_then() -> None:
    made = climbing(ladder(400, [63]), clicks)
    found = [int.from_bytes(d) for _, d in smf.read(practice_midi_bytes(made)).metas(TEMPO)]
    assert set(found) <= {952_380, 952_381}
    assert len(found) < 20


def test_a_tempo_that_no_midi_file_holds() -> None:
    slow = climbing(ladder(1, [3]), clicks)
    with pytest.raises(UsageError, match="cannot hold 3 quarters a minute"):
        practice_midi_bytes(slow)


def test_steps_must_follow_from_each_other() -> None:
    one = TempoStep(Fraction(0), Fraction(0), Fraction(1), COMMON_TIME)
    gap = TempoStep(Fraction(5), Fraction(4), Fraction(1), COMMON_TIME)
    with pytest.raises(ValueError, match="does not follow"):
        practice_midi_bytes(Made(Fraction(9), lambda: iter(()), tempos=(one, gap)))
    with pytest.raises(ValueError, match="start is missing"):
        practice_midi_bytes(Made(Fraction(9), lambda: iter(()), tempos=()))


def test_the_same_practice_gives_the_same_bytes(half_an_hour: Made) -> None:
    assert practice_midi_bytes(half_an_hour) == practice_midi_bytes(half_an_hour)
