"""Rehearsal marks, tempos, words, dynamics and chord symbols, from every part."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from lxml import etree

from drills.harmony.kinds import KINDS
from drills.music.pitch import Transposition
from drills.music.score import Bar, ChordDegree, ChordSymbol, Part, TempoMark
from drills.music.time import START, NoteValue, position
from drills.reading.chords import moved
from tests.reading.made import attributes, bar, note, read, scale_bar, score
from tests.schema import schema_file

QUARTER = NoteValue("quarter")


def direction(content: str, after: str = "", attribute: str = "") -> str:
    return f"<direction{attribute}><direction-type>{content}</direction-type>{after}</direction>"


def rehearsal(text: str) -> str:
    return direction(f"<rehearsal>{text}</rehearsal>")


def words(text: str, attribute: str = "", after: str = "") -> str:
    return direction(f"<words{attribute}>{text}</words>", after)


def metronome(number: str, unit: str = "quarter", dots: int = 0) -> str:
    dot = "<beat-unit-dot/>" * dots
    beat = f"<beat-unit>{unit}</beat-unit>{dot}"
    return f"<metronome>{beat}<per-minute>{number}</per-minute></metronome>"


def with_content(folder: Path, content: str) -> Part:
    return read(folder, score(bar(attributes() + content + note() * 4) + bar(note() * 4, "2")))


def marks(part: Part) -> list[list[str]]:
    return [[mark.text for mark in b.marks] for b in part.bars]


class TestRehearsalMarks:
    @pytest.mark.parametrize(
        ("content", "text"),
        [
            (rehearsal("E"), "E"),
            (rehearsal("  E \n"), "E"),
            (rehearsal("Trio  I"), "Trio I"),
            (rehearsal("12"), "12"),
            (words("E", ' enclosure="rectangle"'), "E"),
            (words("E", ' enclosure="square"'), "E"),
            (words("E", ' enclosure="circle"'), "E"),
            (words("AA", ' enclosure="square"'), "AA"),
            (words("B2", ' enclosure="square"'), "B2"),
            (words("33", ' enclosure="rectangle"'), "33"),
            (words("[E]"), "E"),
            (words("[12]", ' font-weight="bold"'), "12"),
            (words(" [ E ] "), "E"),
            (words("E", ' font-weight="bold"'), "E"),
        ],
    )
    def test_however_it_is_written(self, tmp_path: Path, content: str, text: str) -> None:
        part = with_content(tmp_path, content)
        assert marks(part) == [[text], []]
        assert part.bars[0].directions == ()

    @pytest.mark.parametrize(
        "content",
        [
            rehearsal(""),
            rehearsal("  "),
            words("Solo", ' enclosure="rectangle"'),
            words("E"),
            words("E", ' enclosure="none"'),
            words("e", ' font-weight="bold"'),
            words("(E)"),
            words("[con sord.]"),
            words("To Clarinet in A", ' enclosure="square"'),
        ],
    )
    def test_what_is_none(self, tmp_path: Path, content: str) -> None:
        assert marks(with_content(tmp_path, content)) == [[], []]

    def test_two_in_one_direction(self, tmp_path: Path) -> None:
        content = direction("<rehearsal>E</rehearsal><rehearsal>Trio</rehearsal>")
        assert marks(with_content(tmp_path, content)) == [["E", "Trio"], []]

    def test_at_the_end_of_a_bar_it_means_the_next(self, tmp_path: Path) -> None:
        bars = bar(attributes() + note() * 4 + rehearsal("E")) + bar(note() * 4, "2")
        assert marks(read(tmp_path, score(bars))) == [[], ["E"]]

    def test_moved_to_the_end_of_a_bar_by_an_offset(self, tmp_path: Path) -> None:
        mark = direction("<rehearsal>E</rehearsal>", "<offset>2</offset>")
        bars = bar(attributes() + note() * 3 + mark + note()) + bar(note() * 4, "2")
        assert marks(read(tmp_path, score(bars))) == [[], ["E"]]

    def test_at_the_end_of_the_last_bar_it_stays(self, tmp_path: Path) -> None:
        bars = bar(attributes() + note() * 4 + rehearsal("E"))
        assert marks(read(tmp_path, score(bars))) == [["E"]]

    def test_from_another_part(self, tmp_path: Path) -> None:
        first = bar(attributes() + note() * 4) + bar(rehearsal("E") + note() * 4, "2")
        part = read(tmp_path, score(first, scale_bar() + bar(note() * 4, "2")), "2")
        assert marks(part) == [[], ["E"]]

    def test_from_several_parts_once(self, tmp_path: Path) -> None:
        music = bar(attributes() + rehearsal("E") + note() * 4)
        assert marks(read(tmp_path, score(music, music, music), "2")) == [["E"]]

    def test_from_a_longer_part(self, tmp_path: Path) -> None:
        longer = scale_bar() + bar(rehearsal("E") + note() * 4, "2")
        assert marks(read(tmp_path, score(scale_bar(), longer), "1")) == [[]]

    def test_place_in_another_part_with_other_divisions(self, tmp_path: Path) -> None:
        other = bar(attributes(6) + note(duration=6) * 4 + rehearsal("E")) + bar(
            note(duration=6) * 4, "2"
        )
        part = read(tmp_path, score(scale_bar() + bar(note() * 4, "2"), other), "1")
        assert marks(part) == [[], ["E"]]

    def test_repeated_labels_are_kept(self, tmp_path: Path) -> None:
        music = rehearsal("A") + note() * 4
        bars = bar(attributes() + music) + bar(music, "2")
        assert marks(read(tmp_path, score(bars))) == [["A"], ["A"]]


def tempo(folder: Path, content: str) -> list[TempoMark]:
    return list(with_content(folder, content).bars[0].tempos)


class TestTempos:
    @pytest.mark.parametrize(
        ("sign", "beat", "number", "quarters"),
        [
            (metronome("120"), QUARTER, 120, 120),
            (metronome("60", "half"), NoteValue("half"), 60, 120),
            (metronome("80", "quarter", 1), NoteValue("quarter", 1), 80, 120),
            (metronome("144", "eighth"), NoteValue("eighth"), 144, 72),
            (metronome("c. 120"), QUARTER, 120, 120),
            (metronome("ca. 120"), QUARTER, 120, 120),
            (metronome("= 92"), QUARTER, 92, 92),
            (metronome("120-132"), QUARTER, 132, 132),
            (metronome("120 \N{EN DASH} 132"), QUARTER, 132, 132),
            (metronome("92,5"), QUARTER, Fraction(185, 2), Fraction(185, 2)),
            (metronome("66.5"), QUARTER, Fraction(133, 2), Fraction(133, 2)),
        ],
    )
    def test_numbers(
        self,
        tmp_path: Path,
        sign: str,
        beat: NoteValue,
        number: int | Fraction,
        quarters: int | Fraction,
    ) -> None:
        (found,) = tempo(tmp_path, direction(sign))
        assert (found.beat, found.number, found.start) == (beat, number, START)
        assert found.quarters_per_minute == quarters

    @pytest.mark.parametrize(
        ("text", "kind", "dots", "number"),
        [
            ("\N{QUARTER NOTE} = 120", "quarter", 0, 120),
            ("Allegro (\N{QUARTER NOTE}=132)", "quarter", 0, 132),
            ("\N{MUSICAL SYMBOL HALF NOTE} = c. 66", "half", 0, 66),
            ("\N{QUARTER NOTE}. = 72", "quarter", 1, 72),
            ("q = 96", "quarter", 0, 96),
            ("Slow q. = 60-66", "quarter", 1, 66),
            ("h=58", "half", 0, 58),
        ],
    )
    def test_numbers_in_words(
        self, tmp_path: Path, text: str, kind: str, dots: int, number: int
    ) -> None:
        part = with_content(tmp_path, words(text))
        (found,) = part.bars[0].tempos
        assert (found.beat, found.number) == (NoteValue(kind, dots), Fraction(number))
        assert part.bars[0].directions == ()

    @pytest.mark.parametrize("text", ["x = 120", "the = 3", "q = A", "1. = 2", "= 120"])
    def test_words_that_only_look_like_numbers(self, tmp_path: Path, text: str) -> None:
        assert tempo(tmp_path, words(text)) == []

    @pytest.mark.parametrize("number", ["", "fast", "0", "100000", "-5 or so"])
    def test_numbers_that_make_no_sense(self, tmp_path: Path, number: str) -> None:
        assert [t.number for t in tempo(tmp_path, direction(metronome(number)))] in (
            [],
            [Fraction(5)],
        )

    @pytest.mark.parametrize("unit", ["", "fortnight"])
    def test_a_metronome_without_a_beat_is_dropped(self, tmp_path: Path, unit: str) -> None:
        assert tempo(tmp_path, direction(metronome("120", unit))) == []

    def test_a_relation_has_no_number(self, tmp_path: Path) -> None:
        sign = (
            "<metronome><beat-unit>quarter</beat-unit><beat-unit-dot/>"
            "<beat-unit>half</beat-unit></metronome>"
        )
        (found,) = tempo(tmp_path, direction(sign))
        assert (found.number, found.text) == (None, "dotted quarter = half")

    def test_swing_written_as_a_relation_is_no_tempo(self, tmp_path: Path) -> None:
        sign = (
            "<metronome><metronome-note><metronome-type>eighth</metronome-type></metronome-note>"
            "<metronome-relation>equals</metronome-relation>"
            "<metronome-note><metronome-type>quarter</metronome-type></metronome-note></metronome>"
        )
        assert tempo(tmp_path, direction(sign)) == []

    def test_words_with_a_number(self, tmp_path: Path) -> None:
        content = (
            "<direction><direction-type><words>Allegro</words></direction-type>"
            f"<direction-type>{metronome('132')}</direction-type></direction>"
        )
        (found,) = tempo(tmp_path, content)
        assert (found.text, found.number) == ("Allegro", Fraction(132))

    def test_words_and_number_in_two_directions(self, tmp_path: Path) -> None:
        (found,) = tempo(tmp_path, words("Allegro") + direction(metronome("132")))
        assert (found.text, found.number) == ("Allegro", Fraction(132))

    @pytest.mark.parametrize(
        "text",
        ["Allegro ma non troppo", "Fast swing", "Langsam", "Très vif", "Tempo di valse", "Mäßig"],
    )
    def test_words_only(self, tmp_path: Path, text: str) -> None:
        (found,) = tempo(tmp_path, words(text))
        assert (found.beat, found.number, found.text) == (None, None, text)

    @pytest.mark.parametrize("text", ["dolce", "rit.", "a tempo", "poco accel.", "solo", "drill"])
    def test_words_that_are_no_tempo(self, tmp_path: Path, text: str) -> None:
        assert tempo(tmp_path, words(text)) == []

    @pytest.mark.parametrize(
        "content",
        [
            words("Brisk", after='<sound tempo="126"/>'),
            direction("<dynamics><f/></dynamics>", '<sound tempo="126"/>'),
            '<sound tempo="126"/>',
        ],
    )
    def test_a_number_for_playback_only(self, tmp_path: Path, content: str) -> None:
        (found,) = tempo(tmp_path, content)
        assert (found.beat, found.number) == (QUARTER, Fraction(126))

    def test_a_printed_number_beats_one_for_playback(self, tmp_path: Path) -> None:
        content = direction(metronome("60", "half"), '<sound tempo="126"/>')
        (found,) = tempo(tmp_path, content)
        assert (found.beat, found.number) == (NoteValue("half"), Fraction(60))

    def test_playback_of_a_ritardando_is_no_tempo(self, tmp_path: Path) -> None:
        assert tempo(tmp_path, words("rit.", after='<sound tempo="80"/>')) == []

    def test_words_of_a_tempo_are_not_words_over_the_staff_as_well(self, tmp_path: Path) -> None:
        part = with_content(tmp_path, words("Allegro") + words("dolce"))
        assert [d.text for d in part.bars[0].directions] == ["dolce"]

    def test_a_playback_number_leaves_the_words_alone(self, tmp_path: Path) -> None:
        part = with_content(tmp_path, words("Solo", after='<sound tempo="96"/>'))
        assert [(t.number, t.text) for t in part.bars[0].tempos] == [(Fraction(96), "")]
        assert [d.text for d in part.bars[0].directions] == ["Solo"]

    def test_an_offset_moves_what_is_printed_only(self, tmp_path: Path) -> None:
        # As a notation program writes it: word and number of one tempo, side by side.
        content = words("Andante", after='<sound tempo="80"/>') + direction(
            metronome("90"), "<offset>3</offset>"
        )
        (found,) = tempo(tmp_path, content)
        assert (found.start, found.text, found.number) == (START, "Andante", Fraction(90))

    def test_an_offset_that_says_it_is_heard(self, tmp_path: Path) -> None:
        content = direction(metronome("90"), '<offset sound="yes">4</offset>')
        (found,) = tempo(tmp_path, content)
        assert found.start == position(2)

    def test_two_numbers_of_one_place_are_told_apart_by_what_is_printed(
        self, tmp_path: Path
    ) -> None:
        content = direction(metronome("90")) + direction(metronome("60"), "<offset>4</offset>")
        found = tempo(tmp_path, content)
        assert [(str(t.start), t.number) for t in found] == [
            ("0", Fraction(90)),
            ("2", Fraction(60)),
        ]

    def test_inside_a_bar(self, tmp_path: Path) -> None:
        content = attributes() + note() * 2 + direction(metronome("60")) + note() * 2
        (found,) = read(tmp_path, score(bar(content))).bars[0].tempos
        assert found.start == position(2)

    def test_from_another_part_once(self, tmp_path: Path) -> None:
        music = bar(attributes() + direction(metronome("60")) + note() * 4)
        part = read(tmp_path, score(music, music, scale_bar()), "3")
        assert [mark.number for mark in part.bars[0].tempos] == [60]


def texts(where: Bar) -> list[tuple[str, str, str]]:
    return [(d.kind, d.text, str(d.start)) for d in where.directions]


class TestWordsAndDynamics:
    def test_words_with_their_place(self, tmp_path: Path) -> None:
        content = attributes() + note() + words("drill") + note() + words("end drill") + note() * 2
        found = texts(read(tmp_path, score(bar(content))).bars[0])
        assert found == [("words", "drill", "1"), ("words", "end drill", "2")]

    def test_words_of_another_part_stay_there(self, tmp_path: Path) -> None:
        other = bar(attributes() + words("drill") + note() * 4)
        assert texts(read(tmp_path, score(other, scale_bar()), "2").bars[0]) == []

    @pytest.mark.parametrize("text", ["D.S. al Coda", "Fine", "To Coda", "D. C. al Fine"])
    def test_words_for_everybody_come_from_any_part(self, tmp_path: Path, text: str) -> None:
        other = bar(attributes() + words(text) + note() * 4)
        found = texts(read(tmp_path, score(other, other, scale_bar()), "3").bars[0])
        assert found == [("words", text, "0")]

    def test_several_words_in_one_direction(self, tmp_path: Path) -> None:
        content = direction("<words>poco </words><words>a poco</words>")
        assert texts(with_content(tmp_path, content).bars[0]) == [("words", "poco a poco", "0")]

    @pytest.mark.parametrize(
        ("sign", "text"),
        [
            ("<mf/>", "mf"),
            ("<s/><f/>", "sf"),
            ("<other-dynamics>più f</other-dynamics>", "più f"),
        ],
    )
    def test_dynamics(self, tmp_path: Path, sign: str, text: str) -> None:
        content = direction(f"<dynamics>{sign}</dynamics>")
        assert texts(with_content(tmp_path, content).bars[0]) == [("dynamic", text, "0")]

    def test_dynamics_on_a_note(self, tmp_path: Path) -> None:
        content = attributes() + note() + note(notations="<dynamics><p/></dynamics>")
        assert texts(read(tmp_path, score(bar(content))).bars[0]) == [("dynamic", "p", "1")]

    def test_directions_of_the_other_staff_stay_there(self, tmp_path: Path) -> None:
        lower = direction("<dynamics><p/></dynamics>", "<staff>2</staff>")
        text = score(bar(attributes(extra="<staves>2</staves>") + lower + note()))
        assert texts(read(tmp_path, text, "1").bars[0]) == []
        assert texts(read(tmp_path, text, "2").bars[0]) == [("dynamic", "p", "0")]

    def test_hostile_words_are_one_short_line(self, tmp_path: Path) -> None:
        content = words("a\n\n\tb" + "x" * 10_000)
        ((_, text, _),) = texts(with_content(tmp_path, content).bars[0])
        assert text.startswith("a bxxx")
        assert len(text) <= 500


def harmony(root: str = "G", alter: int = 0, kind: str = "dominant", more: str = "") -> str:
    return (
        f"<harmony><root><root-step>{root}</root-step><root-alter>{alter}</root-alter></root>"
        f'<kind text="7">{kind}</kind>{more}</harmony>'
    )


def transposed(diatonic: int, chromatic: int) -> str:
    steps, semitones = f"<diatonic>{diatonic}</diatonic>", f"<chromatic>{chromatic}</chromatic>"
    return f"<transpose>{steps}{semitones}</transpose>"


class TestChordSymbols:
    def test_a_symbol_with_all_its_parts(self, tmp_path: Path) -> None:
        more = (
            "<bass><bass-step>B</bass-step><bass-alter>-1</bass-alter></bass>"
            "<degree><degree-value>9</degree-value><degree-alter>-1</degree-alter>"
            "<degree-type>add</degree-type></degree>"
        )
        content = attributes() + note() * 2 + harmony("E", -1, "minor-seventh", more) + note() * 2
        (found,) = read(tmp_path, score(bar(content))).bars[0].chords
        assert (found.root, found.kind, found.text, found.bass) == (
            "Eb",
            "minor-seventh",
            "7",
            "Bb",
        )
        assert found.start == position(2)
        assert [(d.number, d.alter, d.kind) for d in found.degrees] == [(9, Fraction(-1), "add")]

    def test_a_degree_that_the_text_says_already(self, tmp_path: Path) -> None:
        more = (
            '<degree print-object="no"><degree-value>7</degree-value>'
            "<degree-alter>0</degree-alter><degree-type>add</degree-type></degree>"
        )
        content = harmony("C", 0, "suspended-fourth", more)
        (found,) = with_content(tmp_path, content).bars[0].chords
        assert found.degrees == (ChordDegree(7, Fraction(0), "add", printed=False),)

    def test_kinds_are_those_of_the_standard(self) -> None:
        # W3C MusicXML 4.0 schema, simple type kind-value.
        assert values_in_schema("kind-value") == set(KINDS)

    def test_no_chord(self, tmp_path: Path) -> None:
        root = "<root><root-step>C</root-step></root>"
        content = f'<harmony>{root}<kind text="N.C.">none</kind></harmony>'
        content += "<harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>"
        (found, _) = with_content(tmp_path, content).bars[0].chords
        assert (found.root, found.kind, found.text) == ("", "none", "N.C.")

    def test_a_kind_that_is_free_text(self, tmp_path: Path) -> None:
        content = harmony(kind="m7(b5) wild").replace(' text="7"', "")
        (found,) = with_content(tmp_path, content).bars[0].chords
        assert (found.kind, found.text) == ("other", "m7(b5) wild")

    def test_a_function_without_a_root_is_read_in_its_key(self, tmp_path: Path) -> None:
        content = "<harmony><function>V</function><kind>major</kind></harmony>"
        (found,) = with_content(tmp_path, content).bars[0].chords
        assert (found.root, found.kind) == ("G", "major")

    def test_offsets(self, tmp_path: Path) -> None:
        content = harmony(more="<offset>2</offset>")
        (found,) = with_content(tmp_path, content).bars[0].chords
        assert found.start == position(1)

    def test_from_another_part_as_this_player_reads_it(self, tmp_path: Path) -> None:
        # A concert G7 is an E7 for an E flat alto saxophone, an A7 for a B flat clarinet.
        piano = bar(attributes() + harmony() + note() * 4)
        alto = bar(attributes(extra=transposed(-5, -9)) + note() * 4)
        clarinet = bar(attributes(extra=transposed(-1, -2)) + note() * 4)
        text = score(alto, piano, clarinet)
        assert [read(tmp_path, text, str(n)).bars[0].chords[0].root for n in (1, 2, 3)] == [
            "E",
            "G",
            "A",
        ]

    def test_a_remark_says_where_they_come_from(self, tmp_path: Path) -> None:
        piano = bar(attributes() + harmony() + note() * 4)
        text = score(scale_bar(), piano, names=("Flute", "Piano"))
        (remark,) = read(tmp_path, text, "Flute").remarks
        assert remark == "Chord symbols are those of the part Piano, written for this player."
        assert read(tmp_path, text, "Piano").remarks == ()

    def test_its_own_symbols_are_kept(self, tmp_path: Path) -> None:
        piano = bar(attributes() + harmony("C") + note() * 4)
        alto = bar(attributes(extra=transposed(-5, -9)) + harmony("A") + note() * 4)
        assert read(tmp_path, score(piano, alto), "2").bars[0].chords[0].root == "A"

    @pytest.mark.parametrize("chromatic", range(12))
    def test_the_sounding_root_never_changes(self, chromatic: int) -> None:
        steps = (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)[chromatic]
        concert = ChordSymbol(START, "G", "dominant")
        player = Transposition(-steps, -chromatic)
        written = moved(concert, Transposition(), player)
        back = moved(written, player, Transposition())
        assert back.root == "G"


def values_in_schema(name: str) -> set[str]:
    """The values that a simple type of the schema lists."""
    found = etree.parse(schema_file()).iterfind(
        f"{{*}}simpleType[@name='{name}']/{{*}}restriction/{{*}}enumeration"
    )
    return {value.get("value") or "" for value in found}
