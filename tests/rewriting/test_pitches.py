"""Pitches, keys and chord symbols against music21's own transposition."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import music21
import pytest

from drills.instruments.table import InstrumentFact, find_fact, instrument_facts
from drills.music.pitch import KeySignature, Pitch, Transposition
from drills.music.score import ChordSymbol
from drills.music.time import START, position
from drills.rewriting.asked import How
from drills.rewriting.keys import way_between
from tests.music_made import bar_of, notes
from tests.rewriting.music import notes_of, part_for, read, rewrite, sounding, with_bars

PITCHED = [fact for fact in instrument_facts() if fact.pitched]
SOURCES = ("Flute", "Clarinet in B flat", "Clarinet in A", "Horn in F", "Alto saxophone", "Cello")
DIATONIC = "G4 A4 B4 C5 D5 E5 F#5 G5"
"""A scale of G major, for a key of one sharp."""


def theirs(pitch: Pitch) -> music21.pitch.Pitch:
    """A pitch of ours in music21."""
    name = f"{pitch.step}{'#' * max(0, int(pitch.alter))}{'-' * max(0, -int(pitch.alter))}"
    return music21.pitch.Pitch(f"{name}{pitch.octave}")


def interval_of(moved: Transposition) -> music21.interval.Interval:
    """From written to sounding, as music21 reads ``<transpose>``: steps and semitones."""
    steps = moved.diatonic
    generic = steps + 1 if steps >= 0 else steps - 1
    return music21.interval.intervalFromGenericAndChromatic(generic, moved.chromatic)


@pytest.mark.parametrize("source", SOURCES)
@pytest.mark.parametrize("target", PITCHED, ids=lambda fact: fact.name)
def test_notes_and_key_as_music21_transposes_them(source: str, target: InstrumentFact) -> None:
    part = part_for(source, "G4 A4 B4 C5", "D5 E5 F#5 G5", key=KeySignature(1, "major"))
    new = rewrite(part, target.name).part
    there = interval_of(find_fact(source).transposition)
    back = interval_of(target.transposition).reverse()
    written = [
        theirs(p).transpose(there).transpose(back) for p in map(Pitch.parse, DIATONIC.split())
    ]
    key = music21.key.KeySignature(1).transpose(there).transpose(back)
    ours = [theirs(note.tones[0]) for note in notes_of(new)]  # type: ignore[arg-type]
    shift = (ours[0].ps - written[0].ps) / 12
    assert shift == int(shift)
    assert [p.ps - 12 * shift for p in ours] == [p.ps for p in written]
    fifths = new.bars[0].key.fifths
    assert (fifths - key.sharps) % 12 == 0
    assert abs(fifths) <= 7
    if fifths == key.sharps:
        assert [p.name for p in ours] == [p.name for p in written]
    else:  # the other enharmonic side, chosen because it has fewer signs
        assert abs(fifths) <= abs(key.sharps)
    assert all(
        note.tones[0].alter == new.bars[0].key.alter_of(note.tones[0].step)  # type: ignore[union-attr]
        for note in notes_of(new)
    )


@pytest.mark.parametrize("fifths", range(-7, 8))
@pytest.mark.parametrize(
    "target", ["Clarinet in B flat", "Alto saxophone", "Horn in F", "Clarinet in A"]
)
def test_every_key_goes_where_music21_takes_it(fifths: int, target: str) -> None:
    tonic = music21.key.KeySignature(fifths).asKey("major")
    part = part_for("Flute", "C5 D5 E5 F5", key=KeySignature(fifths, "major"))
    new = rewrite(part, target).part.bars[0].key
    moved = tonic.transpose(interval_of(find_fact(target).transposition).reverse())
    assert (new.fifths - moved.sharps) % 12 == 0
    assert new.mode == "major"
    assert abs(new.fifths) == min(abs(moved.sharps + 12 * turn) for turn in (-1, 0, 1))


MUSIC21_INSTRUMENTS = {
    "Piccolo": "Piccolo",
    "English horn": "EnglishHorn",
    "Clarinet in B flat": "Clarinet",
    "Soprano saxophone": "SopranoSaxophone",
    "Horn in F": "Horn",
    "Trumpet in B flat": "Trumpet",
    "Double bass": "Contrabass",
    "Bass clarinet": "BassClarinet",
    "Tenor saxophone": "TenorSaxophone",
    "Alto saxophone": "AltoSaxophone",
    "Baritone saxophone": "BaritoneSaxophone",
    "Banjo": "Banjo",
}


@pytest.mark.parametrize(("name", "kind"), MUSIC21_INSTRUMENTS.items())
def test_from_concert_pitch_as_music21_writes_for_its_own_instruments(name: str, kind: str) -> None:
    """``toWrittenPitch`` with the transposition that music21 knows of the instrument."""
    stream = music21.stream.Part([getattr(music21.instrument, kind)()])
    stream.atSoundingPitch = True
    stream.append(music21.key.KeySignature(-1))
    for word in ("F4", "A4", "B-4", "C#5"):
        stream.append(music21.note.Note(word))
    written = stream.toWrittenPitch()
    part = part_for("Oboe", "F4 A4 Bb4 C#5", key=KeySignature(-1))
    new = rewrite(part, name).part
    assert new.bars[0].key.fifths == written[music21.key.KeySignature].first().sharps
    assert [str(note.tones[0])[:-1].replace("b", "-") for note in notes_of(new)] == [
        found.pitch.name for found in written[music21.note.Note]
    ]


@pytest.mark.parametrize("target", PITCHED, ids=lambda fact: fact.name)
def test_the_written_notes_stay(target: InstrumentFact) -> None:
    part = part_for("Horn in F", "G4 A4 B4 C5", "D5 E5 F#5 Gb5", key=KeySignature(1, "major"))
    new = rewrite(part, target.name, How.WRITTEN).part
    assert new.bars[0].key == KeySignature(1, "major")
    names = [str(note.tones[0])[:-1] for note in notes_of(new)]
    assert names == ["G", "A", "B", "C", "D", "E", "F#", "Gb"]
    assert new.bars[0].instrument.transposition == target.transposition


@pytest.mark.parametrize(
    ("source", "target"), [("Piccolo", "Contrabass clarinet"), ("Double bass", "Flute")]
)
def test_the_farthest_ways(source: str, target: str) -> None:
    part = part_for(source, "G4 A4 B4 C5")
    new = rewrite(part, target)
    assert new.outside == ()
    assert {
        (a.midi - b.midi) % 12 for a, b in zip(sounding(part), sounding(new.part), strict=True)
    } == {0}


def test_seven_sharps_for_a_clarinet() -> None:
    """C sharp major at concert pitch would be nine sharps; three flats sound the same."""
    part = part_for("Flute", "C#5 D#5 E#5 F#5", key=KeySignature(7, "major"))
    new = rewrite(part, "clarinet").part
    assert new.bars[0].key.fifths == -3
    assert read(new) == "Eb5 F5 G5 Ab5"


def test_a_transposition_whose_steps_do_not_fit_its_semitones() -> None:
    """Some files give nine semitones and no step; the interval is a major sixth all the same."""
    assert way_between(Transposition(0, -9), Transposition()) == Transposition(-5, -9)
    assert way_between(Transposition(-1, -2), Transposition(-1, -2)) == Transposition()
    assert way_between(Transposition(-5, -9), Transposition(-5, -8)) == Transposition(-1, -1)


def test_a_signature_of_its_own_moves_step_by_step() -> None:
    key = KeySignature(custom=(("B", Fraction(-1)), ("F", Fraction(1))))
    new = rewrite(part_for("Flute", "G4 A4 Bb4 F#5", key=key), "alto saxophone").part
    # By hand, a major sixth up: E gives C sharp, A F sharp, F sharp D sharp, B flat G.
    assert dict(new.bars[0].key.custom) == {"C": 1, "D": 1, "F": 1}
    assert read(new) == "E5 F#5 G5 D#6"


@pytest.mark.parametrize(
    ("root", "bass", "target"),
    [
        *(("F", "", "alto saxophone"), ("Bb", "D", "clarinet"), ("C#", "", "horn")),
        *(("G", "B", "clarinet in A"), ("Eb", "", "flute"), ("F#", "C#", "clarinet")),
    ],
)
def test_chord_symbols_as_music21_transposes_their_figures(
    root: str, bass: str, target: str
) -> None:
    symbol = ChordSymbol(START, root, "major", "", bass)
    bar = bar_of(notes("C5 D5 E5 F5", "quarter"), chords=(symbol,))
    new = rewrite(with_bars("Oboe", [bar]), target).part.bars[0].chords[0]
    back = interval_of(find_fact(target).transposition).reverse()
    for ours, old in ((new.root, root), (new.bass, bass)):
        if not old:
            assert not ours
            continue
        moved = theirs(Pitch.parse(f"{old}4")).transpose(back)
        assert theirs(Pitch.parse(f"{ours}4")).pitchClass == moved.pitchClass
        if abs(moved.alter) < 2 and moved.name not in {"E#", "B#", "C-", "F-"}:
            assert ours.replace("b", "-") == moved.name
    assert new.start == START


def test_a_chord_symbol_is_read_without_double_sharps() -> None:
    symbol = ChordSymbol(START, "F#", "major", "", "A#")
    bar = bar_of(notes("F#4 F#4 F#4 F#4", "quarter"), key=KeySignature(6), chords=(symbol,))
    new = rewrite(with_bars("Oboe", [bar]), "clarinet").part.bars[0]
    assert (new.key.fifths, new.chords[0].root, new.chords[0].bass) == (-4, "Ab", "C")


def test_a_change_of_instrument_in_the_middle() -> None:
    """A player who doubles: each bar comes from what it was written for."""
    first = part_for("Clarinet in B flat", "C5 D5 E5 F5").bars[0]
    second = part_for("Clarinet in A", "C5 D5 E5 F5", key=KeySignature(2)).bars[0]
    part = with_bars("Clarinet in B flat", [first, second])
    part = replace(part, bars=(part.bars[0], replace(part.bars[1], instrument=second.instrument)))
    new = rewrite(part, "Oboe").part
    assert read(new) == "Bb4 C5 D5 Eb5 | A4 B4 C#5 D5"
    assert [bar.key.fifths for bar in new.bars] == [-2, 5]
    assert {bar.instrument.name for bar in new.bars} == {"Oboe"}


def test_a_change_of_key_inside_a_bar() -> None:
    bar = bar_of(notes("C5 D5 E5 F5", "quarter"), key_changes=((position(2), KeySignature(3)),))
    new = rewrite(with_bars("Flute", [bar]), "horn").part.bars[0]
    assert (new.key.fifths, new.key_changes) == (1, ((position(2), KeySignature(4)),))


def test_there_and_back_by_every_instrument_whose_range_holds_it() -> None:
    """The very same MIDI numbers, where no octave had to be moved."""
    part = part_for("Oboe", "C5 D5 Eb5 F#5", "G5 A5 Bb5 C#5", key=KeySignature(-2, "minor"))
    exact = 0
    for target in PITCHED:
        there = rewrite(part, target.name).part
        back = rewrite(there, "oboe").part
        assert [p.midi % 12 for p in sounding(back)] == [p.midi % 12 for p in sounding(part)]
        if not any("octave" in remark for remark in back.remarks):
            exact += 1
            assert read(back) == read(part), target.name
    assert exact > 20
