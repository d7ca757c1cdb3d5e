"""A section from files of single parts is the section of the full score."""

from __future__ import annotations

import copy
import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import music21
import pytest
from lxml import etree

from drills.errors import PlaceError, UsageError
from drills.jobs.book import build_book
from drills.jobs.gathering import gathered
from drills.jobs.pieces import pieces_of
from drills.jobs.project import spots_of
from drills.jobs.project_spots import project_parts, rank_project
from drills.jobs.request import Settings
from drills.jobs.section import SectionOutputs, SectionWanted, write_section
from drills.jobs.spots import Judging
from drills.output.data import section_data
from drills.project.book import read_book
from drills.reading.container import is_zip, unpack
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score
from drills.reading.source import Typed
from drills.resources import scores_folder
from drills.sheets.choices import Choices

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


def material(sources: list[Path], place: str, settings: Settings | None = None) -> str:
    """All that the section's page and the players' sheets hold, without names of files."""
    wanted, nothing = SectionWanted((place,)), SectionOutputs(formats=())
    (section,) = write_section(sources, wanted, settings or Settings(), nothing).sections
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


def test_a_book_of_single_files_is_a_section(tmp_path: Path) -> None:
    files = split(opened("air.musicxml"), tmp_path)
    book = tmp_path / "book.toml"
    book.write_text("".join(f'[[part]]\nfile = "{one.name}"\ntempo = 60\n' for one in files))
    assert gathered([book], Limits()).sources == tuple(files)
    sixty = replace(Choices(), tempo=Fraction(60), tempo_source="the book")
    at_sixty = replace(Settings(), choices=sixty)
    assert material([book], "3") == material([tmp_path], "3", at_sixty)


def test_a_book_of_several_pieces_is_no_section() -> None:
    with pytest.raises(UsageError, match="the book has several pieces, and a section plays one"):
        gathered([scores_folder() / "harbour.toml"], Limits())


@pytest.fixture(name="apart")
def _apart(tmp_path: Path) -> Path:
    """Two parts in files of their own, marks and tempo in the first only."""
    for name, first in (("flute", "[E] "), ("oboe", "")):
        text = f"4/4: whole c5 c5 {first}eighths c5 d5 e5 f5 g5 f5 e5 d5 whole c5"
        tempo = "tempo: 72\n" if first else ""
        path = tmp_path / f"{name}.bars"
        path.write_text(f"title: Quay\ninstrument: {name}\n{tempo}{text}\n")
    return tmp_path


def test_files_of_one_piece_share_marks_and_tempo_in_a_book(apart: Path) -> None:
    book = apart / "book.toml"
    entry = '[[part]]\nfile = "{}.bars"\n'
    spot = '[[part.spot]]\nat = "E"\n'
    book.write_text(entry.format("flute") + entry.format("oboe") + spot)
    for made in (
        build_book(read_book(book), Settings()).sheets,
        tuple(one.sheet for one in spots_of(read_book(book), Settings())),
    ):
        (sheet,) = made
        assert (sheet.part, sheet.words) == (
            "Oboe",
            "Bar 3, the first bar of E, to beat 1 of bar 4",
        )
        assert sheet.tempo.number == 72
    book.write_text(entry.format("oboe") + spot)
    with pytest.raises(PlaceError, match=r"book.toml, part 1, spot 1"):
        build_book(read_book(book), Settings())


def test_files_of_one_piece_are_ranked_at_one_tempo(apart: Path) -> None:
    for paths in ([apart], sorted(apart.glob("*.bars"))):
        found = project_parts(paths, apart, None, Limits())
        ranked = rank_project(found, Judging(), title="")
        assert [one.judged.tempos.tempos[0].number for one in ranked.rankings] == [72, 72]


def test_a_book_is_ranked_with_its_parts_and_tempos(apart: Path) -> None:
    book = apart / "book.toml"
    book.write_text('[[part]]\nfile = "oboe.bars"\ntempo = 100\n')
    found = project_parts([book], apart, None, Limits())
    ranked = rank_project(found, Judging(), title="")
    assert [(one.file, one.name) for one in found.parts] == [("oboe.bars", "Oboe")]
    assert [one.judged.tempos.tempos[0].number for one in ranked.rankings] == [100]
    with pytest.raises(UsageError, match="a book names its parts"):
        project_parts([book], apart, "1", Limits())


def test_files_with_other_bars_are_another_piece(apart: Path) -> None:
    (apart / "tuba.bars").write_text("title: Quay\ninstrument: tuba\n4/4: whole c2\n")
    keys = {path: open_score(path) for path in sorted(apart.glob("*.bars"))}
    assert {path.stem for path in pieces_of(keys)} == {"flute", "oboe"}
