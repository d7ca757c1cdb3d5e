"""Bars: numbers, lengths, pickups, split and irregular bars, signs, repeats."""

from __future__ import annotations

from pathlib import Path

import pytest

from drills.music.score import Bar, Part
from drills.music.time import TimeSignature
from tests.reading.made import (
    attributes,
    bar,
    note,
    notes_of,
    pitches,
    read,
    rests_of,
    scale_bar,
    score,
)


def quarters(count: int) -> str:
    return note() * count


def sizes(part: Part) -> list[tuple[str, str, str]]:
    """Number, length and offset of every bar."""
    return [(b.number, str(b.length), str(b.offset)) for b in part.bars]


def only_bar(folder: Path, content: str) -> Bar:
    return read(folder, score(bar(content))).bars[0]


class TestNumbers:
    @pytest.mark.parametrize("number", ["0", "12a", "X1", "1.5", "2-4", "-1", "A1", "", "007"])
    def test_the_number_is_kept_as_it_stands(self, tmp_path: Path, number: str) -> None:
        part = read(tmp_path, score(scale_bar("9") + bar(quarters(4), number)))
        assert part.bars[1].number == number

    def test_numbers_may_repeat_and_indices_do_not(self, tmp_path: Path) -> None:
        part = read(tmp_path, score(scale_bar() + bar(quarters(4), "1") + bar(quarters(4), "1")))
        assert [(b.index, b.number) for b in part.bars] == [(0, "1"), (1, "1"), (2, "1")]

    def test_a_bar_without_number(self, tmp_path: Path) -> None:
        text = score(scale_bar()).replace(' number="1"', "")
        assert read(tmp_path, text).bars[0].number == ""


class TestLengths:
    def test_a_full_bar(self, tmp_path: Path) -> None:
        assert sizes(read(tmp_path, score(scale_bar()))) == [("1", "4", "0")]

    @pytest.mark.parametrize("number", ["0", "1"])
    def test_a_pickup(self, tmp_path: Path, number: str) -> None:
        bars = bar(attributes(time="3/4") + note(), number, ' implicit="yes"')
        part = read(tmp_path, score(bars + bar(quarters(3), "2")))
        assert sizes(part) == [(number, "1", "2"), ("2", "3", "0")]

    def test_a_pickup_that_begins_with_hidden_rests(self, tmp_path: Path) -> None:
        hidden = note("rest", attribute=' print-object="no"')
        bars = bar(attributes() + hidden * 3 + note(), "0") + bar(quarters(4), "1")
        part = read(tmp_path, score(bars))
        assert sizes(part)[0] == ("0", "4", "0")
        assert [rest.hidden for rest in rests_of(part.bars[0])] == [True, True, True]

    def test_a_split_bar(self, tmp_path: Path) -> None:
        bars = scale_bar("4") + bar(quarters(2), "5") + bar(quarters(2), "X1", ' implicit="yes"')
        part = read(tmp_path, score(bars + bar(quarters(4), "6")))
        assert sizes(part) == [
            ("4", "4", "0"),
            ("5", "2", "0"),
            ("X1", "2", "2"),
            ("6", "4", "0"),
        ]

    def test_a_bar_split_in_three(self, tmp_path: Path) -> None:
        bars = scale_bar() + bar(quarters(1), "2") + bar(quarters(1), "X1") + bar(quarters(2), "X2")
        assert [size[2] for size in sizes(read(tmp_path, score(bars)))] == ["0", "0", "1", "2"]

    def test_a_short_last_bar_completes_the_pickup(self, tmp_path: Path) -> None:
        bars = bar(attributes() + note(), "0") + bar(quarters(4), "1") + bar(quarters(3), "2")
        assert sizes(read(tmp_path, score(bars)))[-1] == ("2", "3", "0")

    def test_the_pickup_of_a_second_movement(self, tmp_path: Path) -> None:
        bars = scale_bar() + bar(note(), "0", ' implicit="yes"') + bar(quarters(4), "1")
        assert sizes(read(tmp_path, score(bars)))[1] == ("0", "1", "3")

    def test_a_split_first_bar_is_no_pickup(self, tmp_path: Path) -> None:
        bars = bar(attributes() + quarters(2)) + bar(quarters(2), "X1", ' implicit="yes"')
        part = read(tmp_path, score(bars + bar(quarters(4), "2")))
        assert [size[2] for size in sizes(part)] == ["0", "2", "0"]

    @pytest.mark.parametrize(
        "line", ["<bar-style>light-light</bar-style>", '<repeat direction="backward"/>']
    )
    def test_a_pickup_after_a_double_bar_line(self, tmp_path: Path, line: str) -> None:
        end = f'<barline location="right">{line}</barline>'
        bars = bar(attributes() + quarters(4) + end) + bar(note(), "2") + bar(quarters(4), "3")
        assert sizes(read(tmp_path, score(bars)))[1] == ("2", "1", "3")

    def test_a_section_that_ends_short_and_one_that_begins_with_a_pickup(
        self, tmp_path: Path
    ) -> None:
        end = '<barline location="right"><bar-style>light-light</bar-style></barline>'
        bars = scale_bar() + bar(quarters(3) + end, "2") + bar(note(), "X1") + bar(quarters(4), "3")
        assert [size[2] for size in sizes(read(tmp_path, score(bars)))] == ["0", "0", "3", "0"]

    def test_a_short_bar_in_the_middle(self, tmp_path: Path) -> None:
        bars = scale_bar() + bar(quarters(3), "2") + bar(quarters(4), "3")
        assert sizes(read(tmp_path, score(bars)))[1] == ("2", "3", "0")

    def test_an_overfull_bar(self, tmp_path: Path) -> None:
        bars = scale_bar() + bar(quarters(5), "2") + bar(quarters(4), "3")
        assert sizes(read(tmp_path, score(bars)))[1:] == [("2", "5", "0"), ("3", "4", "0")]

    def test_an_empty_bar_has_the_length_of_its_time(self, tmp_path: Path) -> None:
        assert sizes(read(tmp_path, score(scale_bar() + bar("", "2"))))[1] == ("2", "4", "0")

    def test_room_that_is_left_by_forward_counts(self, tmp_path: Path) -> None:
        rest = "<forward><duration>4</duration></forward>"
        assert sizes(read(tmp_path, score(scale_bar() + bar(quarters(2) + rest, "2"))))[1][1] == "4"

    def test_a_bar_that_one_exporter_left_short_is_as_long_as_in_the_other_parts(
        self, tmp_path: Path
    ) -> None:
        short = scale_bar() + bar(quarters(2), "2")
        full = scale_bar() + bar(quarters(4), "2")
        assert sizes(read(tmp_path, score(short, full), "1"))[1] == ("2", "4", "0")

    def test_a_rest_over_the_whole_pickup(self, tmp_path: Path) -> None:
        rest = '<note><rest measure="yes"/><duration>8</duration></note>'
        resting = bar(attributes() + rest, "0", ' implicit="yes"') + bar(quarters(4), "1")
        playing = bar(attributes() + note(), "0", ' implicit="yes"') + bar(quarters(4), "1")
        part = read(tmp_path, score(resting, playing), "1")
        assert sizes(part)[0] == ("0", "1", "3")
        assert [(str(rest.length), rest.value) for rest in rests_of(part.bars[0])] == [("1", None)]

    def test_a_lone_whole_rest_stands_for_a_bar_of_three_quarters(self, tmp_path: Path) -> None:
        bars = bar(attributes(time="3/4") + quarters(3)) + bar(note("rest", 8, "whole"), "2")
        part = read(tmp_path, score(bars + bar(quarters(3), "3")))
        assert sizes(part)[1] == ("2", "3", "0")
        assert [str(rest.length) for rest in rests_of(part.bars[1])] == ["3"]

    def test_rests_of_many_bars_stay_single_bars(self, tmp_path: Path) -> None:
        style = "<measure-style><multiple-rest>3</multiple-rest></measure-style>"
        rest = '<note><rest measure="yes"/><duration>8</duration></note>'
        bars = (
            scale_bar()
            + bar(f"<attributes>{style}</attributes>{rest}", "2")
            + bar(rest, "3")
            + bar(rest, "4")
        )
        part = read(tmp_path, score(bars))
        assert sizes(part) == [(str(n), "4", "0") for n in range(1, 5)]
        assert [len(rests_of(b)) for b in part.bars[1:]] == [1, 1, 1]


class TestTime:
    @pytest.mark.parametrize(
        ("written", "counts", "unit"),
        [
            ("<beats>4</beats><beat-type>4</beat-type>", (4,), 4),
            ("<beats>3+2</beats><beat-type>8</beat-type>", (3, 2), 8),
            (
                "<beats>2</beats><beat-type>4</beat-type><beats>3</beats><beat-type>8</beat-type>",
                (4, 3),
                8,
            ),
            (" <beats> 6 </beats><beat-type> 8 </beat-type>", (6,), 8),
        ],
    )
    def test_signatures(
        self, tmp_path: Path, written: str, counts: tuple[int, ...], unit: int
    ) -> None:
        content = attributes().replace("<beats>4</beats><beat-type>4</beat-type>", written)
        time = only_bar(tmp_path, content + note()).time
        assert (time.counts, time.unit) == (counts, unit)

    @pytest.mark.parametrize(
        ("symbol", "expected"),
        [("common", "common"), ("cut", "cut"), ("normal", ""), ("dotted-note", "")],
    )
    def test_symbols(self, tmp_path: Path, symbol: str, expected: str) -> None:
        content = attributes().replace("<time>", f'<time symbol="{symbol}">')
        assert only_bar(tmp_path, content + note()).time.symbol == expected

    @pytest.mark.parametrize(
        "broken",
        [
            "<beats>4</beats><beat-type>3</beat-type>",
            "<beats>0</beats><beat-type>4</beat-type>",
            "<beats>four</beats><beat-type>4</beat-type>",
            "<beats/><beat-type/>",
            "",
        ],
    )
    def test_unreadable_signatures_leave_the_one_before(self, tmp_path: Path, broken: str) -> None:
        change = f"<attributes><time>{broken}</time></attributes>"
        bars = bar(attributes(time="3/4") + quarters(3)) + bar(change + quarters(3), "2")
        assert read(tmp_path, score(bars)).bars[1].time == TimeSignature((3,), 4)

    def test_a_hidden_signature(self, tmp_path: Path) -> None:
        content = attributes().replace("<time>", '<time print-object="no">')
        assert not only_bar(tmp_path, content + quarters(4)).time_shown

    def test_music_without_a_time_signature(self, tmp_path: Path) -> None:
        content = attributes().replace(
            "<time><beats>4</beats><beat-type>4</beat-type></time>", "<time><senza-misura/></time>"
        )
        part = read(tmp_path, score(bar(content + quarters(7)) + bar(quarters(2), "2")))
        assert [str(b.length) for b in part.bars] == ["7", "2"]
        assert not any(b.time_shown for b in part.bars)
        assert any("no time signature" in remark for remark in part.remarks)

    def test_a_change_at_the_end_of_a_bar_is_the_next_one(self, tmp_path: Path) -> None:
        change = "<attributes><time><beats>3</beats><beat-type>4</beat-type></time></attributes>"
        bars = bar(attributes() + quarters(4) + change) + bar(quarters(3), "2")
        assert [str(b.time) for b in read(tmp_path, score(bars)).bars] == ["4/4", "3/4"]

    def test_a_change_inside_a_bar_is_read_with_the_next_and_remarked(self, tmp_path: Path) -> None:
        change = "<attributes><time><beats>3</beats><beat-type>4</beat-type></time></attributes>"
        bars = bar(attributes() + quarters(2) + change + quarters(2)) + bar(quarters(3), "2")
        part = read(tmp_path, score(bars))
        assert [str(b.time) for b in part.bars] == ["4/4", "3/4"]
        assert any("middle of a bar" in remark for remark in part.remarks)


class TestKeyAndClef:
    def test_key_and_mode(self, tmp_path: Path) -> None:
        content = attributes().replace(
            "<fifths>0</fifths>", "<cancel>2</cancel><fifths>-3</fifths><mode>minor</mode>"
        )
        key = only_bar(tmp_path, content + note()).key
        assert (key.fifths, key.mode) == (-3, "minor")

    def test_a_key_of_its_own(self, tmp_path: Path) -> None:
        own = (
            "<key-step>F</key-step><key-alter>1</key-alter>"
            "<key-step>B</key-step><key-alter>-1</key-alter>"
        )
        key = only_bar(tmp_path, attributes().replace("<fifths>0</fifths>", own) + note()).key
        assert [int(key.alter_of(step)) for step in "FBC"] == [1, -1, 0]

    def test_changes_inside_a_bar(self, tmp_path: Path) -> None:
        change = (
            "<attributes><key><fifths>2</fifths></key>"
            "<clef><sign>F</sign><line>4</line></clef></attributes>"
        )
        bars = bar(attributes() + quarters(2) + change + quarters(2)) + bar(quarters(4), "2")
        first, second = read(tmp_path, score(bars)).bars
        assert (first.key.fifths, first.clef.sign) == (0, "G")
        assert [(str(at), key.fifths) for at, key in first.key_changes] == [("2", 2)]
        assert [(str(at), clef.sign) for at, clef in first.clef_changes] == [("2", "F")]
        assert (second.key.fifths, second.clef.sign, second.clef_changes) == (2, "F", ())

    def test_a_clef_at_the_end_of_a_bar_is_in_force_in_the_next(self, tmp_path: Path) -> None:
        change = "<attributes><clef><sign>C</sign><line>4</line></clef></attributes>"
        bars = bar(attributes() + quarters(4) + change) + bar(quarters(4), "2")
        first, second = read(tmp_path, score(bars)).bars
        assert first.clef_changes == ()
        assert (second.clef.sign, second.clef.line) == ("C", 4)

    @pytest.mark.parametrize(
        ("written", "clef"),
        [
            (
                "<sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change>",
                ("G", 2, -1),
            ),
            ("<sign>F</sign>", ("F", 4, 0)),
            ("<sign>C</sign>", ("C", 3, 0)),
            ("<sign>percussion</sign>", ("percussion", 3, 0)),
            ("<sign>TAB</sign>", ("TAB", 5, 0)),
            ("<sign>unheard of</sign>", ("none", 3, 0)),
        ],
    )
    def test_clefs(self, tmp_path: Path, written: str, clef: tuple[str, int, int]) -> None:
        content = attributes().replace("<sign>G</sign><line>2</line>", written)
        found = only_bar(tmp_path, content + note()).clef
        assert (found.sign, found.line, found.octave_change) == clef


class TestBarLines:
    def line(self, content: str, location: str = "right") -> str:
        return f'<barline location="{location}">{content}</barline>'

    def test_repeats(self, tmp_path: Path) -> None:
        forward = self.line('<repeat direction="forward"/>', "left")
        back = self.line('<repeat direction="backward"/>')
        thrice = self.line('<repeat direction="backward" times="3"/>')
        bars = (
            bar(attributes() + quarters(4) + back)
            + bar(forward + quarters(4), "2")
            + bar(quarters(4) + thrice, "3")
        )
        found = [(b.starts_repeat, b.ends_repeat) for b in read(tmp_path, score(bars)).bars]
        assert found == [(False, 2), (True, 0), (False, 3)]

    def test_endings_stand_on_every_bar_of_theirs(self, tmp_path: Path) -> None:
        def ending(number: str, kind: str, location: str) -> str:
            return self.line(f'<ending number="{number}" type="{kind}"/>', location)

        bars = (
            scale_bar()
            + bar(ending("1, 2", "start", "left") + quarters(4), "2")
            + bar(quarters(4) + ending("1, 2", "stop", "right"), "3")
            + bar(
                ending("3", "start", "left") + quarters(4) + ending("3", "discontinue", "right"),
                "4",
            )
            + bar(quarters(4), "5")
        )
        found = [b.ending for b in read(tmp_path, score(bars)).bars]
        assert found == ["", "1, 2", "1, 2", "3", ""]

    def test_repeats_that_stand_in_another_part_only(self, tmp_path: Path) -> None:
        other = bar(attributes() + quarters(4) + self.line('<repeat direction="backward"/>'))
        part = read(tmp_path, score(other, scale_bar()), "2")
        assert part.bars[0].ends_repeat == 2

    @pytest.mark.parametrize(
        ("style", "final"),
        [("light-heavy", True), ("light-light", True), ("regular", False), ("dashed", False)],
    )
    def test_final_and_double_bar_lines(self, tmp_path: Path, style: str, final: bool) -> None:
        line = self.line(f"<bar-style>{style}</bar-style>")
        assert only_bar(tmp_path, attributes() + quarters(4) + line).final is final

    def test_an_ending_without_end_stops_with_the_part(self, tmp_path: Path) -> None:
        line = self.line('<ending number="1" type="start"/>', "left")
        part = read(tmp_path, score(scale_bar() + bar(line + quarters(4), "2"), scale_bar()), "2")
        assert [b.ending for b in part.bars] == [""]


class TestShapes:
    def test_timewise(self, tmp_path: Path) -> None:
        # The same music as partwise, with parts inside bars (MusicXML 4.0, score-timewise).
        text = (
            '<score-timewise version="1.0"><part-list>'
            '<score-part id="P1"><part-name>One</part-name></score-part>'
            '<score-part id="P2"><part-name>Two</part-name></score-part></part-list>'
            f'<measure number="1"><part id="P1">{attributes()}{quarters(4)}</part>'
            f'<part id="P2">{attributes()}{note("E4") * 4}</part></measure>'
            f'<measure number="2"><part id="P1">{quarters(4)}</part>'
            f'<part id="P2">{note("F4") * 4}</part></measure></score-timewise>'
        )
        part = read(tmp_path, text, "Two")
        assert [b.number for b in part.bars] == ["1", "2"]
        assert [pitches(b)[0] for b in part.bars] == ["E4", "F4"]

    def test_namespaces(self, tmp_path: Path) -> None:
        plain = score(scale_bar())
        default = plain.replace("<score-partwise", '<score-partwise xmlns="http://example.org/m"')
        assert pitches(read(tmp_path, default).bars[0]) == ["C5", "D5", "E5", "F5"]
        prefixed = plain
        for tag in ("score-partwise", "part-list", "score-part", "part-name", "part", "measure"):
            prefixed = prefixed.replace(f"<{tag} ", f"<m:{tag} ").replace(f"<{tag}>", f"<m:{tag}>")
            prefixed = prefixed.replace(f"</{tag}>", f"</m:{tag}>")
        prefixed = prefixed.replace("<m:score-partwise ", '<m:score-partwise xmlns:m="urn:m" ')
        assert pitches(read(tmp_path, prefixed).bars[0]) == ["C5", "D5", "E5", "F5"]

    def test_comments_and_instructions_everywhere(self, tmp_path: Path) -> None:
        text = score(scale_bar(), scale_bar())
        text = text.replace("<note>", "<!-- a note --><note>").replace("<step>", "<?x y?><step>")
        text = text.replace("<measure", "<!--=====--><measure").replace(
            "<part ", "<!-- P --><part "
        )
        assert pitches(read(tmp_path, text, "2").bars[0]) == ["C5", "D5", "E5", "F5"]

    def test_notes_know_where_they_come_from(self, tmp_path: Path) -> None:
        part = read(tmp_path, score(scale_bar()))
        assert all(event.origin is not None for event in notes_of(part.bars[0]))
        assert [str(event.origin.start) for event in notes_of(part.bars[0]) if event.origin] == [
            "0",
            "1",
            "2",
            "3",
        ]
