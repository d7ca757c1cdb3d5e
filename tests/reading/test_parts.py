"""The list of players, how one is chosen, and what is said about the part as a whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from drills.errors import UsageError
from drills.music.pitch import CONCERT, Transposition
from drills.music.score import Credits
from drills.reading.musicxml import ScoreFile, open_score, read_all, read_part
from tests.reading.made import attributes, bar, note, read, saved, scale_bar, score

BAND = ("Flute", "Clarinet 1", "Clarinet 2", "Alto Saxophone", "Flugelhorn", "clarinet bass")


def band(folder: Path) -> ScoreFile:
    return open_score(saved(folder, score(*[scale_bar()] * len(BAND), names=BAND)))


class TestChoice:
    def test_the_list(self, tmp_path: Path) -> None:
        found = [(e.number, e.name, e.part_id, e.staff) for e in band(tmp_path).entries]
        assert found == [(n, name, f"P{n}", 1) for n, name in enumerate(BAND, 1)]

    @pytest.mark.parametrize(
        ("choice", "name"),
        [
            ("Clarinet 2", "Clarinet 2"),
            ("clarinet 2", "Clarinet 2"),
            ("  Clarinet   2 ", "Clarinet 2"),
            ("4", "Alto Saxophone"),
            ("P5", "Flugelhorn"),
            ("p5", "Flugelhorn"),
            ("alto", "Alto Saxophone"),
            ("Flut", "Flute"),
            ("clarinet b", "clarinet bass"),
        ],
    )
    def test_ways_to_choose(self, tmp_path: Path, choice: str, name: str) -> None:
        assert read_part(band(tmp_path), choice).name == name

    @pytest.mark.parametrize("choice", [None, "", "  "])
    def test_several_parts_and_no_choice(self, tmp_path: Path, choice: str | None) -> None:
        with pytest.raises(UsageError, match=r"several parts; choose one with --part 1 \(Flute\)"):
            read_part(band(tmp_path), choice)

    def test_a_choice_that_fits_several(self, tmp_path: Path) -> None:
        with pytest.raises(
            UsageError, match=r"'Clari' fits several.*--part 2 \(Clarinet 1\), 3 \(Clarinet 2\), 6"
        ):
            read_part(band(tmp_path), "Clari")

    @pytest.mark.parametrize("choice", ["Viola", "7", "0", "-1", "P9", "%s", "--help"])
    def test_a_choice_that_fits_none(self, tmp_path: Path, choice: str) -> None:
        with pytest.raises(UsageError, match=r"no part is called .* --part 1 \(Flute\), 2"):
            read_part(band(tmp_path), choice)

    def test_a_misspelt_name_is_answered_with_the_nearest(self, tmp_path: Path) -> None:
        with pytest.raises(UsageError, match=r"did you mean 'Clarinet 1'\? choose one"):
            read_part(band(tmp_path), "Clarinett 1")

    def test_two_parts_of_one_name_are_told_apart_by_number(self, tmp_path: Path) -> None:
        text = score(scale_bar(), bar(attributes() + note("E4")), names=("Horn", "Horn"))
        file = open_score(saved(tmp_path, text))
        with pytest.raises(UsageError, match=r"'Horn' fits several"):
            read_part(file, "Horn")
        assert read_part(file, "2").part_id == "P2"

    def test_the_only_part_needs_no_choice(self, tmp_path: Path) -> None:
        assert read(tmp_path, score(scale_bar())).name == "Player 1"

    def test_an_exact_name_beats_the_beginning_of_another(self, tmp_path: Path) -> None:
        text = score(scale_bar(), scale_bar(), names=("Clarinet", "Clarinet in A"))
        assert read_part(open_score(saved(tmp_path, text)), "clarinet").part_id == "P1"


class TestPartList:
    def test_a_part_that_is_not_listed(self, tmp_path: Path) -> None:
        text = score(scale_bar(), scale_bar()).replace(
            '<score-part id="P2">', '<score-part id="X">'
        )
        assert [entry.name for entry in open_score(saved(tmp_path, text)).entries] == [
            "Player 1",
            "Part 2",
        ]

    def test_a_listed_part_without_music(self, tmp_path: Path) -> None:
        text = score(scale_bar(), "").replace('<part id="P2"></part>', "")
        assert [entry.name for entry in open_score(saved(tmp_path, text)).entries] == ["Player 1"]

    def test_an_empty_part_is_left_out_and_the_next_one_read(self, tmp_path: Path) -> None:
        text = score("", scale_bar(), names=("Empty", "Full"))
        part = read_part(open_score(saved(tmp_path, text)))
        assert part.name == "Full"
        assert len(part.bars[0].voices) == 1

    def test_no_part_list_at_all(self, tmp_path: Path) -> None:
        text = score(scale_bar())
        text = text[: text.index("<part-list>")] + text[text.index("</part-list>") + 12 :]
        assert read(tmp_path, text).name == "Part 1"

    def test_a_part_without_identifier(self, tmp_path: Path) -> None:
        text = score(scale_bar()).replace('<part id="P1">', "<part>")
        assert read(tmp_path, text).name == "Player 1"

    def test_an_unnamed_part_takes_its_instrument_s_name(self, tmp_path: Path) -> None:
        text = score(scale_bar(), names=("",)).replace(
            "</score-part>",
            '<score-instrument id="I1"><instrument-name>Oboe</instrument-name></score-instrument>'
            "</score-part>",
        )
        part = read(tmp_path, text)
        assert (part.name, part.instrument.name) == ("Oboe", "Oboe")

    def test_a_name_is_one_line(self, tmp_path: Path) -> None:
        assert read(tmp_path, score(scale_bar(), names=("Alto\n  Saxophone\t1",))).name == (
            "Alto Saxophone 1"
        )


def transpose(diatonic: int, chromatic: int, octave: int = 0) -> str:
    change = f"<octave-change>{octave}</octave-change>" if octave else ""
    return (
        f"<attributes><transpose><diatonic>{diatonic}</diatonic>"
        f"<chromatic>{chromatic}</chromatic>{change}</transpose></attributes>"
    )


class TestTransposition:
    def test_pitches_stay_as_written(self, tmp_path: Path) -> None:
        part = read(
            tmp_path, score(bar(attributes() + transpose(-1, -2) + note("D5")), names=("Cl.",))
        )
        (event,) = part.bars[0].voices[0].events
        assert str(event.tones[0]) == "D5"  # type: ignore[union-attr]
        assert part.instrument.name == "Clarinet in B flat"
        assert part.instrument.transposition == Transposition(-1, -2)

    def test_octaves(self, tmp_path: Path) -> None:
        part = read(
            tmp_path,
            score(bar(attributes() + transpose(-1, -2, -1) + note()), names=("Tenor Sax",)),
        )
        assert part.instrument.transposition == Transposition(-8, -14)

    @pytest.mark.parametrize(
        ("chromatic", "diatonic"),
        [(-2, -1), (-3, -2), (3, 2), (-9, -5), (-7, -4), (-14, -8), (0, 0)],
    )
    def test_steps_that_the_file_leaves_out(
        self, tmp_path: Path, chromatic: int, diatonic: int
    ) -> None:
        sign = f"<attributes><transpose><chromatic>{chromatic}</chromatic></transpose></attributes>"
        part = read(tmp_path, score(bar(attributes() + sign + note())))
        assert part.instrument.transposition == Transposition(diatonic, chromatic)

    def test_decimal_semitones(self, tmp_path: Path) -> None:
        sign = "<attributes><transpose><chromatic>-2.0</chromatic></transpose></attributes>"
        part = read(tmp_path, score(bar(attributes() + sign + note())))
        assert part.instrument.transposition == Transposition(-1, -2)

    def test_without_one_it_is_concert_with_a_remark(self, tmp_path: Path) -> None:
        part = read(tmp_path, score(scale_bar(), names=("Alto Saxophone",)))
        assert part.instrument.transposition == CONCERT
        (remark,) = part.remarks
        assert "Alto saxophone usually does (9 semitones down)" in remark

    def test_a_change_inside_the_part(self, tmp_path: Path) -> None:
        bars = (
            bar(attributes() + transpose(-1, -2) + note() * 4)
            + bar(note() * 4, "2")
            + bar(transpose(-2, -3) + note() * 4, "3")
        )
        part = read(tmp_path, score(bars, names=("Clarinet",)))
        assert [b.instrument.name for b in part.bars] == [
            "Clarinet in B flat",
            "Clarinet in B flat",
            "Clarinet in A",
        ]
        assert part.bars[2].instrument.transposition == Transposition(-2, -3)

    def test_a_change_in_the_middle_of_a_bar_counts_from_the_next(self, tmp_path: Path) -> None:
        bars = bar(
            attributes() + transpose(-1, -2) + note() * 2 + transpose(-2, -3) + note() * 2
        ) + bar(note(), "2")
        part = read(tmp_path, score(bars, names=("Clarinet",)))
        assert [b.instrument.transposition.chromatic for b in part.bars] == [-2, -3]

    def test_another_instrument_by_the_notes(self, tmp_path: Path) -> None:
        listed = "".join(
            f'<score-instrument id="I{n}"><instrument-name>{name}</instrument-name>'
            "</score-instrument>"
            for n, name in ((1, "Flute"), (2, "Piccolo"))
        )
        flute, piccolo = (note(inside=f'<instrument id="I{n}"/>') for n in (1, 2))
        bars = (
            bar(attributes() + flute * 4)
            + bar(piccolo * 4, "2")
            + bar(note("rest", 8, "whole"), "3")
            + bar(flute * 4, "4")
        )
        text = score(bars, names=("Flute 2",)).replace("</score-part>", f"{listed}</score-part>")
        part = read(tmp_path, text)
        assert [b.instrument.name for b in part.bars] == ["Flute", "Piccolo", "Piccolo", "Flute"]


class TestCredits:
    def credits(self, folder: Path, head: str) -> Credits:
        return open_score(saved(folder, score(scale_bar(), head=head))).credits

    @pytest.mark.parametrize(
        ("head", "title"),
        [
            ("<work><work-title>Harbour March</work-title></work>", "Harbour March"),
            ("<movement-title>Trio</movement-title>", "Trio"),
            (
                "<work><work-title>Suite</work-title></work><movement-title>Air</movement-title>",
                "Suite: Air",
            ),
            (
                "<work><work-title>Air</work-title></work><movement-title>Air</movement-title>",
                "Air",
            ),
            ("<work><work-title/></work>", ""),
            (
                "<credit><credit-type>title</credit-type><credit-words>The</credit-words>"
                "<credit-words>Pier</credit-words></credit>",
                "The Pier",
            ),
            ("<movement-title>  a \n b  </movement-title>", "a b"),
        ],
    )
    def test_title(self, tmp_path: Path, head: str, title: str) -> None:
        assert self.credits(tmp_path, head).title == title

    def test_composer_and_rights(self, tmp_path: Path) -> None:
        head = (
            '<identification><creator type="lyricist">L.</creator>'
            '<creator type="composer">First</creator><creator type="composer">Second</creator>'
            "<rights>Public domain</rights><rights>Engraving: all rights</rights></identification>"
        )
        found = self.credits(tmp_path, head)
        assert found.composer == "First, Second"
        assert found.rights == "Public domain; Engraving: all rights"

    def test_a_title_full_of_lilypond_is_kept_as_text(self, tmp_path: Path) -> None:
        title = r'"\markup #(system \"id\") %{ x'
        head = f"<movement-title>{title.replace('&', '&amp;')}</movement-title>"
        assert self.credits(tmp_path, head).title == title

    def test_nothing_said(self, tmp_path: Path) -> None:
        assert self.credits(tmp_path, "") == Credits()

    def test_the_part_carries_them_with_its_source(self, tmp_path: Path) -> None:
        path = saved(tmp_path, score(scale_bar(), head="<movement-title>Air</movement-title>"))
        part = read_part(open_score(path))
        assert (part.credits.title, part.source, part.part_id) == ("Air", str(path), "P1")


class TestRemarks:
    def test_a_plain_part_has_none(self, tmp_path: Path) -> None:
        assert read(tmp_path, score(scale_bar(), names=("Flute",))).remarks == ()

    def test_bars_are_named_once_and_not_without_end(self, tmp_path: Path) -> None:
        cue = note(before="<cue/>") * 4
        bars = scale_bar() + "".join(bar(cue, str(n)) for n in range(2, 15))
        (remark,) = read(tmp_path, score(bars)).remarks
        assert remark == (
            "Cue notes belong to another player and are not drilled "
            "(bars 2, 3, 4, 5, 6, 7, 8, 9 and 5 more)."
        )

    def test_two_bars(self, tmp_path: Path) -> None:
        bars = scale_bar() + bar(note(before="<cue/>"), "2a") + bar(note(before="<cue/>"), "7")
        (remark,) = read(tmp_path, score(bars)).remarks
        assert remark.endswith("(bars 2a and 7).")

    def test_a_concert_score(self, tmp_path: Path) -> None:
        # MusicXML 4.0, elements concert-score and for-part.
        for_part = (
            "<attributes><for-part><part-transpose><diatonic>-1</diatonic>"
            "<chromatic>-2</chromatic></part-transpose></for-part></attributes>"
        )
        head = "<defaults><concert-score/></defaults>"
        text = score(bar(attributes() + for_part + note()), scale_bar(), head=head)
        assert any("concert pitch" in remark for remark in read(tmp_path, text, "1").remarks)
        assert read(tmp_path, text, "2").remarks == ()

    @pytest.mark.parametrize("style", ["slash", "measure-repeat", "beat-repeat"])
    def test_slashes_and_repeat_signs(self, tmp_path: Path, style: str) -> None:
        sign = f'<attributes><measure-style><{style} type="start"/></measure-style></attributes>'
        part = read(tmp_path, score(scale_bar() + bar(sign, "2")))
        assert any("does not spell out (bar 2)" in remark for remark in part.remarks)


def test_read_all_reads_every_entry(tmp_path: Path) -> None:
    file = band(tmp_path)
    assert [part.name for part in read_all(file)] == [entry.name for entry in file.entries]


@pytest.mark.parametrize(
    ("name", "listed", "instrument"),
    [
        ("Alto 1", "Alto Saxophone", "Alto saxophone"),
        ("Tenor", "Tenor Saxophone", "Tenor saxophone"),
        ("Bass", "Bass Clarinet", "Bass clarinet"),
        ("Alto 1", "Piano", "Alto"),
        ("Alto 1", "", "Alto"),
        ("Clarinet 3", "Bass Clarinet", "Clarinet"),
    ],
)
def test_a_part_that_is_called_as_a_voice_is_played_on_what_is_listed(
    tmp_path: Path, name: str, listed: str, instrument: str
) -> None:
    """The saxophones of a band are called "Alto 1", "Tenor"; others list what only plays back."""
    text = score(scale_bar(), names=(name,))
    player = (
        f'<score-instrument id="I1"><instrument-name>{listed}</instrument-name></score-instrument>'
    )
    part = read(tmp_path, text.replace("</score-part>", f"{player}</score-part>"))
    assert part.instrument.name.startswith(instrument)
