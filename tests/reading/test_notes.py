"""Notes: pitches, chords, voices, staves, graces, ties, slurs, signs, cues, drums."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from drills.music.notes import Articulation, Note
from drills.music.pitch import Pitch, Unpitched
from drills.music.score import Bar
from drills.reading.musicxml import open_score, read_all, read_part
from tests.reading.made import (
    attributes,
    bar,
    note,
    notes_of,
    pitches,
    read,
    rests_of,
    saved,
    scale_bar,
    score,
    starts_and_lengths,
)

CHORD = "<chord/>"


def first_bar(folder: Path, content: str, divisions: int = 2) -> Bar:
    return read(folder, score(bar(attributes(divisions) + content))).bars[0]


def bars_of(folder: Path, *contents: str) -> tuple[Bar, ...]:
    return read(
        folder,
        score(
            "".join(
                bar((attributes() if place == 0 else "") + content, str(place + 1))
                for place, content in enumerate(contents)
            )
        ),
    ).bars


def backup(duration: int) -> str:
    return f"<backup><duration>{duration}</duration></backup>"


class TestPitches:
    @pytest.mark.parametrize(
        ("step", "alter", "octave", "midi"),
        [
            # MIDI note numbers: middle C is 60 (General MIDI).
            ("C", "", "4", 60),
            ("B", "1", "3", 60),
            ("C", "-1", "5", 71),
            ("F", "2", "4", 67),
            ("E", "-2", "4", 62),
            ("A", "0.5", "4", Fraction(139, 2)),
            ("A", "-1.5", "4", Fraction(135, 2)),
            ("A", " 1.0 ", "0", 22),
            ("D", "0.25", "4", Fraction(249, 4)),
        ],
    )
    def test_spelling_is_kept(
        self, tmp_path: Path, step: str, alter: str, octave: str, midi: int | Fraction
    ) -> None:
        sign = f"<alter>{alter}</alter>" if alter else ""
        written = f"<step>{step}</step>{sign}<octave>{octave}</octave>"
        content = note().replace("<step>C</step><octave>5</octave>", written)
        (tone,) = notes_of(first_bar(tmp_path, content))[0].tones
        assert isinstance(tone, Pitch)
        assert (tone.step, tone.octave, tone.midi) == (step, int(octave), midi)
        assert tone.alter == Fraction(alter.strip() or 0)

    def test_an_accidental_sign_does_not_change_the_pitch(self, tmp_path: Path) -> None:
        content = note(inside="<accidental>sharp</accidental>")
        assert pitches(first_bar(tmp_path, content)) == ["C5"]

    def test_drums(self, tmp_path: Path) -> None:
        listed = (
            '<score-part id="P1"><part-name>Drums</part-name>'
            '<score-instrument id="I1"><instrument-name>Snare</instrument-name></score-instrument>'
            '<score-instrument id="I2"><instrument-name>Bass drum</instrument-name>'
            "</score-instrument></score-part>"
        )
        drum = (
            "<note><unpitched><display-step>C</display-step><display-octave>5</display-octave>"
            '</unpitched><duration>2</duration><instrument id="I1"/><type>quarter</type></note>'
        )
        low = drum.replace(">C<", ">F<").replace(">5<", ">4<").replace("I1", "I2")
        placeless = "<note><unpitched/><duration>2</duration><type>quarter</type></note>"
        both = drum + low.replace("<note>", "<note><chord/>") + placeless
        text = score(bar(attributes() + both))
        start, end = text.index("<score-part "), text.index("</part-list>")
        part = read(tmp_path, text[:start] + listed + text[end:])
        struck, lone = notes_of(part.bars[0])
        assert struck.tones == (Unpitched("C", 5, "Snare"), Unpitched("F", 4, "Bass drum"))
        assert lone.tones == (Unpitched("B", 4),)


class TestChords:
    def test_a_chord_is_one_note(self, tmp_path: Path) -> None:
        content = note("C4") + note("E4", before=CHORD) + note("G4", before=CHORD) + note("F4")
        found = first_bar(tmp_path, content)
        assert pitches(found) == ["C4+E4+G4", "F4"]
        assert starts_and_lengths(found) == [("0", "1"), ("1", "1")]

    def test_the_first_note_says_how_long_a_chord_is(self, tmp_path: Path) -> None:
        content = note("C4", 4, "half") + note("E4", 2, before=CHORD) + note("F4")
        assert starts_and_lengths(first_bar(tmp_path, content)) == [("0", "2"), ("2", "1")]

    def test_the_same_tone_twice_is_one(self, tmp_path: Path) -> None:
        content = note("C4") + note("C4", before=CHORD)
        assert pitches(first_bar(tmp_path, content)) == ["C4"]

    def test_signs_of_any_member_belong_to_the_chord(self, tmp_path: Path) -> None:
        accent = "<articulations><accent/></articulations>"
        content = note("C4") + note("E4", before=CHORD, notations=accent)
        assert notes_of(first_bar(tmp_path, content))[0].articulations == (Articulation.ACCENT,)

    def test_a_hidden_member_is_left_out(self, tmp_path: Path) -> None:
        content = note("C4") + note("E4", before=CHORD, attribute=' print-object="no"')
        assert pitches(first_bar(tmp_path, content)) == ["C4"]


class TestVoicesAndStaves:
    def test_two_voices(self, tmp_path: Path) -> None:
        content = note() * 4 + backup(8) + note("E4", 4, "half", voice="2") * 2
        found = first_bar(tmp_path, content)
        assert [voice.name for voice in found.voices] == ["1", "2"]
        assert starts_and_lengths(found, "2") == [("0", "2"), ("2", "2")]

    def test_voices_are_sorted_by_number(self, tmp_path: Path) -> None:
        content = "".join(note(voice=v) + backup(2) for v in ("10", "2", "solo", "1"))
        assert [voice.name for voice in first_bar(tmp_path, content).voices] == [
            "1",
            "2",
            "10",
            "solo",
        ]

    def test_a_gap_in_a_voice_stays_open(self, tmp_path: Path) -> None:
        content = note() * 4 + backup(8) + "<forward><duration>2</duration></forward>"
        found = first_bar(tmp_path, content + note("E4", voice="2"))
        assert starts_and_lengths(found, "2") == [("1", "1")]

    def test_overlapping_notes_of_one_voice_become_two(self, tmp_path: Path) -> None:
        part = read(tmp_path, score(bar(attributes() + note() * 2 + backup(2) + note("E4") * 2)))
        found = part.bars[0]
        assert [(voice.name, len(voice.events)) for voice in found.voices] == [("1", 3), ("1.2", 1)]
        assert any("overlap" in remark for remark in part.remarks)

    def test_a_crowd_that_overlaps_is_cut(self, tmp_path: Path) -> None:
        crowd = (note() + backup(2)) * 200
        part = read(tmp_path, score(bar(attributes() + crowd)))
        assert len(part.bars[0].voices) < 20
        assert any("are left out" in remark for remark in part.remarks)

    def two_staves(self) -> str:
        extra = '<staves>2</staves><clef number="2"><sign>F</sign><line>4</line></clef>'
        upper = note(inside="<staff>1</staff>") * 4
        lower = note("C3", 4, "half", inside="<staff>2</staff>", voice="5") * 2
        return score(bar(attributes(extra=extra) + upper + backup(8) + lower))

    def test_each_staff_is_a_part_of_its_own(self, tmp_path: Path) -> None:
        file = open_score(saved(tmp_path, self.two_staves()))
        upper, lower = read_all(file)
        assert [(part.name, part.staff) for part in (upper, lower)] == [
            ("Player 1", 1),
            ("Player 1 (staff 2)", 2),
        ]
        assert (pitches(upper.bars[0])[0], pitches(lower.bars[0], "5")[0]) == ("C5", "C3")
        assert (upper.bars[0].clef.sign, lower.bars[0].clef.sign) == ("G", "F")

    @pytest.mark.parametrize(
        ("choice", "staff"),
        [(None, 1), ("1", 1), ("2", 2), ("player 1", 1), ("Player 1 (staff 2)", 2), ("P1", 1)],
    )
    def test_which_staff_is_read(self, tmp_path: Path, choice: str | None, staff: int) -> None:
        part = read(tmp_path, self.two_staves(), choice)
        assert part.staff == staff
        assert f"has 2 staves; this is staff {staff}" in part.remarks[0]

    def test_notes_that_move_to_the_other_staff(self, tmp_path: Path) -> None:
        extra = "<staves>2</staves>"
        content = note(inside="<staff>1</staff>") + note("C3", inside="<staff>2</staff>") + note()
        file = open_score(saved(tmp_path, score(bar(attributes(extra=extra) + content))))
        upper, lower = read_all(file)
        assert starts_and_lengths(upper.bars[0]) == [("0", "1"), ("2", "1")]
        assert starts_and_lengths(lower.bars[0]) == [("1", "1")]
        assert all(any("another staff" in r for r in part.remarks) for part in (upper, lower))

    def test_a_chord_over_two_staves(self, tmp_path: Path) -> None:
        content = note(inside="<staff>1</staff>") + note(
            "C3", before=CHORD, inside="<staff>2</staff>"
        )
        text = score(bar(attributes(extra="<staves>2</staves>") + content))
        upper, lower = read_all(open_score(saved(tmp_path, text)))
        assert (pitches(upper.bars[0]), pitches(lower.bars[0])) == (["C5"], ["C3"])


def grace(pitch: str = "D5", slash: str = "", notations: str = "", before: str = "") -> str:
    sign = f"<grace{slash}/>{before}"
    return note(pitch, "", "eighth", before=sign, notations=notations)


class TestGraces:
    def test_graces_ride_on_the_note_that_follows(self, tmp_path: Path) -> None:
        found = notes_of(first_bar(tmp_path, note() + grace("D5") + grace("E5") + note("F5")))
        assert [len(event.graces) for event in found] == [0, 2]
        assert [str(g.tones[0]) for g in found[1].graces] == ["D5", "E5"]
        assert [str(event.start) for event in found] == ["0", "1"]

    def test_slashes(self, tmp_path: Path) -> None:
        content = grace(slash=' slash="yes"') + note() + grace(slash=' slash="no"') + note()
        found = notes_of(first_bar(tmp_path, content + grace() + note()))
        assert [event.graces[0].slashed for event in found] == [True, False, False]

    def test_at_the_end_of_a_bar_they_come_after(self, tmp_path: Path) -> None:
        first, second = bars_of(tmp_path, note() * 4 + grace("D5") + grace("C5"), note() * 4)
        assert [str(g.tones[0]) for g in notes_of(first)[-1].graces_after] == ["D5", "C5"]
        assert notes_of(second)[0].graces == ()

    def test_a_grace_chord(self, tmp_path: Path) -> None:
        content = grace("D5") + grace("F5", before=CHORD) + note()
        (found,) = notes_of(first_bar(tmp_path, content))[0].graces
        assert [str(tone) for tone in found.tones] == ["D5", "F5"]

    def test_a_slur_from_the_grace_into_the_note(self, tmp_path: Path) -> None:
        content = grace(notations='<slur type="start" number="1"/>') + note(
            notations='<slur type="stop" number="1"/>'
        )
        (found,) = notes_of(first_bar(tmp_path, content))
        assert found.graces[0].slur_starts == found.slur_stops == (1,)

    def test_a_grace_before_a_rest_only_bar_is_remarked(self, tmp_path: Path) -> None:
        rest = note("rest", 8, "whole")
        part = read(tmp_path, score(bar(attributes() + grace() + rest)))
        assert any("Grace notes without" in remark for remark in part.remarks)

    def test_graces_of_another_voice_stay_there(self, tmp_path: Path) -> None:
        other = note("D4", "", "eighth", before="<grace/>", voice="2") + note("C4", voice="2")
        found = first_bar(tmp_path, note() + backup(2) + other)
        assert notes_of(found)[0].graces == ()
        assert len(notes_of(found, "2")[0].graces) == 1


def tie(kind: str, *, sound: bool = True, sign: bool = True) -> dict[str, str]:
    return {
        "inside": f'<tie type="{kind}"/>' if sound else "",
        "notations": f'<tied type="{kind}"/>' if sign else "",
    }


def tie_flags(notes: list[Note]) -> list[tuple[bool, bool]]:
    return [(event.tie_start, event.tie_stop) for event in notes]


class TestTies:
    @pytest.mark.parametrize(("sound", "sign"), [(True, True), (True, False), (False, True)])
    def test_over_a_bar_line(self, tmp_path: Path, sound: bool, sign: bool) -> None:
        first, second = bars_of(
            tmp_path,
            note() * 3 + note(**tie("start", sound=sound, sign=sign)),
            note(**tie("stop", sound=sound, sign=sign)) + note() * 3,
        )
        assert tie_flags(notes_of(first))[-1] == (True, False)
        assert tie_flags(notes_of(second))[0] == (False, True)
        assert not notes_of(second)[0].is_attack

    def test_a_chain(self, tmp_path: Path) -> None:
        middle = note(inside='<tie type="stop"/><tie type="start"/>')
        content = note(**tie("start")) + middle + note(**tie("stop"))
        found = notes_of(first_bar(tmp_path, content))
        assert tie_flags(found) == [(True, False), (True, True), (False, True)]

    def test_a_tie_without_an_end_is_none(self, tmp_path: Path) -> None:
        found = notes_of(first_bar(tmp_path, note(**tie("start")) + note() + note("D5")))
        assert tie_flags(found) == [(False, False)] * 3

    def test_a_tie_to_another_pitch_is_none(self, tmp_path: Path) -> None:
        found = notes_of(first_bar(tmp_path, note(**tie("start")) + note("D5", **tie("stop"))))
        assert tie_flags(found) == [(False, False)] * 2

    def test_a_tie_over_a_rest_is_none(self, tmp_path: Path) -> None:
        content = note(**tie("start")) + note("rest") + note(**tie("stop"))
        assert tie_flags(notes_of(first_bar(tmp_path, content))) == [(False, False)] * 2

    def test_let_ring_is_no_tie(self, tmp_path: Path) -> None:
        ring = note(notations='<tied type="let-ring"/>')
        assert tie_flags(notes_of(first_bar(tmp_path, ring + note()))) == [(False, False)] * 2

    def test_the_stop_alone_is_enough(self, tmp_path: Path) -> None:
        found = notes_of(first_bar(tmp_path, note() + note(**tie("stop"))))
        assert tie_flags(found) == [(True, False), (False, True)]

    def test_an_enharmonic_tie(self, tmp_path: Path) -> None:
        content = note("C#5", **tie("start")) + note("Db5", **tie("stop"))
        assert tie_flags(notes_of(first_bar(tmp_path, content))) == [(True, False), (False, True)]

    def test_a_chord_is_held_only_if_all_its_tones_are(self, tmp_path: Path) -> None:
        start = note("C4", **tie("start")) + note("E4", before=CHORD, **tie("start"))
        all_held = note("C4", **tie("stop")) + note("E4", before=CHORD, **tie("stop"))
        one_held = note("C4", **tie("stop")) + note("F4", before=CHORD)
        assert tie_flags(notes_of(first_bar(tmp_path, start + all_held)))[1] == (False, True)
        assert tie_flags(notes_of(first_bar(tmp_path, start + one_held)))[1] == (False, False)

    def test_a_tie_into_another_voice(self, tmp_path: Path) -> None:
        content = note(**tie("start")) + note(voice="2", **tie("stop"))
        found = first_bar(tmp_path, content)
        assert tie_flags(notes_of(found)) == [(True, False)]
        assert tie_flags(notes_of(found, "2")) == [(False, True)]

    def test_a_tie_into_a_second_ending_is_believed(self, tmp_path: Path) -> None:
        def line(number: str) -> str:
            return f'<barline location="left"><ending number="{number}" type="start"/></barline>'

        bars = bars_of(
            tmp_path,
            note() * 3 + note(**tie("start")),
            line("1") + note(**tie("stop")) + note("D5") * 3,
            line("2") + note(**tie("stop")) + note("D5") * 3,
        )
        assert [tie_flags(notes_of(b))[0][1] for b in bars] == [False, True, True]


class TestSlurs:
    def slur(self, kind: str, number: int = 1, pitch: str = "C5", voice: str = "1") -> str:
        sign = f'<slur type="{kind}" number="{number}"/>'
        return note(pitch, notations=sign, voice=voice)

    def ends(self, where: Bar, voice: str = "1") -> list[tuple[tuple[int, ...], tuple[int, ...]]]:
        return [(event.slur_starts, event.slur_stops) for event in notes_of(where, voice)]

    def test_numbers_are_used_once(self, tmp_path: Path) -> None:
        content = (self.slur("start") + self.slur("stop")) * 2
        assert self.ends(first_bar(tmp_path, content)) == [
            ((1,), ()),
            ((), (1,)),
            ((2,), ()),
            ((), (2,)),
        ]

    def test_one_ends_where_the_next_begins(self, tmp_path: Path) -> None:
        both = '<slur type="start" number="1"/><slur type="stop" number="1"/>'
        content = self.slur("start") + note(notations=both) + self.slur("stop")
        assert self.ends(first_bar(tmp_path, content)) == [((1,), ()), ((2,), (1,)), ((), (2,))]

    def test_one_inside_another(self, tmp_path: Path) -> None:
        content = (
            self.slur("start", 1)
            + self.slur("start", 2)
            + self.slur("stop", 2)
            + self.slur("stop", 1)
        )
        assert self.ends(first_bar(tmp_path, content)) == [
            ((2,), ()),
            ((1,), ()),
            ((), (1,)),
            ((), (2,)),
        ]

    def test_over_a_bar_line(self, tmp_path: Path) -> None:
        first, second = bars_of(
            tmp_path, note() * 3 + self.slur("start"), self.slur("stop") + note() * 3
        )
        assert self.ends(first)[-1] == ((1,), ())
        assert self.ends(second)[0] == ((), (1,))

    def test_ends_without_a_partner_are_dropped(self, tmp_path: Path) -> None:
        content = self.slur("stop") + self.slur("start") + note()
        assert self.ends(first_bar(tmp_path, content)) == [((), ())] * 3

    def test_voices_that_use_the_same_number(self, tmp_path: Path) -> None:
        upper = self.slur("start") + note() + self.slur("stop")
        lower = self.slur("start", voice="2") + note(voice="2") + self.slur("stop", voice="2")
        found = first_bar(tmp_path, upper + backup(6) + lower)
        assert self.ends(found)[0][0] == self.ends(found)[2][1] != ()
        assert self.ends(found, "2")[0][0] == self.ends(found, "2")[2][1] != ()

    def test_from_one_voice_into_another(self, tmp_path: Path) -> None:
        found = first_bar(tmp_path, self.slur("start") + self.slur("stop", voice="2"))
        assert self.ends(found) == [((1,), ())]
        assert self.ends(found, "2") == [((), (1,))]

    def test_the_end_may_come_first_in_the_file(self, tmp_path: Path) -> None:
        upper = note() + self.slur("stop")
        lower = self.slur("start", voice="2")
        found = first_bar(tmp_path, upper + backup(4) + lower)
        assert self.ends(found, "2") == [((1,), ())]
        assert self.ends(found)[1] == ((), (1,))


class TestSigns:
    @pytest.mark.parametrize("sign", list(Articulation))
    def test_every_sign(self, tmp_path: Path, sign: Articulation) -> None:
        # The group an element stands in is that of MusicXML 4.0, element notations.
        if sign is Articulation.FERMATA:
            notations = "<fermata>normal</fermata>"
        elif sign in ORNAMENTS:
            notations = f"<ornaments><{sign}/></ornaments>"
        else:
            notations = f"<articulations><{sign}/></articulations>"
        content = note(notations=notations) + note()
        found = notes_of(first_bar(tmp_path, content))
        assert [event.articulations for event in found] == [(sign,), ()]

    def test_several_in_several_groups(self, tmp_path: Path) -> None:
        notations = (
            '<articulations><staccato placement="above"/><accent/></articulations>'
            "<ornaments><trill-mark/><accidental-mark>sharp</accidental-mark></ornaments>"
            "</notations><notations><fermata/>"
        )
        found = notes_of(first_bar(tmp_path, note(notations=notations)))[0].articulations
        assert set(found) == {
            Articulation.STACCATO,
            Articulation.ACCENT,
            Articulation.TRILL,
            Articulation.FERMATA,
        }

    def test_signs_that_are_not_kept(self, tmp_path: Path) -> None:
        notations = (
            "<articulations><caesura/><other-articulation>x</other-articulation></articulations>"
            "<technical><fingering>3</fingering><harmonic/></technical><arpeggiate/>"
        )
        assert notes_of(first_bar(tmp_path, note(notations=notations)))[0].articulations == ()

    def test_beams(self, tmp_path: Path) -> None:
        def beamed(text: str) -> str:
            beam = f'<beam number="1">{text}</beam><beam number="2">backward hook</beam>'
            return note(duration=1, kind="eighth", inside=beam)

        content = beamed("begin") + beamed("continue") + beamed("end") + note()
        found = notes_of(first_bar(tmp_path, content))
        assert [event.beam for event in found] == ["begin", "continue", "end", None]


ORNAMENTS = {
    Articulation.TRILL,
    Articulation.TURN,
    Articulation.INVERTED_TURN,
    Articulation.MORDENT,
    Articulation.INVERTED_MORDENT,
    Articulation.TREMOLO,
}


class TestCuesAndHidden:
    def test_a_cue_is_no_attack(self, tmp_path: Path) -> None:
        part = read(tmp_path, score(bar(attributes() + note(before="<cue/>") + note())))
        found = notes_of(part.bars[0])
        assert [(event.cue, event.is_attack) for event in found] == [(True, False), (False, True)]
        assert any("Cue notes" in remark and "(bar 1)" in remark for remark in part.remarks)

    def test_small_notes_are_played(self, tmp_path: Path) -> None:
        small = note().replace("<type>", '<type size="cue">')
        assert notes_of(first_bar(tmp_path, small))[0].is_attack

    def test_a_hidden_note_is_no_attack(self, tmp_path: Path) -> None:
        hidden = note(attribute=' print-object="no"')
        part = read(tmp_path, score(bar(attributes() + hidden + note())))
        found = notes_of(part.bars[0])
        assert [(event.hidden, event.is_attack) for event in found] == [
            (True, False),
            (False, True),
        ]
        assert any("does not print" in remark for remark in part.remarks)

    def test_a_rest_at_the_height_of_a_pitch_is_a_rest(self, tmp_path: Path) -> None:
        rest = note("rest").replace(
            "<rest/>",
            "<rest><display-step>C</display-step><display-octave>5</display-octave></rest>",
        )
        found = first_bar(tmp_path, rest + note())
        assert len(rests_of(found)) == 1
        assert pitches(found) == ["C5"]


class TestOctaveLines:
    def shift(self, kind: str, size: int = 8) -> str:
        sign = f'<octave-shift type="{kind}" size="{size}" number="1"/>'
        return f"<direction><direction-type>{sign}</direction-type></direction>"

    @pytest.mark.parametrize(
        ("kind", "size", "octaves"),
        # MusicXML 4.0, element octave-shift: 8va is a shift "down" from the sounding pitch.
        [("down", 8, 1), ("up", 8, -1), ("down", 15, 2), ("up", 15, -2), ("down", 22, 3)],
    )
    def test_lines(self, tmp_path: Path, kind: str, size: int, octaves: int) -> None:
        content = (
            note("C6") + self.shift(kind, size) + note("C6") * 2 + self.shift("stop", size) + note()
        )
        found = notes_of(first_bar(tmp_path, content))
        assert [event.octave_line for event in found] == [0, octaves, octaves, 0]
        assert str(found[1].tones[0]) == "C6"

    def test_over_bars(self, tmp_path: Path) -> None:
        bars = bars_of(
            tmp_path, note() * 3 + self.shift("down") + note(), note() + self.shift("stop") + note()
        )
        assert [[event.octave_line for event in notes_of(b)] for b in bars] == [
            [0, 0, 0, 1],
            [1, 0],
        ]

    def test_a_line_that_never_stops_is_none(self, tmp_path: Path) -> None:
        found = notes_of(first_bar(tmp_path, self.shift("down") + note() * 2))
        assert [event.octave_line for event in found] == [0, 0]


def test_a_part_reads_the_same_twice(tmp_path: Path) -> None:
    file = open_score(saved(tmp_path, score(scale_bar(), scale_bar())))
    first, second, third = read_part(file, "2"), read_part(file, "2"), read_all(file)[1]
    assert first.bars == second.bars == third.bars
