"""A file silent about metre and key takes the player's, who may be asked; any other does not."""

from __future__ import annotations

from pathlib import Path

import pytest

from drills.errors import UsageError
from drills.music.pitch import KeySignature
from drills.music.score import Part
from drills.music.time import TimeSignature
from drills.reading.given import Given, Silence, read_key, read_metre
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_part
from tests.cli.music import score
from tests.reading.other.silent import SAID, SILENT

ASKED = Given(read_metre("3/4"), read_key("B flat major"))
ELSE = {"abc": "4/4", "krn": "as long as the bars are", "mei": "as long as the bars are"}


def read(content: bytes, folder: Path, given: Given) -> Part:
    path = folder / "file"
    path.write_bytes(content)
    return read_part(open_score(path, Limits(), given))


@pytest.mark.parametrize("kind", SILENT)
def test_a_silent_file_takes_what_is_given(kind: str, tmp_path: Path) -> None:
    silent, given = (read(SILENT[kind], tmp_path, one) for one in (Given(), ASKED))
    for word in ("no metre", "no key" if kind != "abc" else "no metre"):
        assert any(word in remark for remark in silent.remarks), silent.remarks
        assert not any(word in remark for remark in given.remarks), given.remarks
    assert silent.bars[0].key.fifths == 0
    assert {bar.key.fifths for bar in given.bars} == {-2}
    assert {str(bar.time) for bar in given.bars} == {"3/4"}
    assert [len(bar.voices[0].events) for bar in given.bars] == [3, 3]


@pytest.mark.parametrize("kind", SILENT)
def test_what_is_not_given_is_asked_for_with_what_is_taken_otherwise(
    kind: str, tmp_path: Path
) -> None:
    asked = []

    def ask(where: str, silence: Silence) -> Given:
        asked.append((where, silence))
        return Given(TimeSignature((3,), 4), None)

    part = read(SILENT[kind], tmp_path, Given(ask=ask))
    assert asked == [(str(tmp_path / "file"), Silence(ELSE.get(kind, "4/4"), "no key"))]
    assert (str(part.bars[0].time), part.bars[0].key.fifths) == ("3/4", 0)
    asked.clear()
    read(SILENT[kind], tmp_path, Given(read_metre("3/4"), ask=ask))
    assert asked == [(str(tmp_path / "file"), Silence("", "no key"))]
    asked.clear()
    read(SAID[kind], tmp_path, Given(ask=ask))
    assert asked == []


@pytest.mark.parametrize("kind", SAID)
def test_a_file_that_says_them_is_believed_unless_it_is_midi(kind: str, tmp_path: Path) -> None:
    part = read(SAID[kind], tmp_path, ASKED)
    if kind == "mid":
        assert (str(part.bars[0].time), part.bars[0].key.fifths) == ("3/4", -2)
        assert any("another metre; bars are counted in 3/4" in told for told in part.remarks)
        assert any("another key" in told for told in part.remarks)
    else:
        own = "2/4" if kind == "abc" else "3/4"
        assert (str(part.bars[0].time), part.bars[0].key.fifths) == (own, 1)
        for what in ("metre", "key"):
            assert any(f"the {what} asked for is not used" in told for told in part.remarks)


def test_musicxml_says_them_itself(tmp_path: Path) -> None:
    path = tmp_path / "march.musicxml"
    path.write_text(score(), "utf-8")
    told = open_score(path, Limits(), ASKED).remarks
    assert len([remark for remark in told if "MusicXML file says its" in remark]) == 2


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("F major", KeySignature(-1, "major")),
        ("f# minor", KeySignature(3, "minor")),
        ("B flat minor", KeySignature(-5, "minor")),
        ("Eb major", KeySignature(-3, "major")),
        ("no key", KeySignature(0)),
    ],
)
def test_keys_in_words(text: str, key: KeySignature) -> None:
    """Signatures of the circle of fifths (common practice)."""
    assert read_key(text) == key


@pytest.mark.parametrize("text", ["", "H", "F", "F major minor", "G# major", "F dorian", "c5"])
def test_what_is_no_key(text: str) -> None:
    with pytest.raises(UsageError, match=r"is no key|more than seven"):
        read_key(text)


@pytest.mark.parametrize("text", ["", "4", "6/7", "0/4", "65/4", "4/128", "4/4/4", "-3/4", "9" * 9])
def test_what_is_no_metre(text: str) -> None:
    with pytest.raises(UsageError, match="is no metre; write, for example, 4/4"):
        read_metre(text)
