"""The grooves against what the trade says of them.

Sources.  The figures of bossa and son: G. T. Toussaint, The Geometry of Musical
Rhythm (2013), on sixteen pulses.  The names of General MIDI percussion: the
table of the package pretty_midi.  What is played where (CUSTOM): common
practice of drum set and military band, from memory.
"""

from __future__ import annotations

from fractions import Fraction

import pretty_midi
import pytest

from drills.music.time import TimeSignature
from drills.sound.groove import GROOVES, Groove, strokes
from drills.sound.practice.voices import SOUNDS
from tests.sound.groove.rows import counted, row, steady

EACH = [(groove, time) for groove in GROOVES.values() for time in groove.times]


def laid(key: str, time: str, bar: int = 0) -> dict[str, list[Fraction]]:
    """Places in beats of one bar, drum by drum, straight."""
    groove = GROOVES[key]
    written = groove.pattern(TimeSignature.parse(time))
    assert written is not None
    beat = TimeSignature.parse(time).beat.quarters
    found: dict[str, list[Fraction]] = {}
    for at, sound, _ in written.grid.strokes(bar):
        found.setdefault(sound, []).append(at / beat)
    return found


CUSTOM = [
    ("straight", "4/4", "snare", "2 4", "the backbeat"),
    ("straight", "2/4", "snare", "2", "the backbeat"),
    ("straight", "4/4", "closed-hi-hat", "1 1& 2 2& 3 3& 4 4&", "eighths throughout"),
    ("straight", "4/4", "bass-drum", "1 3", "the bass drum between the backbeats"),
    ("straight", "5/4", "bass-drum", "1 4", "3 + 2: the groups begin on 1 and 4"),
    ("straight", "2+3/4", "bass-drum", "1 3", "2 + 3: the groups begin on 1 and 3"),
    ("straight", "7/8", "bass-drum", "1 5", "2 + 2 + 3: the last group begins on 5"),
    ("swing", "4/4", "ride", "1 2 2& 3 4 4&", "ding, ding-a ding, ding-a"),
    ("swing", "2/2", "ride", "1 1& 1a 2 2& 2a", "the same, counted in halves"),
    ("swing", "2/4", "ride", "1 2 2&", "half of it"),
    ("swing", "4/4", "pedal-hi-hat", "2 4", "the foot closes on two and four"),
    ("swing", "4/4", "bass-drum", "1 2 3 4", "feathered on four"),
    ("shuffle", "4/4", "snare", "2 4", "the backbeat"),
    ("shuffle", "4/4", "closed-hi-hat", "1 1& 2 2& 3 3& 4 4&", "long-short on every beat"),
    ("two-beat", "4/4", "bass-drum", "1 3", "two beats in a bar of four"),
    ("two-beat", "4/4", "closed-hi-hat", "2 4", "the other two"),
    ("bossa", "4/4", "bass-drum", "1 2& 3 4&", "dotted quarter and eighth"),
    ("bossa", "4/4", "pedal-hi-hat", "2 4", "the foot closes on two and four"),
    ("samba", "2/4", "bass-drum", "1 1a 2 2a", "dotted eighth and sixteenth"),
    ("samba", "2/4", "pedal-hi-hat", "1& 2&", "the foot closes on the offbeats"),
    ("samba", "2/4", "maracas", "1 1e 1& 1a 2 2e 2& 2a", "sixteenths throughout"),
    ("son", "4/4", "bass-drum", "2& 4", "the bass anticipates and leaves out one"),
    ("son", "4/4", "low-bongo", "4", "the low drum answers on four"),
    ("ballad", "4/4", "side-stick", "2 4", "the backbeat on the rim"),
    ("slow-12-8", "12/8", "snare", "2 4", "the backbeat of four dotted quarters"),
    ("slow-12-8", "6/8", "snare", "2", "the backbeat of two"),
    ("waltz", "3/4", "bass-drum", "1", "low on one"),
    ("waltz", "3/4", "snare", "2 3", "the after-beats"),
    ("waltz", "3/8", "snare", "2 3", "the after-beats"),
    ("jazz-waltz", "3/4", "ride", "1 2 2& 3", "ding, ding-a ding"),
    ("jazz-waltz", "3/4", "pedal-hi-hat", "2", "the foot closes on two"),
    ("march-2-4", "2/4", "bass-drum", "1 2", "the feet"),
    ("march-2-4", "2/4", "snare", "1& 2&", "the after-beats"),
    ("march-cut", "2/2", "bass-drum", "1 2", "the feet, on the halves"),
    ("march-6-8", "6/8", "bass-drum", "1 2", "the feet, on the dotted quarters"),
    ("swing-5-4", "5/4", "ride", "1 2 2& 3 4 5 5&", "a jazz waltz and two"),
    ("swing-5-4", "5/4", "bass-drum", "1 4", "3 + 2"),
    ("swing-5-4", "2+3/4", "bass-drum", "1 3", "2 + 3"),
]


@pytest.mark.parametrize(("key", "time", "sound", "places", "why"), CUSTOM)
def test_common_practice(key: str, time: str, sound: str, places: str, why: str) -> None:
    assert laid(key, time)[sound] == counted(places), why


def test_every_groove_has_a_custom() -> None:
    assert {key for key, *_ in CUSTOM} == set(GROOVES)


def test_the_snare_of_a_march_in_six_comes_after_the_beat() -> None:
    assert laid("march-6-8", "6/8")["snare"] == [Fraction(2, 3), Fraction(5, 3)]


def test_the_second_beat_of_a_samba_is_the_heavy_one() -> None:
    pattern = GROOVES["samba"].patterns[0]
    loud = {at: level for at, sound, level in pattern.grid.strokes(0) if sound == "bass-drum"}
    assert max(loud, key=lambda at: loud[at]) == 1


TOUSSAINT = [
    ("bossa", "side-stick", "x..x..x...x..x.."),
    ("son", "claves", "x..x..x...x.x..."),
]


@pytest.mark.parametrize(("key", "sound", "figure"), TOUSSAINT)
@pytest.mark.parametrize(("time", "pulse"), [("4/4", "1/2"), ("2/2", "1/2"), ("2/4", "1/4")])
def test_the_clave_is_the_published_figure(
    key: str, sound: str, figure: str, time: str, pulse: str
) -> None:
    played = strokes(GROOVES[key], row(time, time), beats_per_minute=steady(60))
    struck = {one.at / Fraction(pulse) for one in played if one.sound == sound}
    assert "".join("x" if step in struck else "." for step in range(16)) == figure
    assert len(struck) == figure.count("x")


DOWNBEAT = {"son": "high-bongo"}
"""Grooves whose bass drum leaves out the downbeat, and what marks it."""


@pytest.mark.parametrize(
    ("groove", "time"), EACH, ids=lambda value: str(getattr(value, "key", value))
)
class TestEachPattern:
    def test_it_fills_its_bar(self, groove: Groove, time: TimeSignature) -> None:
        """Something is struck on every beat of every bar, turns too."""
        bars = row(*[str(time)] * groove.phrase * 2)
        struck = {one.at for one in strokes(groove, bars, beats_per_minute=steady(200))}
        assert {place for bar in bars for _, place in bar.beats()} <= struck
        assert bars[-1].end == 2 * groove.phrase * Fraction(4 * sum(time.counts), time.unit)

    def test_the_downbeat_is_marked(self, groove: Groove, time: TimeSignature) -> None:
        bars = row(*[str(time)] * groove.phrase)
        sound = DOWNBEAT.get(groove.key, "bass-drum")
        played = strokes(groove, bars, beats_per_minute=steady(100))
        assert {bar.start for bar in bars} <= {one.at for one in played if one.sound == sound}

    def test_the_turn_is_another_bar_than_the_pattern(
        self, groove: Groove, time: TimeSignature
    ) -> None:
        pattern = groove.pattern(time)
        assert pattern is not None
        turn = set(pattern.turn.strokes(0))
        assert all(turn != set(pattern.grid.strokes(bar)) for bar in range(len(pattern.grid.bars)))
        last_beat = time.bar_length - time.beat
        assert any(at >= last_beat.quarters for at, _, _ in turn), "it leads into the next bar"


def test_only_jazz_and_shuffle_swing() -> None:
    """Common practice: latin, rock and march patterns are played straight."""
    swinging = {key for key, groove in GROOVES.items() if groove.swing.ratio != 1}
    assert swinging == {"swing", "shuffle", "two-beat", "jazz-waltz", "swing-5-4"}


GENERAL_MIDI = {
    "bass-drum": "Bass Drum 1",
    "side-stick": "Side Stick",
    "snare": "Acoustic Snare",
    "closed-hi-hat": "Closed Hi Hat",
    "pedal-hi-hat": "Pedal Hi Hat",
    "low-tom": "Low Tom",
    "high-tom": "High Tom",
    "ride": "Ride Cymbal 1",
    "maracas": "Maracas",
    "claves": "Claves",
    "high-bongo": "Hi Bongo",
    "low-bongo": "Low Bongo",
}


def test_every_sound_is_a_general_midi_drum() -> None:
    played = {
        row_.sound
        for groove in GROOVES.values()
        for pattern in groove.patterns
        for grid in (pattern.grid, pattern.turn)
        for bar in grid.bars
        for row_ in bar
    }
    assert played == set(GENERAL_MIDI)
    for sound, name in GENERAL_MIDI.items():
        assert pretty_midi.note_number_to_drum_name(SOUNDS[sound]) == name
