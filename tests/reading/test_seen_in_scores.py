"""What players saw in scores of many exporters, each in the smallest score that shows it."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from drills.errors import ReadError, UsageError
from drills.instruments.general_midi import drum_of
from drills.music.lines import voice_lines
from drills.music.pitch import Pitch, Transposition, Unpitched
from drills.music.score import Part
from drills.music.time import NoteValue
from drills.places.finding import find_span
from drills.reading.musicxml import open_score
from drills.section.sheet_chords import chords_behind
from tests.reading.made import (
    attributes,
    bar,
    note,
    notes_of,
    pitches,
    read,
    saved,
    scale_bar,
    score,
    starts_and_lengths,
)
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
        assert (found.quarters_per_minute, found.text) == (Fraction(144), "half = quarter")

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
        assert (found.beat, found.number, found.text) == (beat, Fraction(number), rest)

    @pytest.mark.parametrize(
        ("time", "beat"),
        [("4/4", QUARTER), ("6/8", NoteValue("quarter", 1)), ("2/2", NoteValue("half"))],
    )
    @pytest.mark.parametrize(
        "text", ["M.M. 90", "MM = 90", "Andante (M. M. = ca. 90)", "M.M.=84-90"]
    )
    def test_a_metronome_number_alone_counts_the_beat_of_the_place(
        self, tmp_path: Path, text: str, time: str, beat: NoteValue
    ) -> None:
        signs = attributes(time=time) + words(text)
        (found,) = read(tmp_path, score(bar(signs + note() * 3))).bars[0].tempos
        assert (found.beat, found.number) == (beat, Fraction(90))
        assert found.text == ("Andante" if "Andante" in text else "")

    @pytest.mark.parametrize("text", ["MM 7", "Page 90", "mm 90", "MMM 90", "M 90"])
    def test_what_only_looks_like_one_is_none(self, tmp_path: Path, text: str) -> None:
        assert tempos(with_signs(tmp_path, words(text))) == []

    def test_a_note_beside_the_words_is_read_by_its_name(self, tmp_path: Path) -> None:
        # MusicXML 4.0, element symbol: a SMuFL glyph by its canonical name.
        sign = direction("<words>Vivo (</words><symbol>metNoteHalfUp</symbol><words> = 76)</words>")
        (found,) = with_signs(tmp_path, sign).bars[0].tempos
        assert (found.beat, found.number, found.text) == (NoteValue("half"), Fraction(76), "Vivo")


class TestHolesOfGlyphs:
    def test_a_number_without_its_note_is_not_shown_beside_the_number(self, tmp_path: Path) -> None:
        part = with_signs(tmp_path, words("Allegro ( = 84)", after='<sound tempo="84"/>'))
        (found,) = part.bars[0].tempos
        assert (found.text, found.quarters_per_minute) == ("Allegro", Fraction(84))
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


def tie(*kinds: str) -> str:
    """The signs of a tie that sounds."""
    return "".join(f'<tie type="{kind}"/>' for kind in kinds)


def attacks(part: Part) -> list[tuple[str, str, str]]:
    """Voice, place and length of every attack of a part."""
    return [
        (name, str(sound.start), str(sound.end - sound.start))
        for name, line in voice_lines(part).items()
        for sound in line.sounds
    ]


BACK = "<backup><duration>8</duration></backup>"


class TestTies:
    @pytest.mark.parametrize("attribute", ["", ' print-object="no"'])
    def test_a_unison_in_another_voice_does_not_take_the_tie(
        self, tmp_path: Path, attribute: str
    ) -> None:
        """A C of twelve quarters, tied over two bar lines, beside the same C untied."""
        unison = BACK + note("C4", 8, "whole", voice="2", attribute=attribute)
        bars = "".join(
            bar(
                (attributes() if number == 1 else "")
                + note("C4", 8, "whole", inside=tie(*kinds))
                + unison,
                str(number),
            )
            for number, kinds in enumerate((("start",), ("stop", "start"), ("stop",)), 1)
        )
        found = [one for one in attacks(read(tmp_path, score(bars))) if one[0] == "1"]
        assert found == [("1", "0", "12")]

    def test_a_tie_into_another_voice_is_no_new_attack(self, tmp_path: Path) -> None:
        first = attributes() + note("C4", 8, "whole", inside=tie("start"))
        second = (
            note("E5", 8, "whole") + BACK + note("C4", 4, "half", voice="2", inside=tie("stop"))
        )
        part = read(tmp_path, score(bar(first) + bar(second, "2")))
        assert attacks(part) == [("1", "0", "4"), ("1", "4", "4")]

    def test_it_lasts_on_where_its_own_voice_is_silent(self, tmp_path: Path) -> None:
        first = attributes() + note("C4", 8, "whole", inside=tie("start"))
        second = note("C4", 4, "half", voice="2", inside=tie("stop")) + note("D4", 4, "half")
        part = read(tmp_path, score(bar(first) + bar(second, "2")))
        assert attacks(part) == [("1", "0", "6"), ("1", "6", "2")]

    def test_a_tie_over_a_gap_before_the_bar_line_is_kept(self, tmp_path: Path) -> None:
        other = BACK.replace("8", "4") + note("E5", 8, "whole", voice="2")
        first = attributes() + note("C4", 4, "half", inside=tie("start")) + other
        second = note("C4", 4, "half", inside=tie("stop")) + note("D4", 4, "half")
        part = read(tmp_path, score(bar(first) + bar(second, "2")))
        assert [one for one in attacks(part) if one[0] == "1"] == [("1", "0", "6"), ("1", "6", "2")]


def names_of(folder: Path, text: str) -> list[str]:
    """What the parts of a score are called."""
    return [entry.name for entry in open_score(saved(folder, text)).entries]


class TestPartsByNumberAndName:
    TWO = score(scale_bar(), scale_bar("1"), names=("2", "1"))

    def test_a_bare_number_is_the_number_in_the_list(self, tmp_path: Path) -> None:
        assert read(tmp_path, self.TWO, "1").name == "2"
        assert read(tmp_path, self.TWO, "2").name == "1"

    def test_a_name_that_is_a_number_is_reached_in_quotes(self, tmp_path: Path) -> None:
        assert read(tmp_path, self.TWO, '"1"').name == "1"

    def test_the_error_tells_how_such_a_name_is_written(self, tmp_path: Path) -> None:
        text = score(scale_bar(), scale_bar(), names=("33", "Oboe"))
        with pytest.raises(UsageError, match="""the part that is called so is --part '"33"'"""):
            read(tmp_path, text, "33")

    def test_words_inside_a_name_find_the_only_part_that_has_them(self, tmp_path: Path) -> None:
        names = ("Flute", "A Clarinet 1", "A Clarinet 2", "Clarinet 10")
        text = score(*[scale_bar()] * 4, names=names)
        assert read(tmp_path, text, "Clarinet 1").name == "A Clarinet 1"

    def test_words_inside_several_names_are_asked_about(self, tmp_path: Path) -> None:
        text = score(*[scale_bar()] * 2, names=("A Clarinet 1", "B Clarinet 1"))
        with pytest.raises(UsageError, match=r"--part 1 \(A Clarinet 1\), 2 \(B Clarinet 1\)"):
            read(tmp_path, text, "Clarinet 1")

    def test_numbered_players_take_the_name_of_their_group(self, tmp_path: Path) -> None:
        def group(number: int, name: str) -> str:
            named = f"<group-name>{name}</group-name>"
            return f'<part-group type="start" number="{number}">{named}</part-group>'

        text = score(*[scale_bar()] * 4, names=("1 2", "3.4.", "1 2", "Tuba"))
        text = text.replace(
            '<score-part id="P1">',
            f'{group(1, "Brass")}{group(2, "Horns in F")}<score-part id="P1">',
        )
        text = text.replace(
            '<score-part id="P3">',
            f'<part-group type="stop" number="2"/>{group(2, "Trombones")}<score-part id="P3">',
        )
        text = text.replace("</part-list>", '<part-group type="stop" number="2"/></part-list>')
        assert names_of(tmp_path, text) == [
            *("Horns 1, 2 in F", "Horns 3, 4 in F", "Trombones 1, 2", "Tuba"),
        ]
        assert read(tmp_path, text, "1").instrument.name == "Horn in F"

    def test_a_voice_called_by_a_small_figure(self, tmp_path: Path) -> None:
        part = read(tmp_path, score(bar(attributes() + note(voice="²") * 4)))
        assert [voice.name for voice in part.bars[0].voices] == ["²"]


class TestNotesThatAreNotDrilled:
    @pytest.mark.parametrize(
        ("before", "attribute"), [("<grace/><cue/>", ""), ("<grace/>", ' print-object="no"')]
    )
    def test_grace_notes_of_cues_and_hidden_ones_are_left_out(
        self, tmp_path: Path, before: str, attribute: str
    ) -> None:
        grace = note("D5", "", "eighth", before=before, attribute=attribute)
        part = read(tmp_path, score(bar(attributes() + grace + note() * 4)))
        (first, *_) = notes_of(part.bars[0])
        assert first.graces == ()
        assert any("not drilled (bar 1)" in remark for remark in part.remarks)


class TestNotesWithoutALength:
    def test_a_duration_of_nothing_lasts_what_the_note_says(self, tmp_path: Path) -> None:
        notes = note("C5", 0) + note("D5") + note("E5") + note("F5")
        part = read(tmp_path, score(bar(attributes() + notes)))
        assert starts_and_lengths(part.bars[0]) == [
            *(("0", "1"), ("1", "1"), ("2", "1"), ("3", "1")),
        ]

    def test_in_a_bar_that_is_full_without_it_it_is_a_grace_note(self, tmp_path: Path) -> None:
        notes = note("B4", 0, "eighth") + note("C5") * 4
        part = read(tmp_path, score(bar(attributes() + notes)))
        (first, *_) = notes_of(part.bars[0])
        assert [str(tone) for grace in first.graces for tone in grace.tones] == ["B4"]
        assert len(notes_of(part.bars[0])) == 4


class TestPartsWithoutDivisions:
    def without(self, kind: str) -> str:
        """Four notes of 480 divisions each, of which the file does not tell the number."""
        signs = attributes().replace("<divisions>2</divisions>", "")
        return score(bar(signs + note(duration=480, kind=kind) * 4))

    def test_the_types_of_the_notes_tell_how_it_counts(self, tmp_path: Path) -> None:
        part = read(tmp_path, self.without("quarter"))
        assert [length for _, length in starts_and_lengths(part.bars[0])] == ["1"] * 4

    def test_without_types_the_reason_is_the_right_one(self, tmp_path: Path) -> None:
        with pytest.raises(ReadError, match="does not say how many divisions a quarter has"):
            read(tmp_path, self.without(""))


def listed_instruments(text: str, *names: str) -> str:
    """The score with these instruments in the part list."""
    listed = "".join(
        f'<score-instrument id="I{n}"><instrument-name>{name}</instrument-name></score-instrument>'
        for n, name in enumerate(names, 1)
    )
    return text.replace("</score-part>", f"{listed}</score-part>")


class TestChangesOfInstrument:
    """MusicXML 4.0, element instrument-change: a child of sound."""

    def change(self, identifier: str, sound: str) -> str:
        named = f"<instrument-sound>{sound}</instrument-sound>"
        return f'<sound><instrument-change id="{identifier}">{named}</instrument-change></sound>'

    def test_a_change_in_a_rest_holds_from_the_next_bar(self, tmp_path: Path) -> None:
        bars = (
            bar(attributes() + note() * 4 + self.change("I1", "wind.flutes.flute.piccolo"))
            + bar(note() * 4, "2")
            + bar(self.change("I1", "wind.flutes.flute") + note() * 4, "3")
        )
        part = read(tmp_path, listed_instruments(score(bars, names=("Flute 2",)), "Flute"))
        assert [b.instrument.name for b in part.bars] == ["Flute", "Piccolo", "Flute"]

    def test_a_change_to_a_listed_instrument(self, tmp_path: Path) -> None:
        change = (
            "<direction><direction-type><words>to E.H.</words></direction-type>"
            + self.change("I2", "")
            + "</direction>"
        )
        bars = bar(attributes() + note() * 4) + bar(change + note() * 4, "2") + bar(note() * 4, "3")
        text = listed_instruments(score(bars, names=("Oboe",)), "Oboe", "English horn")
        names = [b.instrument.name for b in read(tmp_path, text).bars]
        assert names == ["Oboe", "English horn", "English horn"]


class TestPartsOfAConcertScore:
    """MusicXML 4.0: in a concert score, for-part says how the part made from it is written."""

    def part(self, folder: Path, diatonic: int, chromatic: int, notes: str) -> Part:
        sign = (
            f"<for-part><part-transpose><diatonic>{diatonic}</diatonic>"
            f"<chromatic>{chromatic}</chromatic></part-transpose></for-part>"
        )
        head = "<defaults><concert-score/></defaults>"
        chord = "<harmony><root><root-step>B</root-step><root-alter>-1</root-alter></root>"
        chord += "<kind>major</kind></harmony>"
        bars = bar(attributes(extra=sign) + chord + notes)
        return read(folder, score(bars, names=("Clarinet",), head=head))

    def test_the_player_reads_transposed_notes_and_key(self, tmp_path: Path) -> None:
        # Common practice: a clarinet in B flat reads C major a major second higher, in D.
        part = self.part(tmp_path, -1, -2, note("C5") + note("E5") + note("F#5") + note("Bb4"))
        (first,) = part.bars
        assert pitches(first) == ["D5", "F#5", "G#5", "C5"]
        assert (first.key.fifths, first.chords[0].root) == (2, "C")
        assert part.instrument.name == "Clarinet in B flat"
        assert part.instrument.transposition == Transposition(-1, -2)
        assert any("concert pitch" in remark for remark in part.remarks)

    def test_what_sounds_is_what_the_score_says(self, tmp_path: Path) -> None:
        part = self.part(tmp_path, -2, -3, note("Eb5") * 4)
        (event, *_) = notes_of(part.bars[0])
        (tone,) = event.tones
        assert isinstance(tone, Pitch)
        assert str(part.instrument.transposition.sounding(tone)) == "Eb5"


PERCUSSION_CLEF = "<clef><sign>percussion</sign></clef>"


class TestDrumsWrittenWithPitches:
    def tones(self, folder: Path, name: str, clef: str = "", channel: int = 0) -> set[type]:
        """The types of the tones of a part that writes pitches."""
        bars = bar(
            attributes(extra="")
            + f"<attributes>{clef}</attributes>" * bool(clef)
            + note("F4")
            + note("C5")
            + note("F4")
            + note("C5")
        )
        text = score(bars, names=(name,))
        if channel:
            text = text.replace(
                "</score-part>",
                f'<midi-instrument id="I1"><midi-channel>{channel}</midi-channel>'
                "</midi-instrument></score-part>",
            )
        part = read(folder, text)
        return {type(tone) for event in notes_of(part.bars[0]) for tone in event.tones}

    @pytest.mark.parametrize(
        ("name", "clef", "channel"),
        [
            ("Drum set", "", 0),
            ("Schlagzeug II", PERCUSSION_CLEF, 0),
            ("Batterie du port", "", 10),
            ("Player 4", PERCUSSION_CLEF, 0),
            ("Player 4", "", 10),
        ],
    )
    def test_a_drum_kit_has_no_pitches(
        self, tmp_path: Path, name: str, clef: str, channel: int
    ) -> None:
        assert self.tones(tmp_path, name, clef, channel) == {Unpitched}

    def test_drums_written_by_their_midi_key_sound_by_it(self, tmp_path: Path) -> None:
        """C2, D2, F sharp 2 are bass drum, snare and hi-hat (General MIDI percussion key map)."""
        heads = "".join(note(pitch) for pitch in ("C2", "D2", "F#2"))
        heads += note("F4")  # a place on the staff
        part = read(tmp_path, score(bar(attributes() + heads), names=("Drum set",)))
        drums = [tone for event in notes_of(part.bars[0]) for tone in event.tones]
        assert [drum_of(tone) for tone in drums if isinstance(tone, Unpitched)] == [36, 38, 42, 36]

    def test_a_drum_without_a_telling_name_has_that_of_its_key(self, tmp_path: Path) -> None:
        """midi-unpitched counts from 1 (MusicXML 4.0)."""
        listed = "".join(
            f'<score-instrument id="I{key}"><instrument-name>{name}</instrument-name>'
            "</score-instrument>"
            for key, name in ((47, "Player 1"), (50, "Cowbell"))
        )
        listed += "".join(
            f'<midi-instrument id="I{key}"><midi-unpitched>{key}</midi-unpitched></midi-instrument>'
            for key in (47, 50)
        )
        struck = "".join(
            "<note><unpitched><display-step>C</display-step><display-octave>5</display-octave>"
            f'</unpitched><duration>4</duration><instrument id="I{key}"/><type>half</type></note>'
            for key in (47, 50)
        )
        text = score(bar(attributes() + struck))
        entry = text.index("</score-part>")
        part = read(tmp_path, text[:entry] + listed + text[entry:])
        drums = [tone for event in notes_of(part.bars[0]) for tone in event.tones]
        assert [str(drum) for drum in drums] == ["open hi-hat at C5", "Cowbell at C5"]

    @pytest.mark.parametrize(
        ("name", "clef", "channel"),
        [
            ("Timpani", PERCUSSION_CLEF, 10),
            ("Percussion", "", 0),
            ("Flute", "", 10),
            ("Player 4", "", 9),
        ],
    )
    def test_what_plays_pitches_keeps_them(
        self, tmp_path: Path, name: str, clef: str, channel: int
    ) -> None:
        assert self.tones(tmp_path, name, clef, channel) == {Pitch}


class TestChordSymbolsThatNameNoChord:
    FUNCTION = "<harmony><function>V</function><kind>{kind}</kind></harmony>"
    NONE = '<harmony><root><root-step text="">C</root-step></root><kind>none</kind></harmony>'

    @pytest.mark.parametrize("symbol", [FUNCTION.format(kind="none"), NONE])
    def test_the_chords_are_those_of_the_notes_and_the_player_is_told(
        self, tmp_path: Path, symbol: str
    ) -> None:
        chord = note("C4", 8, "whole")
        chord += "".join(note(p, 8, "whole", before="<chord/>") for p in ("E4", "G4", "C5"))
        part = read(tmp_path, score(bar(attributes() + symbol + chord)))
        assert part.bars[0].chords == ()
        assert "chords are read from the notes" in " ".join(part.remarks)
        (found, *_) = chords_behind((part,), 0).around(find_span(part, "1"))
        assert str(found.chord.root) == "C"

    def test_no_chord_in_a_row_of_chords_stays_what_it_is(self, tmp_path: Path) -> None:
        named = "<harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>"
        music = attributes() + named + note() * 2 + self.NONE + note() * 2
        part = read(tmp_path, score(bar(music)))
        assert [symbol.kind for symbol in part.bars[0].chords] == ["major", "none"]
        assert part.remarks == ()
