"""Exact starts and lengths from rounded durations.

The arithmetic is that of the MusicXML 4.0 documentation: ``<duration>`` counts
divisions of a quarter, ``<time-modification>`` says how many notes stand in the
time of how many.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.reading.made import attributes, bar, note, notes_of, read, score, starts_and_lengths


def modified(actual: int, normal: int) -> str:
    return (
        f"<time-modification><actual-notes>{actual}</actual-notes>"
        f"<normal-notes>{normal}</normal-notes></time-modification>"
    )


def backup(duration: int) -> str:
    return f"<backup><duration>{duration}</duration></backup>"


def forward(duration: int) -> str:
    return f"<forward><duration>{duration}</duration></forward>"


def in_a_bar(folder: Path, content: str, divisions: int, voice: str = "1") -> list[tuple[str, str]]:
    part = read(folder, score(bar(attributes(divisions) + content)))
    return starts_and_lengths(part.bars[0], voice)


@pytest.mark.parametrize(
    ("divisions", "durations"),
    [
        (256, (85, 85, 86)),
        (256, (85, 85, 85)),
        (480, (160, 160, 160)),
        (1, (0, 0, 1)),
        (4, (1, 1, 2)),
    ],
)
def test_a_triplet_is_exact_however_it_is_rounded(
    tmp_path: Path, divisions: int, durations: tuple[int, ...]
) -> None:
    triplet = "".join(note(duration=d, kind="eighth", inside=modified(3, 2)) for d in durations)
    quarter = note(duration=divisions)
    assert in_a_bar(tmp_path, triplet + quarter, divisions)[:4] == [
        ("0", "1/3"),
        ("1/3", "1/3"),
        ("2/3", "1/3"),
        ("1", "1"),
    ]


def test_a_septuplet_and_what_follows(tmp_path: Path) -> None:
    # 7 sixteenths in the time of 4: 23/160 of a quarter is the file's rounding of 1/7.
    seven = note(duration=23, kind="16th", inside=modified(7, 4)) * 7
    found = in_a_bar(tmp_path, seven + note(duration=160), 160)
    assert found[:2] == [("0", "1/7"), ("1/7", "1/7")]
    assert found[7] == ("1", "1")


def test_a_duplet_in_compound_time(tmp_path: Path) -> None:
    duplet = note(duration=3, kind="eighth", inside=modified(2, 3)) * 2
    part = read(
        tmp_path, score(bar(attributes(4, "6/8") + duplet + note(duration=6, inside="<dot/>")))
    )
    assert starts_and_lengths(part.bars[0]) == [("0", "3/4"), ("3/4", "3/4"), ("3/2", "3/2")]


def test_nested_tuplets(tmp_path: Path) -> None:
    # A quintuplet of eighths inside a triplet of quarters: 3:2 of 5:4 of an eighth.
    inner = note(duration=8, kind="eighth", inside=modified(15, 8)) * 5
    outer = note(duration=20, inside=modified(3, 2))
    found = in_a_bar(tmp_path, outer + inner, 30)
    assert found == [
        ("0", "2/3"),
        ("2/3", "4/15"),
        ("14/15", "4/15"),
        ("6/5", "4/15"),
        ("22/15", "4/15"),
        ("26/15", "4/15"),
    ]


def test_another_voice_after_a_rounded_one(tmp_path: Path) -> None:
    triplet = note(duration=85, kind="eighth", inside=modified(3, 2)) * 3
    second = note("E4", 255, voice="2") + note("F4", 256, voice="2")
    content = triplet + note(duration=256) + backup(511) + second
    assert in_a_bar(tmp_path, content, 256, "2") == [("0", "1"), ("1", "1")]


def test_going_back_to_the_middle_of_a_rounded_triplet(tmp_path: Path) -> None:
    triplet = note(duration=85, kind="eighth", inside=modified(3, 2)) * 3
    inner = note("E4", 85, "eighth", inside=modified(3, 2), voice="2")
    assert in_a_bar(tmp_path, triplet + backup(85) + inner, 256, "2") == [("2/3", "1/3")]


def test_forward_over_a_beat_after_a_rounded_triplet(tmp_path: Path) -> None:
    triplet = note(duration=85, kind="eighth", inside=modified(3, 2)) * 3
    content = triplet + forward(256) + note(duration=256)
    assert in_a_bar(tmp_path, content, 256)[-1] == ("2", "1")


def test_a_backup_beyond_the_start_of_the_bar_stops_there(tmp_path: Path) -> None:
    assert in_a_bar(tmp_path, note() + backup(99) + note("E4", voice="2"), 2, "2") == [("0", "1")]


def test_an_unmarked_tuplet_is_told_by_its_duration(tmp_path: Path) -> None:
    part = read(tmp_path, score(bar(attributes(3) + note(duration=1, kind="eighth") * 3)))
    assert starts_and_lengths(part.bars[0]) == [("0", "1/3"), ("1/3", "1/3"), ("2/3", "1/3")]
    marks = [event.tuplets[0] for event in notes_of(part.bars[0])]
    assert {(mark.ratio.actual, mark.ratio.normal) for mark in marks} == {(3, 2)}
    assert [(mark.starts, mark.stops) for mark in marks] == [
        (True, False),
        (False, False),
        (False, True),
    ]


def test_without_type_the_duration_says_the_value(tmp_path: Path) -> None:
    part = read(tmp_path, score(bar(attributes(4) + note(duration=6, kind="") + note(duration=2))))
    first = notes_of(part.bars[0])[0]
    assert (first.value.kind, first.value.dots) == ("quarter", 1)


def test_without_duration_the_type_says_the_length(tmp_path: Path) -> None:
    assert in_a_bar(tmp_path, note(duration="") + note(), 2) == [("0", "1"), ("1", "1")]


def test_where_both_contradict_the_duration_wins_and_is_remarked(tmp_path: Path) -> None:
    part = read(tmp_path, score(bar(attributes(2) + note(duration=4) + note(duration=4))))
    assert starts_and_lengths(part.bars[0]) == [("0", "2"), ("2", "2")]
    assert notes_of(part.bars[0])[0].value.kind == "half"
    assert any("contradict each other" in remark for remark in part.remarks)


def test_a_rounded_dotted_value_is_believed_where_it_makes_the_bar_right(tmp_path: Path) -> None:
    # One division of a quarter cannot say a dotted quarter: the file counts it as 2.
    content = note(duration=2, inside="<dot/>") * 2
    part = read(tmp_path, score(bar(attributes(1, "3/4") + content)))
    assert starts_and_lengths(part.bars[0]) == [("0", "3/2"), ("3/2", "3/2")]


def test_and_the_duration_where_that_makes_the_bar_right(tmp_path: Path) -> None:
    content = note(duration=2, inside="<dot/>") * 2
    part = read(tmp_path, score(bar(attributes(1, "4/4") + content)))
    assert starts_and_lengths(part.bars[0]) == [("0", "2"), ("2", "2")]


def test_a_length_of_five_sixteenths_is_written_as_two_tied_notes(tmp_path: Path) -> None:
    part = read(tmp_path, score(bar(attributes(4) + note(duration=5, kind="") + note(duration=4))))
    first, second, third = notes_of(part.bars[0])
    assert [str(event.length) for event in (first, second, third)] == ["1", "1/4", "1"]
    assert (first.tie_start, second.tie_stop, second.tie_start) == (True, True, False)
    assert third.is_attack
    assert not second.is_attack


def test_decimal_durations(tmp_path: Path) -> None:
    assert in_a_bar(tmp_path, note(duration="2.0") + note(duration=" 1.5 ", kind=""), 2) == [
        ("0", "1"),
        ("1", "3/4"),
    ]


def test_divisions_that_change_inside_a_bar(tmp_path: Path) -> None:
    change = "<attributes><divisions>8</divisions></attributes>"
    assert in_a_bar(
        tmp_path, note() + change + note(duration=8) + note(duration=4, kind="eighth"), 2
    ) == [
        ("0", "1"),
        ("1", "1"),
        ("2", "1/2"),
    ]


def test_divisions_stay_in_force(tmp_path: Path) -> None:
    bars = bar(attributes(6) + note(duration=24, kind="whole")) + bar(note(duration=6), "2")
    assert starts_and_lengths(read(tmp_path, score(bars)).bars[1]) == [("0", "1")]


def test_two_notes_of_a_tremolo_last_half_of_what_is_printed(tmp_path: Path) -> None:
    # MusicXML 4.0, element tremolo: both notes carry the value of the two together.
    def half(kind: str) -> str:
        sign = f'<ornaments><tremolo type="{kind}">3</tremolo></ornaments>'
        return note(duration=2, kind="half", inside=modified(2, 1), notations=sign)

    part = read(tmp_path, score(bar(attributes(2) + half("start") + half("stop"))))
    assert starts_and_lengths(part.bars[0]) == [("0", "1"), ("1", "1")]
    assert [event.value.kind for event in notes_of(part.bars[0])] == ["quarter", "quarter"]
    assert any("tremolo" in remark for remark in part.remarks)


def test_a_note_of_no_length_is_left_out_and_remarked(tmp_path: Path) -> None:
    part = read(tmp_path, score(bar(attributes(4) + note(duration=0, kind="") + note(duration=4))))
    assert starts_and_lengths(part.bars[0]) == [("0", "1")]
    assert any("without any length" in remark for remark in part.remarks)


@pytest.mark.parametrize("kind", ["1024th", "512th", "breve", "long", "maxima"])
def test_extreme_values(tmp_path: Path, kind: str) -> None:
    lengths = {"1024th": "1/256", "512th": "1/128", "breve": "8", "long": "16", "maxima": "32"}
    duration = {"1024th": 1, "512th": 2, "breve": 2048, "long": 4096, "maxima": 8192}[kind]
    assert in_a_bar(tmp_path, note(duration=duration, kind=kind), 256) == [("0", lengths[kind])]
