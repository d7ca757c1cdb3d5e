"""A section from files of single parts is the section of the full score."""

from __future__ import annotations

import copy
import json
from pathlib import Path

import music21
import pytest
from lxml import etree

from drills.jobs.gathering import gathered
from drills.jobs.request import Settings
from drills.jobs.section import SectionOutputs, SectionWanted, write_section
from drills.output.data import section_data
from drills.reading.container import is_zip, unpack
from drills.reading.limits import Limits
from drills.reading.source import Typed
from drills.resources import scores_folder

CORPUS = Path(music21.__file__).parent / "corpus"
SCORES = (
    *("march.musicxml", "air.musicxml"),
    *("bach/bwv66.6.mxl", "bach/bwv281.mxl", "bach/bwv340.mxl"),
    *("bach/bwv10.7.mxl", "bach/bwv227.1.mxl"),
)
"""Our own scores, and five of music21's corpus."""


def opened(name: str) -> etree._Element:
    path = next(p for p in (scores_folder() / name, CORPUS / name) if p.exists())
    data = path.read_bytes()
    text = unpack(data, Limits(), name) if is_zip(data) else data
    return etree.fromstring(text, etree.XMLParser(load_dtd=False, no_network=True))


def split(score: etree._Element, into: Path) -> list[Path]:
    """Every part in a file of its own, with nothing of the others."""
    found = []
    for number, part in enumerate(score.findall("part"), start=1):
        root = copy.deepcopy(score)
        for other in root.findall("part") + root.findall("part-list/score-part"):
            if other.get("id") != part.get("id"):
                other.getparent().remove(other)  # type: ignore[union-attr]
        for group in root.findall("part-list/part-group"):
            root.find("part-list").remove(group)  # type: ignore[union-attr]
        path = into / f"{number:02d}.musicxml"
        path.write_bytes(etree.tostring(root))
        found.append(path)
    return found


def material(sources: list[Path], place: str) -> str:
    """All that the section's page and the players' sheets hold, without names of files."""
    wanted, nothing = SectionWanted((place,)), SectionOutputs(formats=())
    (section,) = write_section(sources, wanted, Settings(), nothing).sections
    data = section_data(section)
    plain = json.loads(json.dumps(data, default=str))
    plain.pop("source", None)
    return json.dumps(plain, sort_keys=True)


@pytest.mark.parametrize("name", SCORES)
def test_a_section_of_files_is_the_section_of_the_score(name: str, tmp_path: Path) -> None:
    score = opened(name)
    whole = tmp_path / "whole.musicxml"
    whole.write_bytes(etree.tostring(score))
    apart = tmp_path / "apart"
    apart.mkdir()
    files = split(score, apart)
    assert len(files) > 1
    place = "33" if name == "march.musicxml" else "3"
    assert material([apart], place) == material([whole], place)


def test_where_files_disagree_is_told() -> None:
    high = Typed("4/4 F major: [E] whole c5 d5 e5", "flute")
    low = Typed("4/4 G major: [E] whole c4 d4", "oboe")
    found = gathered([high, low], Limits())
    told = " ".join(found.remarks)
    assert "Oboe and Flute disagree about the key in bar 1" in told
    assert "Oboe lacks bar 3 of Flute" in told


def test_marks_of_one_file_are_everybody_s() -> None:
    high = Typed("2/4: [E] quarters c5 d5 | [F] e5 f5", "flute")
    low = Typed("2/4: quarters c4 d4 | e4 f4", "clarinet")
    first, second = gathered([high, low], Limits()).parts
    assert [bar.marks for bar in second.bars] == [bar.marks for bar in first.bars]


def test_parts_without_names_take_those_of_their_files(tmp_path: Path) -> None:
    for name in ("alto1", "alto2"):
        (tmp_path / f"{name}.abc").write_text("X:1\nM:2/4\nL:1/4\nK:C\nCD|EF|]\n")
    parts = gathered([tmp_path], Limits()).parts
    assert [part.name for part in parts] == ["alto1", "alto2"]
    assert parts[0].bars == parts[1].bars
