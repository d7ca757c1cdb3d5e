"""Chords from notes: textures, spellings and what must not change a reading.

What each example is called is general theory, common practice of harmony books and
of chord symbols; the examples are our own.  How often readings agree with those of
people is measured in test_chorales.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.harmony.chord import Harmony, Heard, PitchClass, Source
from drills.harmony.from_notes import read_harmonies
from drills.harmony.kinds import KINDS
from drills.harmony.templates import ADDED, TEMPLATES
from drills.harmony.weights import CALIBRATION, WEIGHTS
from drills.music.grid import GridBar
from drills.music.pitch import Pitch, Transposition
from tests.harmony.corpus import Piece, analysed_chorale
from tests.harmony.texts import bars, eighths, line, sixteenths


def read(*lines: list[Heard], row: Sequence[GridBar] = ()) -> str:
    """The harmonies of lines in parts of their own: ``0 C, 4 G7/B``."""
    notes = [replace(note, part=index) for index, one in enumerate(lines) for note in one]
    return told(read_harmonies(notes, row))


def told(harmonies: Iterable[Harmony]) -> str:
    return ", ".join(f"{one.start} {one.chord}" for one in harmonies)


CHORDS = {
    "C4+E4+G4": "C",
    "C4+Eb4+G4": "Cm",
    "B3+D4+F4": "Bdim",
    "C4+E4+G#4": "C+",
    "G3+B3+D4+F4": "G7",
    "G3+B3+F4": "G7",
    "D4+F4+A4+C5": "Dm7",
    "C4+E4+G4+B4": "Cmaj7",
    "B3+D4+F4+A4": "Bm7(b5)",
    "B3+D4+F4+Ab4": "Bdim7",
    "C4+Eb4+G4+B4": "Cm(maj7)",
    "C4+E4+G#4+Bb4": "C+7",
    "C3+E4+G4+A4": "C6",
    "C3+Eb4+G4+A4": "Cm6",
    "A3+C4+E4+G4": "Am7",
    "C4+F4+G4": "Csus4",
    "C3+F4+G4+Bb4": "C7sus4",
    "C4+D4+G4": "Csus2",
    "F3+C4+G4": "Fsus2",
    "C3+G3": "C5",
    "C3+E3": "C",
    "C3+E4+G4+Bb4+D5": "C9",
    "C3+G3+E4+B4+D5": "Cmaj9",
    "D3+F3+A3+C4+E4": "Dm9",
    "G2+F3+B3+E4": "G13",
    "E3+G3+C4": "C/E",
    "G3+C4+E4": "C/G",
    "F3+G3+B3+D4": "G7/F",
    "C3+B3+D4+F4+G4": "G7/C",
    "C4": "N.C.",
    "C3+C4+C5": "C ped.",
    "E3+Bb3+D4+A4": "C13(no1)/E",
    "Bb3+E4+A4": "C13(no1)/Bb",
    "F#3+C4+E4+B4": "D13(no1)/F#",
    "C4+D4": "N.C.",
}
"""What sounds for a bar -> its name."""


@pytest.mark.parametrize("notes", CHORDS)
def test_chords(notes: str) -> None:
    assert read(line(f"{notes}:4"), row=bars(1)) == f"0 {CHORDS[notes]}"


SPELLED = {
    # Diminished sevenths and augmented triads are named after their spelling.
    "C#4+E4+G4+Bb4": "C#dim7",
    "E4+G4+Bb4+Db5": "Edim7",
    "G3+Bb3+Db4+Fb4": "Gdim7",
    "A#3+C#4+E4+G4": "A#dim7",
    "E3+G3+Bb3+C#4": "C#dim7/E",
    "C4+E4+G#4": "C+",
    "Ab3+C4+E4": "Ab+",
    "E3+Ab3+C4": "Ab+/E",
    "B3+D4+F4+G#4": "G#dim7/B",
    # Two roots with as many tones spelled above them, so the one nearer above the bass counts.
    "C4+D#4+Gb4+A4": "D#dim7/C",
    "D#4+Gb4+A4+C5": "D#dim7",
    "A3+C4+D#4+Gb4": "Adim7",
    "F#4+A#4+C#5": "F#",
    "Gb4+Bb4+Db5": "Gb",
    "D#4+F#4+A#4": "D#m",
    "Cb4+Eb4+Gb4": "Cb",
}


@pytest.mark.parametrize("notes", SPELLED)
def test_spelling_names_the_root(notes: str) -> None:
    assert read(line(f"{notes}:4"), row=bars(1)) == f"0 {SPELLED[notes]}"


def test_the_commoner_spelling_names_the_root() -> None:
    """Parts that read in other keys may spell one sound differently."""
    two, one = line("F#4+A#4:4"), line("Gb3:4")
    assert read(two, line("F#3+C#4:4"), one, row=bars(1)) == "0 F#"


TEXTURES = {
    "arpeggios of one player": (
        [eighths("C4 E4 G4 C5 E5 C5 G4 E4 A3 C4 E4 A4 C5 A4 E4 C4 G3 B3 D4 F4 G4 F4 D4 B3")],
        "0 C, 4 Am, 8 G7",
    ),
    "broken chords under a tune": (
        [
            line("C5:2 E5 G5 B4:3/2 C5:1/4 D5:1/4 C5:2"),
            eighths("C3 G3 E3 G3 C3 G3 E3 G3 B2 G3 D3 G3 C3 G3 E3 G3"),
        ],
        "0 C, 4 G/B, 6 C",
    ),
    "bass on the beats, chords between them": (
        [
            eighths("C5 D5 E5 F5")
            + line("G5:2", 0, 2)
            + eighths("F5 E5 D5 C5", 0, 4)
            + line("B4:2 C5:4", 0, 6),
            line("r E4+G4 r E4+G4 r B3+F4 r B3+F4 r E4+G4 r E4+G4"),
            line("C3 r G2 r G2 r D3 r C3 r G2 r"),
        ],
        "0 C, 4 G7, 8 C",
    ),
    "sixteenths in a scale over held chords": (
        [
            sixteenths("C5 D5 E5 F5 G5 A5 B5 C6 B5 A5 G5 F5 E5 D5 C5 B4")
            + sixteenths("C5 A4 F4 G4 A4 Bb4 C5 D5 E5 F5 E5 D5 C5 A4 C5 F4", start=4),
            line("C3+E3+G3:4 F3+A3+C4:4"),
        ],
        "0 C, 4 F",
    ),
    "suspension in the tune": (
        [
            line("C5:2 C5 B4 C5:4"),
            line("G4:2 D4:2 E4:4"),
            line("E4:2 G3:2 G3:4"),
            line("C3:2 G2:2 C3:4"),
        ],
        "0 C, 2 G, 4 C",
    ),
    "suspension of half a bar": ([line("C5:2 B4:2"), line("G2+D4:4")], "0 G"),
    "suspended chord that stays": ([line("G2+C4+D4:4 G2+C4+D4:4")], "0 Gsus4"),
    "passing seventh": (
        [line("D5:2 C5:2"), line("G4:3/2 F4:1/2 E4:2"), line("B3:2 G3:2"), line("G2:2 C3:2")],
        "0 G, 2 C",
    ),
    "second with a fourth to fall by": (
        [line("F3+A3+C4+D4:2 G3+B3+D4+F4:2 C3+E3+G3+C4:4")],
        "0 Dm7/F, 2 G7, 4 C",
    ),
    "sixth at the end": ([line("G2+B3+D4+F4:4 C3+E4+G4+A4:4")], "0 G7, 4 C6"),
    "bass that moves to the third before the next chord": (
        [
            line("E4:3 G4 A4:4"),
            line("G4:3 C5 C5:4"),
            line("C3:3 E3 F3:4"),
        ],
        "0 C, 3 C/E, 4 F",
    ),
    "seventh in the bass": (
        [line("B3+D4+G4:4 C4+E4+G4:4"), line("G2:2 F2 F2 E2:4")],
        "0 G, 2 G7/F, 4 C/E",
    ),
    "bass that alternates": (
        [line("r E4+G4 r E4+G4 r E4+G4 r E4+G4"), line("C3 r G2 r C3 r G2 r")],
        "0 C",
    ),
    "ninth that lasts": ([line("C3+E4+Bb4+D5:4 F3+A4+C5:4")], "0 C9, 4 F"),
    "fifth whose third is late": ([line("C3:4"), line("G4:4"), line("r E5:3")], "0 C"),
}
"""Parts, and what is read in bars of 4/4."""


@pytest.mark.parametrize("name", TEXTURES)
def test_textures(name: str) -> None:
    parts, wanted = TEXTURES[name]
    assert read(*parts, row=bars(3)[: 1 + (_end(parts) - 1) // 4]) == wanted


def _end(parts: Iterable[list[Heard]]) -> int:
    return int(max(note.end for one in parts for note in one))


def test_compound_time() -> None:
    upper = eighths("E4 G4 C5 A4 C5 F5 B4 D5 G5 C5 G4 E4")
    lower = line("C3:3/2 F3:3/2 G3:3/2 C3:3/2")
    assert read(upper, lower, row=bars(2, "6/8")) == "0 C, 3/2 F, 3 G, 9/2 C"


def test_a_pickup_belongs_to_its_beat() -> None:
    notes = line("G4+B3+D4+F3 C4+E4+G4:4")
    assert read(notes, row=bars(1, pickup=1)) == "0 G7/F, 1 C"


def test_a_chord_goes_on_through_a_rest_of_a_bar_at_most() -> None:
    assert read(line("C4+E4+G4 r:3 F3+A3+C4 r F3+A3+C4 r"), row=bars(2)) == "0 C, 4 F"
    assert read(line("C4+E4+G4 r:3 C4+E4+G4 r C4+E4+G4 r"), row=bars(2)) == "0 C"
    assert read(line("C4+E4+G4 r:5 F3+A3+C4:2"), row=bars(2)) == "0 C, 1 N.C., 6 F"


def test_a_chord_whose_root_nobody_plays_has_a_question_mark() -> None:
    (rootless,) = read_harmonies(line("E3+Bb3+D4+A4:4"), bars(1))
    assert Fraction(1, 2) <= rootless.chord.certainty < Fraction(3, 4)


def test_octaves_in_the_bass_are_a_pedal_and_no_part_of_a_later_chord() -> None:
    """Four bars of C in octaves, then D flat: not one chord on D flat over all of them."""
    high, low = line("C4:16 F4+Ab4:4"), line("C3:16 Db3:4")
    assert read(high, low, row=bars(5)) == "0 C ped., 16 Db"


def test_what_moves_in_all_parts_at_once_is_a_chord() -> None:
    """Off the beat, by step on both sides, but nothing is held: E G Bb is no ornament of F A C."""
    upper, lower = line("C5 Bb4:1/2 C5:1/2 C5:2"), line("A4 G4:1/2 A4:1/2 A4:2")
    bass = line("F3 E3:1/2 F3:1/2 F3:2")
    assert "Edim" in read(upper, lower, bass, row=bars(1))
    held = line("F3:4")
    assert "E" not in read(upper, lower, held, row=bars(1))


def test_nothing_is_no_chord() -> None:
    assert read([], row=bars(2)) == "0 N.C."
    assert read_harmonies([], ()) == ()


def test_bars_may_be_missing() -> None:
    assert read(line("C4+E4+G4:4 F4+A4+C5:4")) == "0 C, 4 F"


def test_kind_and_tones_are_those_of_the_table() -> None:
    for notes, name in CHORDS.items():
        chord = read_harmonies(line(f"{notes}:4"), bars(1))[0].chord
        assert chord.source is Source.NOTES
        if name == "C7sus4" or "no1" in name:
            continue  # a kind with a degree more, or less
        assert set(chord.tones) <= set(KINDS[chord.kind].tones), name
        assert chord.kind == "dominant-13th" or chord.tones == KINDS[chord.kind].tones


def test_templates_are_the_kinds_of_musicxml() -> None:
    """Every template has the tones of its kind (W3C MusicXML 4.0, kind-value) or part of them."""
    for kind, semitones in TEMPLATES.items():
        if kind in ("suspended-seventh", "rootless"):
            continue  # MusicXML writes them with a degree
        tones = {tone.semitones % 12 for tone in KINDS[kind].tones}
        assert set(semitones) == tones or (kind == "dominant-13th" and set(semitones) < tones)
    assert set(WEIGHTS.kinds) <= set(TEMPLATES)
    assert set(ADDED) <= set(TEMPLATES)
    assert set(ADDED.values()) <= set(WEIGHTS.per_beat)


def certainty(notes: str) -> Fraction:
    return read_harmonies(line(notes), bars(1))[0].chord.certainty


def test_certainty_tells_plain_chords_from_poor_ones() -> None:
    assert certainty("C4+E4+G4:4") == Fraction(CALIBRATION[-1][1], 100)
    assert certainty("C4+E4:4") < certainty("C4+E4+G4:4")  # two of its three tones
    assert certainty("C4 E4 G4:2") < Fraction(3, 4)  # none together
    assert certainty("C4+E4+G4+D5+F5:4") < certainty("C4+E4+G4:4")  # foreign tones
    assert certainty("B3+Eb4+F#4+A4:4") > certainty("B3+D#4+F#4+A4+C5:4")


def test_certainty_rises_with_what_speaks_for_a_chord() -> None:
    for (speaks, right), (more, oftener) in pairwise(CALIBRATION):
        assert speaks < more
        assert right <= oftener


def test_unclear_spelling_lowers_the_certainty() -> None:
    clear = read_harmonies(line("D#3+F#4+A4+C5:4"), bars(1))[0].chord
    unclear = read_harmonies(line("D#3+Gb4+A4+C5:4"), bars(1))[0].chord
    assert unclear.kind == clear.kind == "diminished-seventh"
    assert unclear.certainty < Fraction(3, 4) < clear.certainty


def test_upper_voices_alone_are_less_certain() -> None:
    assert certainty("B4+D5+F5:4") < certainty("B3+D5+F5:4")
    assert certainty("C5+E5+G5:4") < certainty("C4+E5+G5:4")
    assert certainty("Db4+F4+Ab4:4") < certainty("C4+F4+Ab4:4")  # a semitone over middle C


PARTS_OF_SEVENTHS = {
    # Three tones spelled as part of a diminished seventh lead where its root leads.
    "C3+Eb4+F#4+C5": "F#dim7/C",
    "F3+Ab3+B3": "Bdim7/F",
    "D3+F3+G#3": "G#dim7/D",
    "C3+Eb4+Gb4+C5": "Cdim",
    "B3+D4+F4": "Bdim",
}


@pytest.mark.parametrize("notes", PARTS_OF_SEVENTHS)
def test_a_diminished_triad_spelled_as_part_of_a_seventh_is_that_seventh(notes: str) -> None:
    assert read(line(f"{notes}:4"), row=bars(1)) == f"0 {PARTS_OF_SEVENTHS[notes]}"


AUGMENTED_SIXTHS = {
    # Textbook cases in C (common practice): over the lowered sixth of the key, to its fifth.
    "Ab2+C4+F#4:4 G2+B3+G4:4": "0 Ab It.6, 4 G",
    "Ab2+C4+D4+F#4:4 G2+B3+D4+G4:4": "0 Ab Fr.6, 4 G",
    "Ab2+C4+Eb4+F#4:4 G2+C4+Eb4+G4:4": "0 Ab Ger.6, 4 Cm/G",
    "C3+Eb4+F#4+Ab4:4 B2+D4+G4:4": "0 Ab Ger.6/C, 4 G/B",
    # As the seventh of a dominant is spelled, or resolved, it stays one.
    "Ab2+C4+Eb4+Gb4:4 G2+C4+Eb4+G4:4": "0 Ab7, 4 Cm/G",
    "Ab2+C4+Eb4+F#4:4 Db3+Db4+F4:4": "0 Ab7, 4 Db",
    # The same sounds on another bass, or spelled from it, are a dominant with a lowered fifth.
    "D3+C4+F#4+Ab4:4 G2+B3+D4+G4:4": "0 D7(b5), 4 G",
    "C3+D4+F#4+Ab4:4 B2+D4+G4:4": "0 D7(b5)/C, 4 G/B",
    "C3+E4+Gb4+Bb4:4 F3+A3+C4:4": "0 C7(b5), 4 F",
}


@pytest.mark.parametrize("notes", AUGMENTED_SIXTHS)
def test_spelling_tells_an_augmented_sixth_from_a_seventh(notes: str) -> None:
    assert read(line(notes), row=bars(2)) == AUGMENTED_SIXTHS[notes]
    sure = read_harmonies(line(notes), bars(2))[0].chord
    assert sure.certainty > Fraction(3, 4)


def test_a_line_alone_of_which_nothing_speaks_for_a_chord_has_none() -> None:
    """A piece of a scale; over a bass it has a chord, and so has a line that breaks one."""
    tune = line("A4 B4 C5 D5")
    assert read(tune, row=bars(1)) == "0 N.C."
    assert read(tune, line("A2+E3:4"), row=bars(1)).startswith("0 Am")
    assert read(eighths("C4 E4 G4 E4 C4 E4 G4 E4"), row=bars(1)) == "0 C"


def test_octaves_in_a_row_are_no_suspended_chord() -> None:
    """F and its neighbours, then C, all in octaves: a fifth on F, not C with a fourth."""
    high = line("F4:3/2 G4:1/4 F4:1/4 E4:1/2 F4:1/2 C4")
    low = line("F3:3/2 G3:1/4 F3:1/4 E3:1/2 F3:1/2 C3")
    assert read(high, low, row=bars(2, "3/4")) == "0 F5"


@pytest.fixture(scope="module")
def chorale() -> Piece:
    return analysed_chorale(8)[0]


STEPS_UP = (
    *((0, 0), (1, 1), (1, 2), (2, 3), (2, 4), (3, 5), (3, 6)),
    *((4, 7), (5, 8), (5, 9), (6, 10), (6, 11)),
)


@pytest.mark.parametrize(("diatonic", "chromatic"), STEPS_UP)
def test_transposed_music_is_read_alike(chorale: Piece, diatonic: int, chromatic: int) -> None:
    """Compared an octave lower, where every bass stays one: high up the certainty is less."""
    move, down = Transposition(diatonic, chromatic), Transposition(-7, -12)
    low = [replace(note, pitch=down.sounding(note.pitch)) for note in chorale.notes]
    here = read_harmonies(low, chorale.bars)
    moved = [replace(note, pitch=move.sounding(note.pitch)) for note in low]
    there = read_harmonies(moved, chorale.bars)
    assert len(here) > 40
    assert [_moved(one, move) for one in here] == list(there)


def _moved(one: Harmony, move: Transposition) -> Harmony:
    def to(name: PitchClass | None) -> PitchClass | None:
        return None if name is None else name.moved(move)

    return replace(one, chord=replace(one.chord, root=to(one.chord.root), bass=to(one.chord.bass)))


def test_the_order_of_parts_and_notes_does_not_matter(chorale: Piece) -> None:
    here = read_harmonies(chorale.notes, chorale.bars)
    mixed = [replace(note, part=7 - note.part) for note in chorale.notes]
    random.Random(3).shuffle(mixed)
    assert read_harmonies(mixed, chorale.bars) == here


def test_doubling_parts_changes_nothing(chorale: Piece) -> None:
    here = read_harmonies(chorale.notes, chorale.bars)
    doubled = [*chorale.notes, *(replace(note, part=9 + note.part) for note in chorale.notes)]
    assert read_harmonies(doubled, chorale.bars) == here


def test_ties_make_no_difference(chorale: Piece) -> None:
    """A held note, or the same note struck in every half beat: one harmony."""
    here = read_harmonies(chorale.notes, chorale.bars)
    split = []
    for note in chorale.notes:
        start = note.start
        while start < note.end:
            end = min(note.end, start + Fraction(1, 2))
            split.append(replace(note, start=start, end=end))
            start = end
    assert len(split) > len(chorale.notes)
    assert read_harmonies(split, chorale.bars) == here


def test_later_music_is_read_alike(chorale: Piece) -> None:
    here = read_harmonies(chorale.notes, chorale.bars)
    by = Fraction(400)
    notes = [replace(note, start=note.start + by, end=note.end + by) for note in chorale.notes]
    row = [replace(bar, start=bar.start + by) for bar in chorale.bars]
    later = [replace(one, start=one.start + by, end=one.end + by) for one in here]
    assert list(read_harmonies(notes, row)) == later


NOTES = st.builds(
    lambda start, lasts, step, octave, part: Heard(
        Fraction(start, 4), Fraction(start + lasts, 4), Pitch(step, Fraction(0), octave), part
    ),
    st.integers(0, 40),
    st.integers(0, 12),
    st.sampled_from("CDEFGAB"),
    st.integers(2, 6),
    st.integers(0, 3),
)


@given(st.lists(NOTES, max_size=25))
def test_harmonies_fill_the_time_without_gap(notes: list[Heard]) -> None:
    row = bars(3)
    found = read_harmonies(notes, row)
    assert found[0].start == 0
    assert found[-1].end >= max([Fraction(12), *(note.end for note in notes)])
    for before, after in pairwise(found):
        assert before.end == after.start
        assert before.chord != after.chord or before.chord.root is not None
    for one in found:
        assert one.start < one.end
        assert 0 <= one.chord.certainty <= 1


def test_triplets_and_odd_lengths_are_read() -> None:
    triplets = line(
        "C4:1/3 E4:1/3 G4:1/3 C5:1/3 G4:1/3 E4:1/3 C4:1/3 E4:1/3 G4:1/3 C5:1/3 G4:1/3 E4:1/3"
    )
    septuplet = line(" ".join(f"{name}:4/7" for name in ["C5", "D5", "E5", "F5", "G5", "F5", "E5"]))
    assert read(triplets, septuplet, line("C3:4"), row=bars(1)) == "0 C"


def test_quarter_tones_count_as_the_nearest_semitone_of_their_step() -> None:
    low = replace(line("E4:4")[0], pitch=Pitch("E", Fraction(-1, 4), 4))
    assert read([*line("C4+G4:4"), low], row=bars(1)) == "0 C"
    flat = replace(low, pitch=Pitch("E", Fraction(-3, 4), 4))
    assert read([*line("C4+G4:4"), flat], row=bars(1)) == "0 Cm"
