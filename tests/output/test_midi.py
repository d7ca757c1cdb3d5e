"""The MIDI file, read by a reader written from the specification and by symusic."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
import symusic
from hypothesis import given, settings

from drills.errors import UsageError
from drills.music.notes import Note
from drills.music.pitch import KeySignature, Pitch, Transposition
from drills.music.score import Instrument
from drills.music.tempo import Tempo
from drills.music.time import length
from drills.output.midi import midi_bytes
from drills.sheets.sheet import Sheet
from drills.sound.timeline import timeline
from tests.output import smf
from tests.output.fixtures_time import ALTO, CLARINET, OBOE, bars, drill, group, sheet, sheets

MARKER, TEXT, COPYRIGHT, NAME, TEMPO, TIME, KEY = 0x06, 0x01, 0x02, 0x03, 0x51, 0x58, 0x59


def one(text: str, time: str = "4/4", instrument: Instrument = OBOE) -> Sheet:
    return sheet(group(drill(bars(text, time, instrument), repeated=False)))


def per_minute(number: int) -> Tempo:
    return Tempo(Fraction(number), length(1))


def played(data: bytes) -> list[smf.MidiNote]:
    return smf.notes(smf.read(data).tracks[1])


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("40", 0x40),
        ("7F", 0x7F),
        ("8100", 0x80),
        ("C000", 0x2000),
        ("FF7F", 0x3FFF),
        ("818000", 0x4000),
        ("FFFFFF7F", 0x0FFFFFFF),
    ],
)
def test_the_reader_knows_the_table_of_the_specification(written: str, value: int) -> None:
    """Variable-length quantities as listed in Standard MIDI Files 1.0."""
    data = bytes.fromhex(written)
    assert smf.variable_length(data, 0) == (value, len(data))


@pytest.mark.parametrize(
    ("number", "data"),
    [(60, "0F4240"), (104, "08CD9B"), (120, "07A120"), (144, "065B9B"), (208, "0466CE")],
)
def test_the_tempo_is_microseconds_a_quarter(number: int, data: str) -> None:
    """FF 51 03 with 60000000 / number, rounded (Standard MIDI Files 1.0, Set Tempo)."""
    found = midi_bytes([one("C4/1")], per_minute(number))
    assert b"\xff\x51\x03" + bytes.fromhex(data) in found


def test_a_dotted_beat_is_counted_in_quarters() -> None:
    """Dotted quarter = 80 is quarter = 120."""
    found = midi_bytes([one("C4/2.", "6/8")], Tempo(Fraction(80), length(3, 2)))
    assert smf.read(found).metas(TEMPO) == [(0, bytes.fromhex("07A120"))]


@given(sheets())
@settings(max_examples=40, deadline=None)
def test_every_note_is_where_the_timeline_says(music: Sheet) -> None:
    """To the tick, by both readers."""
    data = midi_bytes([music], repetitions=2)
    read = smf.read(data)
    line = timeline(music, music.tempo, repetitions=2)
    ticks = read.division
    wanted: list[tuple[object, object, object]] = sorted(
        (s.at.quarters * ticks, (s.at + s.length).quarters * ticks, k)
        for s in line.sounds
        for k in s.keys
        if isinstance(k, Fraction)
    )
    heard = [(n.on, n.off, n.key) for n in sorted(played(data), key=_by_place)]
    assert heard == wanted
    score = symusic.Score.from_midi(data)
    found = [n for track in score.tracks if track.name == "Clarinet 2" for n in track.notes]
    assert sorted((n.time, n.time + n.duration, n.pitch) for n in found) == wanted


def _by_place(note: smf.MidiNote) -> tuple[int, int, int]:
    return note.on, note.off, note.key


@pytest.mark.parametrize("number", [59, 63, 104, 144, 207, 208])
def test_seconds_keep_to_the_timeline_over_a_long_sheet(number: int) -> None:
    """Whole microseconds a quarter would drift by more than a tick; the file does not."""
    music = sheet(group(*[drill(bars("C4/8 D4/8 {3:2 E4/8 F4/8 G4/8} r/2"))] * 60))
    data = midi_bytes([music], per_minute(number), repetitions=8)
    read = smf.read(data)
    sounds = timeline(music, per_minute(number), repetitions=8).sounds
    notes = played(data)
    assert len(notes) == len(sounds) == 60 * 8 * 5
    tick = 60 / number / read.division
    off = [abs(read.seconds(n.on) - s.seconds) for n, s in zip(notes, sounds, strict=True)]
    assert max(off) < tick


@pytest.mark.parametrize("number", [63, 112, 120, 176, 207])
def test_rounding_shows_as_a_change_of_tempo_once_in_minutes_if_at_all(number: int) -> None:
    """A tempo is written once, and again only where a tick would be lost."""
    music = sheet(group(*[drill(bars("C4/8 D4/8 E4/8 F4/8 r/2"))] * 60))
    data = midi_bytes([music], per_minute(number), repetitions=8)
    read = smf.read(data)
    found = [(tick, int.from_bytes(told)) for tick, told in read.metas(TEMPO)]
    exact = Fraction(60_000_000, number)
    assert all(abs(tempo - exact) < 1 for _, tempo in found)
    minutes = read.seconds(played(data)[-1].off) / 60
    assert len(found) - 1 <= (0 if exact.denominator == 1 else minutes / 2)


def test_symusic_hears_the_same_seconds() -> None:
    music = one("C4/4 {3:2 D4/8 E4/8 F4/8} 'A4/16' G4/4 r/4")
    data = midi_bytes([music], per_minute(90))
    tracks = symusic.Score.from_midi(data).to("second").tracks
    found = sorted(n.time for track in tracks if track.name == "Clarinet 2" for n in track.notes)
    assert found == pytest.approx([s.seconds for s in timeline(music, per_minute(90)).sounds])


def test_the_file_is_format_one_with_ticks_for_every_value() -> None:
    read = smf.read(midi_bytes([one("C4/1")]))
    assert read.format == 1
    # a dotted 64th, and 64ths in tuplets of 3, 5, 6 (6:4) and 7, in quarters
    for part in ("3/32", "1/24", "1/20", "1/24", "1/28", "1/60"):
        assert (read.division * Fraction(part)).denominator == 1, part


def test_a_length_that_no_division_holds_is_rounded_from_its_own_place() -> None:
    """Eleven in the time of eight inside thirteen in the time of eight: 1/143 of a quarter."""
    eleven = "{11:8 " + " ".join(["C4/64"] * 11) + "}"
    text = "{13:8 " + f"{eleven} " + " ".join(["D4/16"] * 11) + "}" + " r/2"
    music = one(text)
    data = midi_bytes([music], per_minute(60))
    read, line = smf.read(data), timeline(music, per_minute(60))
    assert read.division <= 32767
    for note, sound in zip(played(data), line.sounds, strict=True):
        assert abs(note.on - sound.at.quarters * read.division) <= Fraction(1, 2)


def test_signatures_markers_and_texts() -> None:
    first = drill(bars("C4/2.", "3/4", CLARINET), "4-6", repeated=False)
    second = drill(bars("C4/2.", "6/8", CLARINET), "reversed dotted", repeated=False)
    data = midi_bytes([sheet(group(first), group(second))], mark="drills-made-from:0123")
    read = smf.read(data)
    quarter = read.division
    assert read.metas(MARKER) == [(3 * quarter, b"4-6"), (9 * quarter, b"reversed dotted")]
    # numerator, power of two, MIDI clocks of a beat (24 a quarter), 32nds a quarter
    assert read.metas(TIME) == [(0, bytes([3, 2, 24, 8])), (6 * quarter, bytes([6, 3, 36, 8]))]
    assert [text for _, text in read.metas(NAME)] == [b"Harbour March", b"Clarinet 2", b"Count"]
    assert (0, b"drills-made-from:0123") in read.metas(TEXT)
    assert read.metas(COPYRIGHT) == [(0, b"free to copy")]


@pytest.mark.parametrize(
    ("instrument", "fifths", "mode", "data"),
    [
        (OBOE, 0, "", (0, 0)),
        (CLARINET, 2, "major", (0, 0)),  # written D, sounding C
        (CLARINET, 0, "", (-2, 0)),  # written C, sounding B flat
        (ALTO, 0, "minor", (-3, 1)),  # written A minor, sounding C minor
        (Instrument("horn in F", "brass", Transposition(-4, -7)), 1, "", (0, 0)),
        (Instrument("clarinet in A", "woodwind", Transposition(-2, -3)), 0, "", (3, 0)),
        (CLARINET, -7, "", (3, 0)),  # written C flat, sounding B double flat: told as A
    ],
)
def test_the_key_is_the_one_that_sounds(
    instrument: Instrument, fifths: int, mode: str, data: tuple[int, int]
) -> None:
    """Sharps or flats, then 1 for minor (Standard MIDI Files 1.0, Key Signature)."""
    (bar,) = bars("C4/1", instrument=instrument)
    music = sheet(group(drill((replace(bar, key=KeySignature(fifths, mode)),))))
    found = smf.read(midi_bytes([music])).metas(KEY)
    assert found == [(0, bytes([data[0] % 256, data[1]]))]


def test_instruments_are_programs_and_drums_go_to_channel_ten() -> None:
    """General MIDI 1: clarinet is program 72, the acoustic snare key 38."""
    music = sheet(group(drill(bars("C4/2 snare:C5/2", instrument=CLARINET), repeated=False)))
    track = smf.read(midi_bytes([music])).tracks[1]
    assert [e.data[0] + 1 for e in track if e.status == 0xC0] == [72]
    assert [(n.channel + 1, n.key) for n in smf.notes(track)] == [(1, 58), (10, 38)]


def test_each_part_has_its_own_track_and_channel() -> None:
    parts = [replace(one("C4/1"), part=name) for name in ("Clarinet", "Oboe", "Clarinet")]
    read = smf.read(midi_bytes(parts, per_minute(60)))
    quarter = read.division
    found = [[(n.channel, n.on // quarter) for n in smf.notes(track)] for track in read.tracks[1:3]]
    assert found == [[(0, 4), (0, 20)], [(1, 12)]]


def test_sheets_have_their_own_performing_tempo() -> None:
    parts = [sheet(*one("C4/1").blocks, tempo=per_minute(number)) for number in (60, 120)]
    read = smf.read(midi_bytes(parts))
    assert [data.hex() for _, data in read.metas(TEMPO)] == ["0f4240", "07a120"]
    assert [read.seconds(n.on) for n in smf.notes(read.tracks[1])] == [4.0, 10.0]


def test_the_counted_bar_sounds_on_its_own_track() -> None:
    """General MIDI: 76 and 77 are the high and low wood block."""
    read = smf.read(midi_bytes([one("C4/2.", "3/4")], repetitions=1))
    clicks = smf.notes(read.tracks[2])
    quarter = read.division
    assert [(n.on, n.key, n.channel) for n in clicks] == [
        (0, 76, 9),
        (quarter, 77, 9),
        (2 * quarter, 77, 9),
    ]
    assert len(smf.read(midi_bytes([one("C4/1")], count=False)).tracks) == 2


def test_accents_are_louder_and_a_microtone_is_bent() -> None:
    music = one("C4/4> C4/4 C+4/4 C4/4")
    track = smf.read(midi_bytes([music])).tracks[1]
    first, second, *_ = smf.notes(track)
    assert first.velocity > second.velocity
    bends = [(e.data[1] << 7 | e.data[0]) - 8192 for e in track if e.status == 0xE0]
    # a quarter tone is half a semitone of a range of two: a quarter of 8192, here from above
    assert bends == [-2048, 0]
    assert [n.key for n in smf.notes(track)] == [60, 60, 61, 60]


def test_a_pitch_beyond_midi_is_moved_by_octaves() -> None:
    """C-1 to G9 are notes 0 to 127."""
    music = one("C4/4 D4/4 E4/4 F4/4")
    bar = music.blocks[0].drills[0].bars[0]
    texts = ("C-2", "G9", "G#9", "C11")
    events = tuple(
        replace(e, tones=(Pitch.parse(text),))
        for e, text in zip(bar.voices[0].events, texts, strict=True)
        if isinstance(e, Note)
    )
    bar = replace(bar, voices=(replace(bar.voices[0], events=events),))
    found = played(midi_bytes([sheet(group(drill((bar,), repeated=False)))]))
    assert [n.key for n in found] == [0, 127, 116, 120]


def test_the_same_key_is_let_go_before_it_is_struck_again() -> None:
    track = smf.read(midi_bytes([one("C4/2 C4/2")])).tracks[1]
    statuses = [event.status & 0xF0 for event in track if event.status != 0xFF]
    assert statuses[1:] == [0x90, 0x80, 0x90, 0x80]  # after the program


def test_no_note_is_shorter_than_a_tick() -> None:
    """Two notes of a faulty voice begin together: the first still begins and ends."""
    music = one("C4/2 D4/2")
    bar = music.blocks[0].drills[0].bars[0]
    first, second = bar.voices[0].events
    voice = replace(bar.voices[0], events=(first, replace(second, start=first.start)))
    music = sheet(group(drill((replace(bar, voices=(voice,)),), repeated=False)))
    found = played(midi_bytes([music]))
    assert [(n.key, n.off - n.on) for n in found] == [(60, 1), (62, 2 * 3360)]


def test_the_file_lasts_as_long_as_the_timeline() -> None:
    music = one("C4/4 r/2.")
    read = smf.read(midi_bytes([music], per_minute(60)))
    ends = [track[-1] for track in read.tracks]
    assert {(end.meta, end.tick) for end in ends} == {(0x2F, 8 * read.division)}


def test_the_same_sheets_give_the_same_bytes() -> None:
    music = one("C4/4 {3:2 D4/8 E4/8 F4/8} G4/2")
    assert midi_bytes([music], mark="m") == midi_bytes([music], mark="m")


def test_texts_that_cannot_be_stored_are_mended() -> None:
    music = sheet(*one("C4/1").blocks, title="Håfen \ud800 ☂")
    names = smf.read(midi_bytes([music])).metas(NAME)
    assert names[0][1].decode() == "Håfen ? ☂"


def test_a_tempo_that_does_not_fit_is_refused() -> None:
    with pytest.raises(UsageError, match="cannot hold a tempo of 3"):
        midi_bytes([one("C4/1")], per_minute(3))


def test_no_sheet_is_an_empty_file() -> None:
    assert [len(track) for track in smf.read(midi_bytes([])).tracks] == [1, 2]
