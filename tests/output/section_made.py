"""A section made by hand: four voices in eight chords, on as many wind parts as are wanted.

What each part does in each chord is computed here by counting semitones, apart
from the code of the program.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from drills.harmony.chord import ChordTone, NoteFunction, PitchClass, Role
from drills.music.notes import Note, Voice
from drills.music.pitch import KeySignature, Pitch, Transposition
from drills.music.score import Bar, Clef, Credits, Instrument, Part
from drills.music.tempo import Tempo
from drills.music.time import START, NoteValue, TimeSignature, length
from drills.section.players import Player, Section, Slice, SliceNote
from drills.section.score import ChordName, ScoreKind, SectionScore, Staff
from drills.sheets.drill import UnderNote

TREBLE, BASS = Clef("G", 2), Clef("F", 4)
B_FLAT, E_FLAT, IN_F = Transposition(-1, -2), Transposition(-5, -9), Transposition(-4, -7)
TENOR, BARITONE = Transposition(-8, -14), Transposition(-12, -21)
CONCERT = Transposition()


@dataclass(frozen=True, slots=True)
class Stand:
    """A player of the made section."""

    name: str
    voice: int
    """Of the chords, from the highest, 0 to 3."""
    transposition: Transposition = CONCERT
    clef: Clef = TREBLE
    octaves: int = 0


STANDS = (
    Stand("Piccolo", 0, Transposition(7, 12), octaves=1),
    Stand("Flute 1", 0),
    Stand("Flute 2", 1),
    Stand("Oboe", 1),
    Stand("Bassoon", 3, clef=BASS),
    Stand("Clarinet 1 in B flat", 0, B_FLAT),
    Stand("Clarinet 2 in B flat", 1, B_FLAT),
    Stand("Clarinet 3 in B flat", 2, B_FLAT),
    Stand("Bass clarinet", 3, TENOR),
    Stand("Alto saxophone", 1, E_FLAT),
    Stand("Tenor saxophone", 2, TENOR),
    Stand("Baritone saxophone", 3, BARITONE),
    Stand("Trumpet in B flat", 0, B_FLAT),
    Stand("Horn in F", 2, IN_F),
    Stand("Trombone", 2, clef=BASS),
    Stand("Euphonium", 3, clef=BASS),
    Stand("Tuba", 3, clef=BASS, octaves=-1),
)
"""Seventeen players."""

CHORDS = (
    ("Bb", "", "D5 Bb4 F4 Bb2"),
    ("Gm7", "", "D5 F4 Bb3 G2"),
    ("C7", "notes", "C5 Bb4 E4 C3"),
    ("F7/A", "notes?", "C5 Eb4 F4 A2"),
    ("Ebmaj7", "", "D5 G4 Bb3 Eb3"),
    ("Em7(b5)/Bb", "", "D5 G4 E4 Bb2"),
    ("F7sus4", "as you said", "C5 Eb4 Bb3 F2"),
    ("Bb", "", "D5 Bb4 F4 Bb2"),
)
"""Name, where it was read, and the four voices from the highest down."""

LABELS = {
    0: ("R", "root"), 1: ("b9", "flat ninth"), 2: ("9", "ninth"), 3: ("b3", "minor third"),
    4: ("3", "major third"), 5: ("4", "fourth"), 6: ("b5", "diminished fifth"), 7: ("5", "fifth"),
    8: ("#5", "augmented fifth"), 9: ("6", "sixth"), 10: ("b7", "minor seventh"),
    11: ("7", "major seventh"),
}  # fmt: skip
CENTS = {0: "0", 3: "+16", 4: "-14", 7: "+2", 10: "-31", 11: "-12"}

WHOLE = NoteValue("whole")
COMMON = TimeSignature((4,), 4)


def written(sounding: Pitch, by: Transposition) -> Pitch:
    """What a player of ``by`` reads for a sounding pitch."""
    return Transposition(-by.diatonic, -by.chromatic).sounding(sounding)


def voice_of(stand: Stand, chord: int) -> Pitch:
    """What a stand sounds in a chord."""
    pitch = Pitch.parse(CHORDS[chord][2].split()[stand.voice])
    return Pitch(pitch.step, pitch.alter, pitch.octave + stand.octaves)


def function_of(pitch: Pitch, chord: int) -> tuple[NoteFunction, str]:
    """What a pitch is in a chord, and its tuning."""
    root = PitchClass.parse(
        CHORDS[chord][0][:2] if CHORDS[chord][0][1:2] == "b" else CHORDS[chord][0][0]
    )
    steps = (int(pitch.midi) - root.semitone) % 12
    label, words = LABELS[steps]
    return NoteFunction(Role.CHORD_TONE, ChordTone(1), label, words), CENTS.get(steps, "")


def key_of(by: Transposition) -> KeySignature:
    """B flat major as a player of ``by`` reads it: fifths move as semitones and steps do."""
    return KeySignature(-2 - (7 * by.chromatic - 12 * by.diatonic))


def held(stand: Stand, index: int, pitch: Pitch | None, number: str = "") -> Bar:
    """A bar of one whole note, or of silence."""
    voices: tuple[Voice, ...] = ()
    if pitch is not None:
        note = Note(START, WHOLE.length, (written(pitch, stand.transposition),), WHOLE)
        voices = (Voice("1", (note,)),)
    instrument = Instrument(stand.name, "woodwind", stand.transposition, True)
    return Bar(
        index, number, COMMON.bar_length, COMMON, key_of(stand.transposition), stand.clef,
        instrument, voices,
    )  # fmt: skip


def chord_score(stands: tuple[Stand, ...], count: int = 8) -> SectionScore:
    """One whole note to a chord."""
    staves = []
    for stand in stands:
        pitches = [voice_of(stand, index % len(CHORDS)) for index in range(count)]
        bars = tuple(held(stand, index, pitch) for index, pitch in enumerate(pitches))
        under = []
        for index, pitch in enumerate(pitches):
            found, cents = function_of(pitch, index % len(CHORDS))
            under.append(UnderNote(index, START, found.label, cents))
        staves.append(Staff(stand.name, bars, tuple(under)))
    names = [CHORDS[index % len(CHORDS)] for index in range(count)]
    return SectionScore(
        ScoreKind.CHORDS,
        "The spot in its chords",
        tuple(staves),
        tuple(ChordName(i, START, name, remark) for i, (name, remark, _) in enumerate(names)),
        tuple(str(33 + index // 2) if index % 2 == 0 else "" for index in range(count)),
        tuple(index for index in range(1, count, 2)),
    )


def cell_score(stands: tuple[Stand, ...], count: int = 4, notes: int = 8) -> SectionScore:
    """Cells of eighths, a bar each, the same rhythm in all parts."""
    eighth = NoteValue("eighth")
    staves = []
    for stand in stands:
        bars = []
        for index in range(count):
            pitches = [voice_of(stand, (index + step) % len(CHORDS)) for step in range(notes)]
            events = tuple(
                Note(
                    START + length(step, 2),
                    eighth.length,
                    (written(pitch, stand.transposition),),
                    eighth,
                )
                for step, pitch in enumerate(pitches)
            )
            empty = held(stand, index, None)
            time = TimeSignature((notes,), 8)
            bars.append(
                Bar(
                    index,
                    "",
                    time.bar_length,
                    time,
                    empty.key,
                    empty.clef,
                    empty.instrument,
                    (Voice("1", events),),
                )
            )
        staves.append(Staff(stand.name, tuple(bars)))
    return SectionScore(
        ScoreKind.CELLS,
        "Cells, all together",
        tuple(staves),
        bar_labels=tuple(f"{33 + index}, beats 1 to 2" for index in range(count)),
        ends=tuple(range(count)),
        repeated=True,
    )


def part_of(stand: Stand) -> Part:
    """The stand's part: its chords, a bar each."""
    bars = tuple(
        held(stand, index, voice_of(stand, index), str(33 + index)) for index in range(len(CHORDS))
    )
    return Part(stand.name, bars[0].instrument, bars, Credits("Out Past the Breakwater"))


def section(
    stands: tuple[Stand, ...] = STANDS,
    *scores: SectionScore,
    title: str = "Out Past the Breakwater",
) -> Section:
    """The whole section, every player silent unless a test gives them a sheet."""
    players = tuple(
        Player(part_of(stand), None, None, silence="rests from bar 33 to bar 36", doublings=())
        for stand in stands
    )
    notes = [
        SliceNote(
            number,
            written(pitch, stand.transposition),
            pitch,
            True,
            function_of(pitch, index)[0],
            None,
        )
        for index in range(len(CHORDS))
        for number, stand in enumerate(stands)
        for pitch in [voice_of(stand, index)]
    ]
    return Section(
        Credits(title, rights="Dedicated to the public domain (CC0 1.0)"),
        "Bar 33, the first bar of E, to bar 36",
        "E-E:4",
        Tempo(Fraction(112), length(1), "the score"),
        players,
        (Slice(Fraction(0), Fraction(4), "33", "1", None, tuple(notes)),),
        scores or (chord_score(stands), cell_score(stands)),
        cautions=("Rest often, stop at pain.",),
        remarks=("the numbers of the bars are those of Flute 1",),
    )
