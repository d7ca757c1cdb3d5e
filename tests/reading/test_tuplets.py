"""Tuplets: which notes are in one, and where the brackets begin and end."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from drills.music.notes import Note, Rest
from drills.music.time import Length, NoteValue, Tuplet
from drills.reading.clusters import Cluster
from drills.reading.timing import NoteTime
from drills.reading.tuplets import brackets
from tests.reading.made import attributes, bar, note, read, score

Bracket = tuple[int, int, bool, bool]


def modified(actual: int, normal: int) -> str:
    return (
        f"<time-modification><actual-notes>{actual}</actual-notes>"
        f"<normal-notes>{normal}</normal-notes></time-modification>"
    )


def sign(kind: str, number: int | None = None, actual: int = 0, normal: int = 0) -> str:
    """A ``<tuplet>``, with its own ratio where one is given."""
    attribute = f' number="{number}"' if number else ""
    ratio = (
        f"<tuplet-actual><tuplet-number>{actual}</tuplet-number></tuplet-actual>"
        f"<tuplet-normal><tuplet-number>{normal}</tuplet-number></tuplet-normal>"
        if actual
        else ""
    )
    return f'<tuplet type="{kind}"{attribute}>{ratio}</tuplet>'


def marks(folder: Path, content: str, time: str = "4/4") -> list[list[Bracket]]:
    """The brackets of every event of the bar, outermost first."""
    part = read(folder, score(bar(attributes(240, time) + content)))
    return [
        [(b.ratio.actual, b.ratio.normal, b.starts, b.stops) for b in event.tuplets]
        for event in part.bars[0].voices[0].events
    ]


FIRST, MIDDLE, LAST = (True, False), (False, False), (False, True)


def eighth(notations: str = "", pitch: str = "C5") -> str:
    return note(pitch, 80, "eighth", inside=modified(3, 2), notations=notations)


def test_brackets_as_the_file_has_them(tmp_path: Path) -> None:
    content = eighth(sign("start")) + eighth() + eighth(sign("stop"))
    assert marks(tmp_path, content) == [[(3, 2, *FIRST)], [(3, 2, *MIDDLE)], [(3, 2, *LAST)]]


def test_brackets_that_the_file_leaves_out(tmp_path: Path) -> None:
    found = marks(tmp_path, eighth() * 6)
    assert found == [[(3, 2, *FIRST)], [(3, 2, *MIDDLE)], [(3, 2, *LAST)]] * 2


def test_quarter_and_eighth_fill_a_triplet(tmp_path: Path) -> None:
    quarter = note(duration=160, inside=modified(3, 2))
    assert (
        marks(tmp_path, quarter + eighth() + eighth() + quarter)
        == [
            [(3, 2, *FIRST)],
            [(3, 2, *LAST)],
        ]
        * 2
    )


def test_a_rest_belongs_to_its_triplet(tmp_path: Path) -> None:
    content = eighth() + note("rest", 80, "eighth", inside=modified(3, 2)) + eighth()
    assert marks(tmp_path, content) == [[(3, 2, *FIRST)], [(3, 2, *MIDDLE)], [(3, 2, *LAST)]]


def test_one_bracket_over_two_triplets(tmp_path: Path) -> None:
    content = eighth(sign("start")) + eighth() * 4 + eighth(sign("stop"))
    found = marks(tmp_path, content)
    assert found[0] == [(3, 2, *FIRST)]
    assert found[5] == [(3, 2, *LAST)]
    assert found[2] == found[3] == [(3, 2, *MIDDLE)]


def test_a_bracket_that_is_never_closed_ends_with_its_notes(tmp_path: Path) -> None:
    content = eighth(sign("start")) + eighth() + eighth() + note(duration=240)
    assert marks(tmp_path, content) == [[(3, 2, *FIRST)], [(3, 2, *MIDDLE)], [(3, 2, *LAST)], []]


def test_a_bracket_that_is_never_opened(tmp_path: Path) -> None:
    content = eighth() + eighth() + eighth(sign("stop")) + note(duration=240)
    assert marks(tmp_path, content) == [[(3, 2, *FIRST)], [(3, 2, *MIDDLE)], [(3, 2, *LAST)], []]


def test_an_incomplete_tuplet_is_closed_at_the_end_of_the_bar(tmp_path: Path) -> None:
    assert marks(tmp_path, note(duration=720, kind="half", inside="<dot/>") + eighth() * 2) == [
        [],
        [(3, 2, *FIRST)],
        [(3, 2, *LAST)],
    ]


@pytest.mark.parametrize(("actual", "normal"), [(6, 4), (5, 4), (7, 4), (9, 8), (4, 3), (2, 3)])
def test_ratios_are_kept_as_printed(tmp_path: Path, actual: int, normal: int) -> None:
    duration = 60 * normal / actual
    content = note(duration=duration, kind="16th", inside=modified(actual, normal)) * actual
    found = marks(tmp_path, content)
    assert [len(brackets) for brackets in found] == [1] * actual
    assert found[0] == [(actual, normal, *FIRST)]
    assert found[-1] == [(actual, normal, *LAST)]


def nested(outer: str, inner: str) -> str:
    """Three quarters in the time of two, the middle one a quintuplet of sixteenths."""
    quarter = note(duration=160, inside=modified(3, 2), notations=outer)
    fives = [
        note(duration=32, kind="16th", inside=modified(15, 8), notations=n)
        for n in (inner, "", "", "", sign("stop", 2) if inner else "")
    ]
    last = note(duration=160, inside=modified(3, 2), notations=sign("stop", 1) if outer else "")
    return quarter + "".join(fives) + last


@pytest.mark.parametrize("inner", [sign("start", 2), sign("start", 2, 5, 4)])
def test_nested_tuplets(tmp_path: Path, inner: str) -> None:
    found = marks(tmp_path, nested(sign("start", 1), inner))
    assert found[0] == [(3, 2, *FIRST)]
    assert found[1] == [(3, 2, *MIDDLE), (5, 4, *FIRST)]
    assert found[5] == [(3, 2, *MIDDLE), (5, 4, *LAST)]
    assert found[6] == [(3, 2, *LAST)]


def test_two_tuplets_that_begin_on_one_note(tmp_path: Path) -> None:
    both = sign("start", 1, 3, 2) + sign("start", 2)
    five = note(duration=32, kind="16th", inside=modified(15, 8))
    first = note(duration=32, kind="16th", inside=modified(15, 8), notations=both)
    last = note(duration=32, kind="16th", inside=modified(15, 8), notations=sign("stop", 2))
    rest = note(duration=160, inside=modified(3, 2))
    end = note(duration=160, inside=modified(3, 2), notations=sign("stop", 1))
    found = marks(tmp_path, first + five * 3 + last + rest + end)
    assert found[0] == [(3, 2, *FIRST), (5, 4, *FIRST)]
    assert found[4] == [(3, 2, *MIDDLE), (5, 4, *LAST)]
    assert found[6] == [(3, 2, *LAST)]


def test_a_tuplet_of_one_note_is_no_tuplet(tmp_path: Path) -> None:
    # As exporters write a tremolo of six in the time of a quarter.
    content = note(duration=240, inside="<dot/>" + modified(3, 2))
    assert marks(tmp_path, content) == [[]]


def event_of(key: int, kind: str, factor: Tuplet) -> Cluster:
    value = NoteValue(kind)
    time = NoteTime(value.length.quarters * factor.factor, value, factor.factor)
    modification = etree.SubElement(etree.Element("note"), "time-modification")
    etree.SubElement(modification, "actual-notes").text = str(factor.actual)
    etree.SubElement(modification, "normal-notes").text = str(factor.normal)
    parent = modification.getparent()
    assert parent is not None
    return Cluster(key, parent, {}, Length(time.length).quarters, time, "1")


RATIOS = [Tuplet(1, 1), Tuplet(3, 2), Tuplet(5, 4), Tuplet(6, 4), Tuplet(2, 3), Tuplet(7, 4)]


@given(
    st.lists(
        st.tuples(st.sampled_from(["quarter", "eighth", "16th"]), st.sampled_from(RATIOS)),
        max_size=24,
    )
)
def test_no_tuplet_is_left_open_and_every_length_is_kept(
    events: list[tuple[str, Tuplet]],
) -> None:
    voice = [event_of(key, kind, ratio) for key, (kind, ratio) in enumerate(events)]
    found = brackets(voice)
    depth = 0
    for cluster in voice:
        factor = Fraction(1)
        for mark in found.get(cluster.key, ()):
            depth += mark.starts
            factor *= mark.ratio.factor
        assert factor == cluster.time.ratio
        assert depth == len(found.get(cluster.key, ()))
        depth -= sum(mark.stops for mark in found.get(cluster.key, ()))
    assert depth == 0


def test_values_and_tuplets_make_the_lengths(tmp_path: Path) -> None:
    content = nested(sign("start", 1), sign("start", 2)) + eighth() * 3
    part = read(tmp_path, score(bar(attributes(240) + content)))
    for event in part.bars[0].voices[0].events:
        assert isinstance(event, Note | Rest)
        assert event.value is not None
        length = event.value.length
        for mark in event.tuplets:
            length = length * mark.ratio.factor
        assert length == event.length
