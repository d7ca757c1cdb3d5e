"""Chord symbols against music21, and the way through a part and a player's typing and back."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import harmony

from drills.errors import UsageError
from drills.harmony.chord import NO_CHORD, Chord, ChordTone, PitchClass, Source
from drills.harmony.kinds import KINDS, tone_of
from drills.harmony.suffixes import chord_named
from drills.harmony.symbols import chord_of, parse_chord, symbol_harmonies, symbol_of
from drills.harmony.tones import spelled
from drills.music.pitch import CONCERT, STEPS, Pitch, Transposition
from drills.music.score import Bar, ChordDegree, ChordSymbol, Instrument, Part
from drills.music.time import START, Length, TimeSignature, position
from drills.reading.musicxml import open_score, read_all
from tests.harmony.music21_chords import DIFFERENCES, FUNCTIONAL, Case, pitch_classes

SCORES = Path(__file__).parent.parent.parent / "scores"
ROOTS = tuple(step + sign for step in STEPS for sign in ("bb", "b", "", "#", "##"))
"""Thirty-five: all seven steps, from double flat to double sharp."""
SPELLED_KINDS = tuple(name for name in KINDS if name != "none")


def symbol(
    root: str, kind: str, degree: tuple[int, int, str] | None = None, bass: str = ""
) -> ChordSymbol:
    degrees = (ChordDegree(degree[0], Fraction(degree[1]), degree[2]),) if degree else ()
    return ChordSymbol(START, root, kind, bass=bass, degrees=degrees)


def ours(
    root: str, kind: str, degree: tuple[int, int, str] | None = None, bass: str = ""
) -> frozenset[int]:
    chord = chord_of(symbol(root, kind, degree, bass), CONCERT)
    tones = {name.semitone for name in spelled(chord)}
    return frozenset(tones if chord.bass is None else tones | {chord.bass.semitone})


class TestAgainstMusic21:
    @pytest.mark.parametrize("kind", [k for k in SPELLED_KINDS if k not in FUNCTIONAL])
    def test_every_kind_on_every_root(self, kind: str) -> None:
        for root in ROOTS:
            assert ours(root, kind) == pitch_classes(root, kind), root

    @pytest.mark.parametrize("kind", ["Italian", "French", "German"])
    def test_augmented_sixths_from_their_lowest_tone_or_from_the_tonic(self, kind: str) -> None:
        """music21's chord on a tonic is ours on the lowered sixth above it: Ab in C."""
        for tonic in ROOTS:
            root = str(PitchClass.parse(tonic).above(6, -1))
            if len(root) < 4:
                assert ours(root, kind) == pitch_classes(tonic, kind)

    def test_the_neapolitan_of_music21_is_no_neapolitan(self) -> None:
        """On the tonic C it has C Db E Gb: neither Db F Ab nor a chord with C for its root."""
        assert pitch_classes("C", "Neapolitan") == frozenset({0, 1, 4, 6})
        assert ours("Db", "Neapolitan") == {1, 5, 8}

    @pytest.mark.parametrize("kind", [k for k in SPELLED_KINDS if k not in FUNCTIONAL])
    def test_every_degree(self, kind: str) -> None:
        """Added, altered and taken away: 2 to 13, flat, plain and sharp."""
        for number, alter, how in product(range(2, 14), (-1, 0, 1), ("add", "alter", "subtract")):
            case = Case(kind, number, alter, how)
            theirs = pitch_classes("C", kind, (number, alter, how))
            rows = [row for row in DIFFERENCES if row.applies(case)]
            assert len(rows) < 2, case
            if rows:
                assert theirs == rows[0].theirs(case), (case, rows[0].reason)
            else:
                assert theirs == ours("C", kind, (number, alter, how)), case

    def test_every_difference_is_one(self) -> None:
        cases = [
            Case(*case)
            for case in product(
                (k for k in SPELLED_KINDS if k not in FUNCTIONAL),
                range(2, 14),
                (-1, 0, 1),
                ("add", "alter", "subtract"),
            )
        ]
        for row in DIFFERENCES:
            assert any(
                row.theirs(case) != ours("C", case.kind, (case.number, case.alter, case.how))
                for case in cases
                if row.applies(case)
            ), row.reason

    @pytest.mark.parametrize("kind", ["major", "minor", "dominant", "half-diminished"])
    def test_slash_basses(self, kind: str) -> None:
        for root, bass in product(("C", "F#", "Bb", "Eb"), ROOTS):
            assert ours(root, kind, bass=bass) == pitch_classes(root, kind, bass=bass), bass

    def test_abbreviations(self) -> None:
        """Every abbreviation of music21's list that is read here has the tones of its list."""
        compared = 0
        for name, (degrees, abbreviations) in harmony.CHORD_TYPES.items():
            if name in FUNCTIONAL:
                continue
            wanted = tuple(
                sorted(tone_of(degree.replace("-", "b")) for degree in degrees.split(","))
            )
            for text in abbreviations:
                if text in NOT_READ:
                    with pytest.raises(UsageError, match="is not understood"):
                        parse_chord(f"C{text}")
                elif text in OTHERWISE_READ:
                    assert parse_chord(f"C{text}").tones != wanted
                else:
                    assert parse_chord(f"C{text}").tones == wanted, text
                    compared += 1
        assert compared > 70


NOT_READ = {
    "dom7dim5": "players write 7b5",
    "tristan": "written Tristan",
    "power": "written 5",
    "ob9": "too like Bb9, and without a 7 it has no seventh: written dim7(b9)",
}
"""Abbreviations that music21 reads and we refuse, each with its reason."""
OTHERWISE_READ = {
    "dimb9": "a diminished triad with a flat ninth here: without a 7 it has no seventh",
}
"""Abbreviations that stand for other tones here, each with its reason."""


class TestDegrees:
    @pytest.mark.parametrize(
        ("kind", "degree", "tones"),
        [
            # W3C MusicXML 4.0, degree-alter: add counts from a dominant chord, alter and
            # subtract from the degree already in the chord.
            ("major", (7, 0, "add"), "R 3 5 b7"),
            ("major", (7, 1, "add"), "R 3 5 7"),
            ("major", (9, 0, "add"), "R 3 5 9"),
            ("dominant", (9, -1, "add"), "R 3 5 b7 b9"),
            ("dominant", (5, 1, "alter"), "R 3 #5 b7"),
            ("minor", (3, 1, "alter"), "R 3 5"),
            ("diminished-seventh", (7, 1, "alter"), "R b3 b5 b7"),
            ("dominant-ninth", (9, 1, "add"), "R 3 5 b7 9 #9"),
            ("dominant-11th", (3, 0, "subtract"), "R 5 b7 9 11"),
            ("dominant", (1, 0, "subtract"), "3 5 b7"),
            ("other", (2, -1, "add"), "R b2"),
            # Not the schema's word, but what is meant: no chord has two fifths.
            ("dominant", (5, -1, "add"), "R 3 b5 b7"),
            ("minor-seventh", (5, -1, "add"), "R b3 b5 b7"),
            ("dominant", (5, 1, "add"), "R 3 #5 b7"),
            ("diminished", (5, 1, "add"), "R b3 b5 #5"),
            # Not there: added, or nothing to take away.
            ("dominant", (11, 1, "alter"), "R 3 5 b7 #11"),
            ("dominant", (9, 0, "subtract"), "R 3 5 b7"),
            # There already, or beyond three semitones: no change.
            ("dominant", (7, 0, "add"), "R 3 5 b7"),
            ("diminished-seventh", (7, -2, "alter"), "R b3 b5 bb7"),
        ],
    )
    def test_one_degree(self, kind: str, degree: tuple[int, int, str], tones: str) -> None:
        found = chord_of(symbol("C", kind, degree), CONCERT)
        assert found.tones == tuple(tone_of(label) for label in tones.split())

    def test_thousands_of_degrees_of_a_hostile_file(self) -> None:
        degrees = tuple(
            ChordDegree(number % 13 + 1, Fraction(1), how)
            for number in range(3000)
            for how in ("add", "alter")
        )
        found = chord_of(ChordSymbol(START, "C", "dominant", degrees=degrees), CONCERT)
        assert all(abs(tone.alter) <= 3 for tone in found.tones)

    def test_a_chord_takes_the_simplest_name(self) -> None:
        assert chord_of(symbol("C", "minor-seventh", (5, -1, "alter")), CONCERT) == chord_of(
            symbol("C", "half-diminished"), CONCERT
        )
        sus = ChordSymbol(
            START,
            "C",
            "dominant",
            degrees=(
                ChordDegree(3, Fraction(0), "subtract"),
                ChordDegree(4, Fraction(0), "add"),
            ),
        )
        assert str(chord_of(sus, CONCERT)) == "C7sus4"

    def test_free_text_is_read_as_a_player_would(self) -> None:
        text = ChordSymbol(START, "C", "other", "7sus4(b9)")
        assert chord_of(text, CONCERT) == chord_of(
            ChordSymbol(
                START,
                "C",
                "suspended-fourth",
                degrees=(ChordDegree(7, Fraction(0), "add"), ChordDegree(9, Fraction(-1), "add")),
            ),
            CONCERT,
        )

    def test_free_text_that_says_nothing_leaves_the_root(self) -> None:
        found = chord_of(ChordSymbol(START, "C", "other", " as in bar 3"), CONCERT)
        assert (found.kind, found.tones, str(found)) == (
            "other",
            (ChordTone(1),),
            "C as in bar 3",
        )

    def test_no_chord(self) -> None:
        assert chord_of(ChordSymbol(START, "", "none", "tacet"), CONCERT) == NO_CHORD
        assert chord_of(ChordSymbol(START, "C", "none"), CONCERT) == NO_CHORD


INSTRUMENTS = {
    "flute": (Transposition(0, 0), "G7"),
    "clarinet in B flat": (Transposition(-1, -2), "A7"),
    "alto saxophone": (Transposition(-5, -9), "E7"),
    "tenor saxophone": (Transposition(-8, -14), "A7"),
    "horn in F": (Transposition(-4, -7), "D7"),
    "clarinet in E flat": (Transposition(2, 3), "E7"),
    "clarinet in A": (Transposition(-2, -3), "Bb7"),
}
"""What a concert G7 is called in each part (common practice)."""


class TestWrittenForAPart:
    @pytest.mark.parametrize("instrument", INSTRUMENTS)
    def test_names(self, instrument: str) -> None:
        transposition, name = INSTRUMENTS[instrument]
        written = symbol_of(parse_chord("G7"), START, transposition)
        assert (written.root, written.kind) == (name[:-1], "dominant")
        assert str(chord_of(written, transposition)) == "G7"

    def test_a_bass_moves_along(self) -> None:
        written = symbol_of(parse_chord("Bbmaj7/D"), position(2), Transposition(-5, -9))
        assert (written.start, written.root, written.bass) == (position(2), "G", "B")

    @pytest.mark.parametrize(
        ("sounding", "written"),
        [
            # For an alto saxophone: plain names become readable ones.
            ("G#m7/D#", "Fm7/C"),
            ("F#7/A#", "Eb7/G"),
            ("C#/E#", "Bb/D"),
            ("Db", "Bb"),
            ("Gb", "Eb"),
            ("Ab7/Gb", "F7/Eb"),
            ("B/D#", "Ab/C"),
            ("F#m", "D#m"),
            ("F#", "Eb"),
            ("Fdim7", "Ddim7"),
            ("Cb/Eb", "Ab/C"),
        ],
    )
    def test_readable(self, sounding: str, written: str) -> None:
        found = symbol_of(parse_chord(sounding), START, Transposition(-5, -9))
        own = chord_of(found, CONCERT)
        assert str(own) == written

    def test_degrees_come_with_the_text_that_prints_them(self) -> None:
        found = symbol_of(parse_chord("C13sus4"), START, CONCERT)
        assert (found.kind, found.text) == ("suspended-fourth", "13sus4")
        assert found.degrees == tuple(
            ChordDegree(number, Fraction(0), "add", printed=False) for number in (7, 9, 13)
        )

    def test_no_chord(self) -> None:
        assert symbol_of(NO_CHORD, START, CONCERT) == ChordSymbol(START, "", "none")

    @pytest.mark.parametrize("chromatic", range(12))
    def test_every_kind_comes_back_from_every_transposition(self, chromatic: int) -> None:
        diatonic = (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)[chromatic]
        player = Transposition(-diatonic, -chromatic)
        for kind, root in product(SPELLED_KINDS, ("C", "F#", "Bb", "E", "Ab")):
            chord = chord_of(symbol(root, kind, bass="D"), CONCERT)
            back = chord_of(symbol_of(chord, START, player), player)
            assert (back.kind, back.tones, back.suffix) == (chord.kind, chord.tones, chord.suffix)
            assert back.root is not None
            assert chord.root is not None
            assert back.root.semitone == chord.root.semitone
            if chord.bass is not None:
                assert back.bass is not None
                assert back.bass.semitone == chord.bass.semitone


class TestTyped:
    @pytest.mark.parametrize(
        ("text", "printed", "kind", "tones"),
        [
            ("C7", "C7", "dominant", "C E G Bb"),
            ("Bbm7b5", "Bbm7(b5)", "half-diminished", "Bb Db Fb Ab"),
            ("F#maj7/A#", "F#maj7/A#", "major-seventh", "F# A# C# E#"),
            ("Dm7(add11)", "Dm7(add11)", "minor-seventh", "D F A C G"),
            ("G7(b9,#11)", "G7(b9,#11)", "dominant", "G B D F Ab C#"),
            ("Csus4", "Csus4", "suspended-fourth", "C F G"),
            ("Eb6/9", "Eb6/9", "major-sixth", "Eb G Bb C F"),
            ("Eb6/9/G", "Eb6/9/G", "major-sixth", "Eb G Bb C F"),
            ("A+", "A+", "augmented", "A C# E#"),
            ("Bdim7", "Bdim7", "diminished-seventh", "B D F Ab"),
            ("C-7", "Cm7", "minor-seventh", "C Eb G Bb"),
            ("C7-9", "C7(b9)", "dominant", "C E G Bb Db"),
            ("C7+", "C+7", "augmented-seventh", "C E G# Bb"),
            ("C+9", "C9(#5)", "dominant-ninth", "C E G# Bb D"),
            ("Cmin(maj7)", "Cm(maj7)", "major-minor", "C Eb G B"),
            ("Cm#7", "Cm(maj7)", "major-minor", "C Eb G B"),
            ("CmM9", "Cm9(maj7)", "minor-ninth", "C Eb G B D"),
            ("C△", "Cmaj7", "major-seventh", "C E G B"),
            ("Cø7", "Cm7(b5)", "half-diminished", "C Eb Gb Bb"),
            ("C°7", "Cdim7", "diminished-seventh", "C Eb Gb Bbb"),
            ("B♭7(♯11)", "Bb7(#11)", "dominant", "Bb D F Ab E"),
            ("C7alt", "C7alt", "dominant", "C E Bb Db D# F# Ab"),
            ("C13(b9, #11)", "C13(b9,#11)", "dominant-13th", "C E G Bb Db F# A"),
            ("C9(b9,#9)", "C9(b9,add#9)", "dominant-ninth", "C E G Bb Db D#"),
            ("C7sus", "C7sus4", "suspended-fourth", "C F G Bb"),
            ("C(no3)", "C5", "power", "C G"),
            ("Comit5", "C(no5)", "major", "C E"),
            ("Cm(add9)", "Cm(add9)", "minor", "C Eb G D"),
            ("Cmadd9", "Cm(add9)", "minor", "C Eb G D"),
            ("CMadd9", "C(add9)", "major", "C E G D"),
            ("C7(13)", "C7(add13)", "dominant", "C E G Bb A"),
            ("Ab Ger.6", "Ab Ger.6", "German", "Ab C Eb F#"),
            (" C / E ", "C/E", "major", "C E G"),
            ("C/C", "C", "major", "C E G"),
            ("Abb5", "Abb5", "power", "Abb Ebb"),
        ],
    )
    def test_what_players_write(self, text: str, printed: str, kind: str, tones: str) -> None:
        """Common practice; each is read back as itself from what is printed."""
        found = parse_chord(text)
        assert str(found) == printed
        assert found.kind == kind
        assert " ".join(str(name) for name in spelled(found)) == tones
        assert found.source is Source.PLAYER
        assert parse_chord(printed) == found

    @pytest.mark.parametrize("text", ["N.C.", "NC", "n.c.", "N. C.", "no chord"])
    def test_no_chord(self, text: str) -> None:
        found = parse_chord(text)
        assert found == Chord(None, source=Source.PLAYER)
        assert parse_chord(str(found)) == found

    @pytest.mark.parametrize(
        ("text", "message"),
        [
            ("", "chord '': it does not begin with a root; write a capital letter"),
            ("c7", "chord 'c7': it does not begin with a root"),
            ("H7", "chord 'H7': it does not begin with a root"),
            ("Cx", "chord 'Cx': 'x' after the root is not understood; write the root"),
            ("C7(b9", "chord 'C7\\(b9': a bracket of '7\\(b9' is not closed"),
            ("C7)", "a bracket of '7\\)' is not closed"),
            ("C7((b9))", "a bracket of"),
            ("Cm5", "'5' after the root is not understood"),
            ("C2", "'2' after the root is not understood"),
            ("C7(no9)", "'no9' after the root is not understood"),
            ("C7(b14)", "'4' after the root is not understood"),
            ("C/H", "'/H' after the root is not understood"),
            ("C7(maj9)", "'maj9' after the root is not understood"),
            ("C7\nD7", "chord 'C7\\\\nD7'"),
        ],
    )
    def test_what_cannot_be_read(self, text: str, message: str) -> None:
        with pytest.raises(UsageError, match=message) as raised:
            parse_chord(text)
        assert "\n" not in str(raised.value)

    @given(st.text(max_size=12))
    def test_any_text_is_read_or_refused(self, text: str) -> None:
        for typed in (text, f"C{text}"):
            with suppress(UsageError):
                found = parse_chord(typed)
                assert parse_chord(str(found)) == found

    names = st.builds(PitchClass, st.sampled_from(STEPS), st.integers(-2, 2))
    tone_sets = st.frozensets(
        st.builds(ChordTone, st.integers(1, 13), st.integers(-3, 3)), min_size=1, max_size=9
    )

    @given(names, st.sampled_from(SPELLED_KINDS), tone_sets, st.none() | names)
    def test_both_ways(
        self, root: PitchClass, kind: str, tones: frozenset[ChordTone], bass: PitchClass | None
    ) -> None:
        """Any tones under any kind: the name that is printed is read as the same chord."""
        chord = chord_named(root, kind, tones, bass, source=Source.PLAYER)
        assert parse_chord(str(chord)) == chord

    @given(names, st.sampled_from(SPELLED_KINDS), st.none() | names)
    def test_both_ways_for_every_kind(
        self, root: PitchClass, kind: str, bass: PitchClass | None
    ) -> None:
        chord = chord_named(root, kind, None, bass, source=Source.PLAYER)
        assert chord.kind == kind
        assert parse_chord(str(chord)) == chord

    @given(st.sampled_from(("C", "F#", "Bb")), st.sampled_from(SPELLED_KINDS), tone_sets)
    def test_through_a_symbol_and_back(
        self, root: str, kind: str, tones: frozenset[ChordTone]
    ) -> None:
        chord = chord_named(PitchClass.parse(root), kind, tones)
        assert chord_of(symbol_of(chord, START, CONCERT), CONCERT) == chord


ALTO = Instrument("alto saxophone", "woodwind", Transposition(-5, -9))


def bar(index: int, *chords: ChordSymbol, quarters: int = 4) -> Bar:
    return Bar(
        index,
        str(index + 1),
        Length(Fraction(quarters)),
        TimeSignature((4,), 4),
        instrument=ALTO,
        chords=chords,
    )


def written(root: str, kind: str, at: Fraction | int = 0) -> ChordSymbol:
    return ChordSymbol(position(Fraction(at)), root, kind)


class TestHarmoniesOfAPart:
    def harmonies(self, *bars: Bar) -> list[tuple[Fraction | int, Fraction | int, str]]:
        part = Part("Alto saxophone", ALTO, bars)
        return [(h.start, h.end, str(h.chord)) for h in symbol_harmonies(part)]

    def test_up_to_the_next_and_to_the_end(self) -> None:
        found = self.harmonies(
            bar(0, quarters=1),
            bar(1, written("E", "dominant"), written("A", "major", Fraction(5, 2))),
            bar(2),
            bar(3, written("", "none", 2)),
        )
        assert found == [(1, Fraction(7, 2), "G7"), (Fraction(7, 2), 11, "C"), (11, 13, "N.C.")]

    def test_nothing_before_the_first_and_nothing_without_symbols(self) -> None:
        assert self.harmonies(bar(0), bar(1, written("E", "minor"))) == [(4, 8, "Gm")]
        assert self.harmonies(bar(0), bar(1)) == []
        assert self.harmonies() == []

    def test_out_of_order_and_two_at_one_place(self) -> None:
        found = self.harmonies(
            bar(0, written("A", "major", 2), written("E", "major"), written("E", "minor"))
        )
        assert found == [(0, 2, "Gm"), (2, 4, "C")]

    def test_a_symbol_at_the_very_end_lasts_no_time(self) -> None:
        assert self.harmonies(bar(0, written("E", "major"), written("A", "major", 4))) == [
            (0, 4, "G")
        ]

    def test_an_instrument_change_changes_what_a_name_means(self) -> None:
        concert = Bar(
            1,
            "2",
            Length(Fraction(4)),
            chords=(written("G", "major"),),
        )
        found = self.harmonies(bar(0, written("E", "major")), concert)
        assert [name for _, _, name in found] == ["G", "G"]


@pytest.mark.parametrize("name", ["swing", "march"])
def test_every_part_of_a_score_has_the_same_sounding_chords(name: str) -> None:
    """Concert, B flat and E flat parts each write their own names."""
    parts = read_all(open_score(SCORES / f"{name}.musicxml"))
    harmonies = [symbol_harmonies(part) for part in parts]
    assert len({part.bars[0].chords or part.bars[1].chords for part in parts}) == 3
    assert len(harmonies[0]) > 40
    assert all(other == harmonies[0] for other in harmonies)


def test_a_pitch_class_that_is_no_pitch_is_refused() -> None:
    with pytest.raises(ValueError, match="is not a note name"):
        chord_of(symbol("H", "major"), CONCERT)
    assert PitchClass.of(Pitch.parse("Bb3")) == PitchClass("B", -1)
