"""Every way in which exporters encode and mislabel their files.

The same score, saved in each way, must give the same part name; what the label
must be able to say is W3C XML 1.0 (fifth edition), section 4.3.3 and appendix F.
"""

from __future__ import annotations

import codecs
from pathlib import Path

import pytest

from drills.reading.musicxml import open_score
from tests.reading.made import scale_bar, score

NAME = "Flöte für Käthe"
TEXT = score(scale_bar(), names=(NAME,))


def labelled(label: str) -> str:
    return TEXT.replace('encoding="UTF-8"', f'encoding="{label}"' if label else "")


def name_in(folder: Path, data: bytes) -> str:
    path = folder / "score.xml"
    path.write_bytes(data)
    return open_score(path).entries[0].name


@pytest.mark.parametrize(
    ("label", "codec", "mark"),
    [
        ("UTF-8", "utf-8", b""),
        ("UTF-8", "utf-8", codecs.BOM_UTF8),
        ("", "utf-8", b""),
        ("UTF-16", "utf-16-le", codecs.BOM_UTF16_LE),
        ("UTF-16", "utf-16-be", codecs.BOM_UTF16_BE),
        ("UTF-16", "utf-16-le", b""),
        ("UTF-16", "utf-16-be", b""),
        ("UTF-8", "utf-16-le", codecs.BOM_UTF16_LE),
        ("UTF-16", "utf-8", b""),
        ("UTF-16", "utf-8", codecs.BOM_UTF8),
        ("UTF-32", "utf-32-le", codecs.BOM_UTF32_LE),
        ("UTF-32", "utf-32-be", codecs.BOM_UTF32_BE),
        ("ISO-8859-1", "iso-8859-1", b""),
        ("windows-1252", "cp1252", b""),
        ("UTF-8", "cp1252", b""),
        ("", "cp1252", b""),
        ("macintosh", "mac-roman", b""),
        ("cp850", "cp850", b""),
        ("no-such-encoding", "utf-8", b""),
        ("unicode_escape", "utf-8", b""),
        ("zip", "utf-8", b""),
    ],
)
def test_labels_and_bytes(tmp_path: Path, label: str, codec: str, mark: bytes) -> None:
    assert name_in(tmp_path, mark + labelled(label).encode(codec)) == NAME


@pytest.mark.parametrize(
    ("label", "codec", "name"),
    [
        ("GB2312", "gb2312", "单簧管"),
        ("Shift_JIS", "shift_jis", "クラリネット"),
        ("EUC-KR", "euc-kr", "클라리넷"),
        ("KOI8-R", "koi8-r", "Кларнет"),
        ("windows-1251", "cp1251", "Кларнет"),
        ("Big5", "big5", "單簧管"),
    ],
)
def test_other_scripts(tmp_path: Path, label: str, codec: str, name: str) -> None:
    assert name_in(tmp_path, labelled(label).replace(NAME, name).encode(codec)) == name


@pytest.mark.parametrize("before", [b"\n", b"  \r\n\t", b"\n\n"])
def test_blanks_before_the_declaration(tmp_path: Path, before: bytes) -> None:
    assert name_in(tmp_path, before + TEXT.encode()) == NAME


@pytest.mark.parametrize("after", [b"\x00\x00\x00", b"\x1a", b"trailing words", b"\n\n<!-- end"])
def test_junk_after_the_score(tmp_path: Path, after: bytes) -> None:
    assert name_in(tmp_path, TEXT.encode() + after) == NAME


def test_control_characters_inside(tmp_path: Path) -> None:
    text = TEXT.replace("Flöte", "Fl\x00\x02\x1böte")
    assert name_in(tmp_path, text.encode()) == NAME


def test_control_characters_in_a_full_score(tmp_path: Path) -> None:
    text = score(scale_bar(), scale_bar(), names=("One\x07", "Two\x01")).encode()
    path = tmp_path / "score.xml"
    path.write_bytes(text)
    assert [entry.name for entry in open_score(path).entries] == ["One", "Two"]
