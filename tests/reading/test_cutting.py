"""A full score cut apart reads as one that is parsed whole."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from lxml import etree

import drills.reading.guard as guard_module
from drills.reading.cutting import cut
from drills.reading.musicxml import open_score, read_all
from tests.reading.made import attributes, bar, note, saved, scale_bar, score
from tests.reading.test_independent import CORPUS

FULL = [path for path in CORPUS if path.suffix != ".mxl"][::12]


def parts_of(path: Path) -> list[object]:
    return [(part.name, part.bars, part.remarks) for part in read_all(open_score(path))]


@pytest.mark.parametrize("path", FULL, ids=lambda path: path.name)
def test_real_scores_read_alike(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    apart = parts_of(path)
    monkeypatch.setattr(guard_module, "cut", lambda _: None)
    assert parts_of(path) == apart


def two(first: str, second: str) -> bytes:
    return score(first, second).encode()


def test_the_skeleton_has_all_bars_and_what_concerns_everybody() -> None:
    mark = "<direction><direction-type><rehearsal>E</rehearsal></direction-type></direction>"
    line = '<barline location="right"><repeat direction="backward"/></barline>'
    part = scale_bar() + bar(mark + note() * 4, "2") + bar(note() * 4 + line, "3")
    found = cut(two(part, part))
    assert found is not None
    root = etree.fromstring(found.skeleton)
    bars = root.findall("part/measure")
    assert [len(b.findall("note")) for b in bars] == [0, 4, 0] * 2
    assert len(root.findall("part/measure/direction")) == 2
    assert len(root.findall("part/measure/barline/repeat")) == 2
    assert len(root.findall("part/measure/attributes")) == 2


def test_parts_and_bars_in_full() -> None:
    found = cut(two(scale_bar(), scale_bar() + bar(note("E4"), "2")))
    assert found is not None
    second = etree.fromstring(found.part(1))
    assert [len(b.findall("note")) for b in second.findall("part/measure")] == [4, 1]
    last = found.bar_with_notes(1, 1)
    assert last is not None
    assert etree.fromstring(last).findtext("measure/note/pitch/step") == "E"
    assert found.bar_with_notes(1, 2) is None
    assert found.bar_with_notes(0, 1) is None


@pytest.mark.parametrize(
    "text",
    [
        score(scale_bar()),
        score(scale_bar(), scale_bar()).replace("<note>", "<!-- <note> --><note>", 1),
        score(scale_bar(), scale_bar()).replace("<measure", "<!-- </part> --><measure", 1),
        score(scale_bar(), scale_bar()).replace("Player 1", "<![CDATA[<part>]]>"),
        score(scale_bar(), scale_bar()).replace("score-partwise", "score-timewise"),
        "<score-partwise/>",
        "no score",
        "",
    ],
)
def test_what_is_not_cut(text: str) -> None:
    assert cut(text.encode()) is None


@pytest.mark.parametrize(
    "inserted",
    [
        "<!-- <note> -->",
        "<!-- </part><part> -->",
        "<!-- </note> -->",
        "<?page <note> ?>",
        "<?page </part> ?>",
    ],
)
def test_tags_where_they_do_not_count(tmp_path: Path, inserted: str) -> None:
    text = score(scale_bar(), scale_bar())
    plain = parts_of(saved(tmp_path, text, "plain.xml"))
    for place in ("<measure", "<note>", "<pitch>", "<part ", "</part>"):
        odd = saved(tmp_path, text.replace(place, inserted + place), "odd.xml")
        assert parts_of(odd) == plain


@given(
    st.lists(
        st.sampled_from(
            ["<part", "</part>", "<measure", "</measure>", "<note", "</note>", ">", "/>", " ",
             "<!--", "-->", "<words", "<score-partwise>", "<![CDATA[", "]]>", "x"]
        ),
        max_size=40,
    )
)  # fmt: skip
@settings(max_examples=300)
@example(["</note>", "<part", "<part", ">", "</part>", "<part", ">", "</part>"])
def test_any_text_is_cut_or_left_alone(pieces: list[str]) -> None:
    text = ("<score-partwise>" + "".join(pieces)).encode()
    found = cut(text)
    assert found is None or found.skeleton.startswith(b"<score-partwise>")


def test_signs_in_bars_of_other_divisions(tmp_path: Path) -> None:
    mark = "<direction><direction-type><rehearsal>E</rehearsal></direction-type></direction>"
    six = bar(attributes(6) + note(duration=6) * 4) + bar(note(duration=6) * 4 + mark, "2")
    six += bar(note(duration=6) * 4, "3")
    four = scale_bar() + bar(note() * 4, "2") + bar(note() * 4, "3")
    found = read_all(open_score(saved(tmp_path, score(six, four))))
    assert [[m.text for b in part.bars for m in b.marks] for part in found] == [["E"], ["E"]]
    assert all(part.bars[2].marks for part in found)
