"""What each note of a line does in its chord, on small examples of our own.

The terms and where each applies are general theory, common practice of harmony
books; the examples are written for these tests.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.harmony.chord import Chord, ChordTone, Harmony, Heard, PitchClass, Role
from drills.harmony.functions import PRINTED, functions, functions_through
from drills.music.pitch import Pitch, Transposition
from tests.harmony.texts import bars, chords, line

EXAMPLES = {
    "tones of a chord": ("C4 E4 G4 Bb4", "C7:4", "R 3 5 b7"),
    "minor seventh": ("D4 F4 A4 C5", "Dm7:4", "R b3 5 b7"),
    "diminished seventh": ("B3 D4 F4 Ab4", "Bdim7:4", "R b3 b5 bb7"),
    "passing up": ("C4 D4 E4 F4 G4", "C:5", "R p 3 p 5"),
    "passing down": ("G4 F4 E4 D4 C4", "C:5", "5 p 3 p R"),
    "two passing notes in a row": ("G4 A4 B4 C5", "C:4", "5 p p R"),
    "chromatic passing note": ("C4:1/2 C#4:1/2 D4:1/2 D#4:1/2 E4:2", "C:4", "R p p p 3"),
    "passing on the beat": ("E4 D4 C4:2", "C:4", "3 p R"),
    "passing from chord to chord": ("C5:3/2 B4:1/2 A4:2", "C:2 F:2", "R p 3"),
    "upper neighbour": ("G4 A4 G4:2", "C:4", "5 n 5"),
    "lower neighbour, chromatic": ("G4 F#4 G4:2", "C:4", "5 n 5"),
    "neighbours round the main note": ("C5 D5 B4 C5", "C:4", "R n n R"),
    "neighbours in the other order": ("E4 D4 F4 E4", "C:4", "3 n n 3"),
    "augmented second as a step": ("E4 D#4 C4", "Am:3", "5 p b3"),
    "suspension 4-3": ("C5:2 C5 B4", "C:2 G:2", "R sus4 3"),
    "suspension 7-6 over the bass": ("G4:2 G4 F4", "Em:2 Dm/F:2", "b3 sus4 b3"),
    "suspension 9-8": ("A4:2 A4 G4", "F:2 G:2", "3 sus9 R"),
    "suspension 6-5": ("A4:2 A4 G4", "Dm:2 C:2", "5 sus6 5"),
    "suspension 7-8": ("B4:2 B4 C5", "Em:2 C:2", "5 sus7 R"),
    "suspension in the bass": ("C3:2 C3 B2", "Am:2 G/B:2", "b3 sus4 3"),
    "suspension of a minor third's fourth": ("G4:2 G4 F4", "C:2 Dm:2", "5 sus4 b3"),
    "chain of suspensions": ("C5:2 C5 B4 B4 A4", "C:2 G:2 F:2", "R sus4 3 sus4 3"),
    "suspension that rises": ("B4:2 B4 C5", "G:2 C:2", "3 sus7 R"),
    "suspension with an ornament": ("D5:2 D5:1/2 G4:1/2 C5", "G:2 C:2", "5 sus9 5 R"),
    "a leap after it that resolves nothing": ("D5:2 D5:1/2 G4:1/2 E5", "G:2 C:2", "5 x 5 3"),
    "suspension in three": ("G4:3 C5:3/2 C5 B4:1/2 C5:3", "C:9/2 G:3/2 C:3", "5 R sus4 3 R"),
    "anticipation at a cadence": ("D5:3/2 C5:1/2 C5:2", "G:2 C:2", "5 ant R"),
    "anticipation of a third": ("D5:7/4 E5:1/4 E5:2", "G:2 C:2", "5 ant 3"),
    "anticipation held into the chord": ("D5:7/2 E5:9/2", "G:4 C:4", "5 ant"),
    "appoggiatura": ("C4 A4 G4:2", "C:1 C:3", "R app 5"),
    "appoggiatura after a rest": ("r:2 F4 E4", "C:4", "app 3"),
    "incomplete neighbour": ("C4 G4:1/2 D4:1/2 E4:2", "C:4", "R 5 n 3"),
    "incomplete neighbour in an upbeat": ("r:3 F4 E4:4", "C:8", "n 3"),
    "appoggiatura with a new chord": ("C5 C5 F5 E5", "F:1 Am:1 C:2", "5 b3 app 3"),
    "escape note": ("E4:3/2 F4:1/2 C4:2", "C:2 Am:2", "3 esc b3"),
    "escape note up": ("B4:3/2 C5:1/2 A4:2", "G:2 D:2", "3 esc 5"),
    "escape over a plain triad": ("E4:3/2 F4:1/2 D4:2", "C:2 G:2", "3 esc 5"),
    "fourth that leaps down": ("G4 F4:1/2 C4:1/2 E4:2", "C:4", "5 esc R 3"),
    "fourth held on a weak beat and left by step": ("G4:3 F4 E4:4", "C:8", "5 p 3"),
    "second on a weak beat into the next chord": ("E4:3 D4 C4:4", "C:4 Am:4", "3 p b3"),
    "escape before a new chord": ("D5:3/2 E5:1/2 B4:2", "G:2 E:2", "5 esc 5"),
    "pedal": ("C3 C3 C3 C3", "C:1 G7:1 F:1 C:1", "R ped 5 R"),
    "pedal over two chords": ("C3 C3 C3 C3", "C:1 G7:1 Bdim:1 C:1", "R ped ped R"),
    "pedal that the symbol names": ("C3 C3 C3", "C:1 G7/C:1 C:1", "R ped R"),
    "bass that the symbol names": ("B2 C3 E3", "G:1 G7/C:1 C:1", "3 11 3"),
    "ninth held": ("D5:4", "C7:4", "9"),
    "ninth left by leap": ("D5:2 G4:2", "C:4", "9 5"),
    "ninth to the next chord": ("D5:4 C5:4", "C7:4 F:4", "9 5"),
    "ninth of two beats to the next chord": ("C5:2 D5:2 E5:4", "C:4 Am:4", "R 9 5"),
    "shorter it only passes": ("C5:3 D5 E5:4", "C:4 Am:4", "R p 5"),
    "ninth that resolves": ("E5 A4 D5:2 C5:4", "Dm:2 C7:6", "9 5 app R"),
    "raised eleventh": ("F#5:4", "C7:4", "#11"),
    "thirteenth": ("A5:4", "C7:4", "13"),
    "sixth": ("A5:4", "C:4", "6"),
    "flat ninth of the symbol": ("Db5:1/2 C5:1/2 Bb4", "C7(b9):2", "b9 R b7"),
    "fourth of the symbol": ("F4:2 E4:2", "Csus4:2 C:2", "4 3"),
    "leap in and out": ("G4 F#4:1/2 C5:1/2 D4:1/2 G4:3/2", "C:4", "5 esc R x 5"),
    "no chord": ("C4 D4 E4:2", "N.C.:1 C:3", " p 3"),
    "chord in the line": ("C4+E4 D4+F4 E4+G4", "C:3", "R 3 p p 3 5"),
    "a voice less": ("C4+E4 F4 E4+G4", "C:3", "R 3 n 3 5"),
    "two voices, one moves": ("E4+G4 E4+A4 E4+G4", "C:3", "3 5 3 n 3 5"),
}
"""Name -> a line, the chords that sound, what is printed under each note."""


@pytest.mark.parametrize("name", EXAMPLES)
def test_examples(name: str) -> None:
    notes, harmonies, labels = EXAMPLES[name]
    found = functions(line(notes), chords(harmonies), bars(3))
    assert [one.label for one in found] == labels.split(" ")


def test_every_role_occurs_in_an_example() -> None:
    roles = set()
    for notes, harmonies, _ in EXAMPLES.values():
        roles |= {one.role for one in functions(line(notes), chords(harmonies), bars(3))}
    assert roles == set(Role)
    assert set(PRINTED) == set(Role) - {Role.CHORD_TONE}
    assert len({label for label, _ in PRINTED.values()}) == len(PRINTED)


def test_what_is_worked_by_hand() -> None:
    assert len(EXAMPLES) + len(THROUGH) >= 62


def test_words_and_tone_of_a_function() -> None:
    third, seventh, fourth = functions(line("F4 C5 G4"), chords("Dm7:4"), bars(1))
    assert (third.role, third.words) == (Role.CHORD_TONE, "minor third")
    assert seventh.words == "minor seventh"
    assert fourth.tone == ChordTone(11)  # counted from the root, belonging or not
    ninth = functions(line("D#5:4"), chords("C7:4"), bars(1))[0]
    assert (ninth.label, ninth.words) == ("#9", "raised ninth")


def test_a_quarter_tone_is_no_tone_of_the_chord() -> None:
    found = functions(line("C4 Dd4 E4:2 Gd4:4 E4:4"), chords("C:12"), bars(3))
    assert [one.label for one in found] == ["R", "p", "3", "x", "3"]
    held = functions(line("Dd4:4"), chords("C:4"), bars(1))
    assert [one.label for one in held] == ["x"]


def test_a_time_without_harmony_has_no_function() -> None:
    found = functions(line("C4 C4 C4"), [*chords("C:1"), *_later("C:1", 2)], bars(1))
    assert [one.role for one in found] == [Role.CHORD_TONE, Role.NO_CHORD, Role.CHORD_TONE]
    assert found[1].tone is None


def _later(text: str, by: int) -> list[Harmony]:
    return [replace(one, start=one.start + by, end=one.end + by) for one in chords(text)]


def test_a_rest_longer_than_a_beat_parts_two_notes() -> None:
    near = functions(line("E4 r D4 C4"), chords("C:4"), bars(1))
    far = functions(line("E4 r:2 D4 C4"), chords("C:5"), bars(2))
    assert near[1].role is Role.PASSING
    assert far[1].role is not Role.PASSING


THROUGH = {
    "tone of both": ("C4:8", "C:4 F:4", "", "0=R 4=5"),
    "suspension held over": ("C5:3", "C:2 G:2", "B4", "0=R 2=sus4"),
    "what follows is not known": ("C5:3", "C:2 G:2", "", "0=R 2=sus4"),
    "left by leap over a triad it is foreign": ("C5:3", "C:2 G:2", "E5", "0=R 2=x"),
    "left by leap over a seventh it is the eleventh": ("C5:3", "C:2 G7:2", "E5", "0=R 2=11"),
    "decorated: the fifth, then the resolution": ("C5:3", "F:2 Bb:2", "F4 Bb4", "0=5 2=sus9"),
    "decorated by a foreign note it is the ninth": ("C5:3", "F:2 Bb:2", "G4 Bb4", "0=5 2=9"),
    "a leap and no resolution": ("C5:3", "F:2 Bb:2", "F4 D5", "0=5 2=9"),
    "pedal": ("C3:12", "C:4 G7:4 C:4", "", "0=R 4=ped 8=R"),
    "anticipation": ("E5:9/2", "G:1/2 C:4", "", "0=ant 1/2=3"),
    "ninth that stays": ("D5:8", "G:4 C7:4", "", "0=5 4=9"),
    "no chord between": ("C5:6", "C:2 N.C.:2 Am:2", "", "0=R 2= 4=b3"),
}
"""Name -> a note, the chords, what its player plays next, what it is from when on."""


@pytest.mark.parametrize("name", THROUGH)
def test_held_through_changing_chords(name: str) -> None:
    note, harmonies, following, labels = THROUGH[name]
    after = [Pitch.parse(name) for name in following.split()]
    found = functions_through(line(note)[0], chords(harmonies), after)
    assert [f"{time}={one.label}" for time, one in found] == labels.split(" ")


def test_the_first_of_a_held_note_is_its_function() -> None:
    """At its start a held note has one name, whoever asks, if nothing comes before it."""
    for notes, harmonies, *_ in THROUGH.values():
        alone = line(notes)
        first = functions(alone, chords(harmonies), bars(3))[0]
        assert functions_through(alone[0], chords(harmonies))[0] == (Fraction(0), first)


MOVES = [Transposition(steps, semitones) for steps, semitones in (
    (0, 0), (1, 1), (1, 2), (2, 3), (2, 4), (3, 5), (3, 6), (4, 7), (5, 8), (5, 9), (6, 10), (6, 11)
)]  # fmt: skip


@pytest.mark.parametrize("move", MOVES, ids=lambda move: str(move.chromatic))
def test_transposed_lines_have_the_same_functions(move: Transposition) -> None:
    for notes, harmonies, _ in EXAMPLES.values():
        here = functions(line(notes), chords(harmonies), bars(3))
        moved = [replace(one, pitch=move.sounding(one.pitch)) for one in line(notes)]
        there = [replace(one, chord=_moved(one.chord, move)) for one in chords(harmonies)]
        assert functions(moved, there, bars(3)) == here


def _moved(chord: Chord, move: Transposition) -> Chord:
    def to(name: PitchClass | None) -> PitchClass | None:
        return None if name is None else name.moved(move)

    return replace(chord, root=to(chord.root), bass=to(chord.bass))


@given(
    st.lists(st.integers(48, 72), min_size=1, max_size=12),
    st.lists(st.sampled_from(["C", "G7", "Dm7", "N.C.", "F/G", "Bdim7"]), min_size=1, max_size=4),
)
def test_every_note_has_one_function(midis: list[int], names: list[str]) -> None:
    steps = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
    notes = [
        Heard(Fraction(i, 2), Fraction(i + 1, 2), Pitch.parse(f"{steps[m % 12]}{m // 12 - 1}"))
        for i, m in enumerate(midis)
    ]
    found = functions(notes, chords(" ".join(f"{name}:3/2" for name in names)), bars(3))
    assert len(found) == len(notes)
    for one in found:
        assert (one.tone is None) is (one.role is Role.NO_CHORD)
        assert one.words
