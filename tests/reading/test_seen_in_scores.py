"""What players saw in scores of many exporters, each in the smallest score that shows it."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from drills.music.score import Part
from drills.music.time import NoteValue
from tests.reading.made import attributes, bar, note, read, score
from tests.reading.test_marks import direction, metronome, words

QUARTER = NoteValue("quarter")


def with_signs(folder: Path, signs: str) -> Part:
    """A bar of 4/4 that begins with these signs, and a second one."""
    return read(folder, score(bar(attributes() + signs + note() * 4) + bar(note() * 4, "2")))


def tempos(part: Part) -> list[tuple[int, str, Fraction | None]]:
    """Bar, place and quarters a minute of every tempo of a part."""
    return [
        (b.index + 1, str(mark.start), mark.quarters_per_minute)
        for b in part.bars
        for mark in b.tempos
    ]


class TestTempoFromTheScore:
    @pytest.mark.parametrize(
        "text",
        [
            *("a tempo", "Tempo I", "Tempo Iº", "rubato", "A tempo, poco rubato"),
            *("Allegro ritmico", "senza rit.", "con ritmo", "Strings only", "poco rit., a tempo"),
        ],
    )
    def test_words_that_do_not_bend_it_keep_its_number(self, tmp_path: Path, text: str) -> None:
        part = with_signs(tmp_path, words(text, after='<sound tempo="92"/>'))
        assert tempos(part) == [(1, "0", Fraction(92))]

    @pytest.mark.parametrize(
        "text", ["rit.", "poco ritard.", "Ritardando", "rall.", "accel.", "string.", "allargando"]
    )
    def test_a_step_of_a_slowing_down_is_no_tempo(self, tmp_path: Path, text: str) -> None:
        assert tempos(with_signs(tmp_path, words(text, after='<sound tempo="92"/>'))) == []

    def test_a_mark_that_is_moved_back_from_the_bar_line_stays_in_its_bar(
        self, tmp_path: Path
    ) -> None:
        step = direction(metronome("60"), "<offset>-2</offset>")
        bars = bar(attributes() + note() * 4 + step) + bar(
            direction(metronome("120")) + note() * 4, "2"
        )
        assert tempos(read(tmp_path, score(bars))) == [(1, "3", Fraction(60)), (2, "0", 120)]

    def test_a_relation_of_two_values_keeps_the_number_that_is_played(self, tmp_path: Path) -> None:
        sign = "<metronome><beat-unit>half</beat-unit><beat-unit>quarter</beat-unit></metronome>"
        part = with_signs(tmp_path, direction(sign, '<sound tempo="144"/>'))
        (found,) = part.bars[0].tempos
        assert (found.quarters_per_minute, found.text) == (144, "half = quarter")

    @pytest.mark.parametrize(
        ("text", "beat", "number", "rest"),
        [
            ("Moderato MM 1/4=90", QUARTER, 90, "Moderato"),
            ("M.M. 1/8 = 120", NoteValue("eighth"), 120, ""),
            ("Lento (1/4. = ca. 50)", NoteValue("quarter", 1), 50, "Lento"),
            ("Allegro (\ueca5 = 132)", QUARTER, 132, "Allegro"),
            ("\ue1d3 = 66", NoteValue("half"), 66, ""),
            ("Andante (\ueca5\uecb7 = 80)", NoteValue("quarter", 1), 80, "Andante"),
        ],
    )
    def test_a_number_in_words_is_a_number(
        self, tmp_path: Path, text: str, beat: NoteValue, number: int, rest: str
    ) -> None:
        # SMuFL 1.4: U+ECA5 metNoteQuarterUp, U+ECB7 metAugmentationDot, U+E1D3 noteHalfUp.
        (found,) = with_signs(tmp_path, words(text)).bars[0].tempos
        assert (found.beat, found.number, found.text) == (beat, number, rest)

    def test_a_note_beside_the_words_is_read_by_its_name(self, tmp_path: Path) -> None:
        # MusicXML 4.0, element symbol: a SMuFL glyph by its canonical name.
        sign = direction("<words>Vivo (</words><symbol>metNoteHalfUp</symbol><words> = 76)</words>")
        (found,) = with_signs(tmp_path, sign).bars[0].tempos
        assert (found.beat, found.number, found.text) == (NoteValue("half"), 76, "Vivo")


class TestHolesOfGlyphs:
    def test_a_number_without_its_note_is_not_shown_beside_the_number(self, tmp_path: Path) -> None:
        part = with_signs(tmp_path, words("Allegro ( = 84)", after='<sound tempo="84"/>'))
        (found,) = part.bars[0].tempos
        assert (found.text, found.quarters_per_minute) == ("Allegro", 84)
        assert part.bars[0].directions == ()

    @pytest.mark.parametrize("text", ["[ ]", "[\ue883]", "( )", "\ue5f1"])
    def test_brackets_around_nothing_are_nothing(self, tmp_path: Path, text: str) -> None:
        part = with_signs(tmp_path, words(text))
        assert part.bars[0].directions == ()

    def test_an_accidental_of_a_music_font_is_one(self, tmp_path: Path) -> None:
        part = read(tmp_path, score(bar(attributes() + note() * 4), names=("Clarinet in B\ue260",)))
        assert part.name == "Clarinet in B\N{MUSIC FLAT SIGN}"


class TestDynamicsAreNoRehearsalMarks:
    @pytest.mark.parametrize(
        ("sign", "where"),
        [
            (' font-weight="bold" font-style="italic"', ""),
            (' font-weight="bold"', ' placement="below"'),
            (' font-weight="bold" default-y="-75"', ""),
        ],
    )
    @pytest.mark.parametrize("letter", ["P", "F"])
    def test_a_bold_letter_under_the_staff(
        self, tmp_path: Path, letter: str, sign: str, where: str
    ) -> None:
        part = with_signs(tmp_path, direction(f"<words{sign}>{letter}</words>", attribute=where))
        assert part.bars[0].marks == ()

    def test_a_bold_letter_over_the_staff_still_is_one(self, tmp_path: Path) -> None:
        sign = '<words font-weight="bold" default-y="30">F</words>'
        part = with_signs(tmp_path, direction(sign, attribute=' placement="above"'))
        assert [mark.text for mark in part.bars[0].marks] == ["F"]
