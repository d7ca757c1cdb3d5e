"""What a file is, by its content; pages and sound are refused with what to do instead."""

from __future__ import annotations

import gzip
import io
import zipfile
from pathlib import Path

import mido
import pytest

from drills.errors import LimitError, NotMusicXMLError, ReadError, UsageError
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_part
from drills.reading.other.kinds import Kind, kind_of

TUNE = "X:7\nT:Quay\nM:2/4\nL:1/8\nK:G\nGABc|d4|]\n"

STARTS = (
    (b"MThd\0\0\0\6", Kind.MIDI),
    (b"!!!COM: nobody\n**kern\n", Kind.HUMDRUM),
    (b"**kern\t**dynam\n", Kind.HUMDRUM),
    (b'<?xml version="1.0"?>\n<mei xmlns="http://www.music-encoding.org/ns/mei">', Kind.MEI),
    (b"<score-partwise>", Kind.MUSICXML),
    (b"X:1\nT:Quay\nK:G\n", Kind.ABC),
    (b"%abc-2.1\nX:1\n", Kind.ABC),
    (b"instrument: clarinet\n4/4 c5", Kind.BARS),
    (b"# mine\n3/4 c5 d5 e5", Kind.BARS),
    (b"\\version", None),
    (b"Dear all, the rehearsal", None),
)

REFUSED = (
    (b"%PDF-1.7\n", "a PDF; drills reads no pictures"),
    (b"\x89PNG\r\n\x1a\n", "a picture; drills reads no pictures"),
    (b"\xff\xd8\xff\xe0", "a picture; drills reads no pictures"),
    (b"\0\0\0\x18ftypheic", "a picture; drills reads no pictures"),
    (b"RIFF\0\0\0\0WEBPVP8 ", "a picture; drills reads no pictures"),
    (b"II*\0", "a picture; drills reads no pictures"),
    (b"RIFF\0\0\0\0WAVE", "a sound file; drills needs the written part"),
)
"""First bytes as PDF 32000-1, PNG, JPEG, HEIF (ISO/IEC 23008-12), WebP, TIFF and WAVE fix them."""


@pytest.mark.parametrize(("start", "kind"), STARTS)
def test_the_kind_is_in_the_content(start: bytes, kind: Kind | None) -> None:
    assert kind_of(start) is kind


@pytest.mark.parametrize(("start", "message"), REFUSED)
def test_pages_and_sound_are_refused_kindly(start: bytes, message: str, tmp_path: Path) -> None:
    path = tmp_path / "part.musicxml"
    path.write_bytes(start + bytes(100))
    with pytest.raises(NotMusicXMLError) as raised:
        open_score(path)
    assert message in str(raised.value)
    if "picture" in message:
        for way in ("ask the library", "export it", "recognise", "type the bar"):
            assert way in str(raised.value)


def test_compressed_files_of_every_kind(tmp_path: Path) -> None:
    packed = tmp_path / "quay.abc.gz"
    packed.write_bytes(gzip.compress(TUNE.encode()))
    archive = tmp_path / "quay.zip"
    with zipfile.ZipFile(archive, "w") as made:
        made.writestr("quay.abc", TUNE)
    for path in (packed, archive):
        assert len(read_part(open_score(path)).bars) == 2
    packed.write_bytes(gzip.compress(bytes(10_000_000)))
    with pytest.raises(LimitError, match="times larger unpacked"):
        open_score(packed)


def test_a_tune_of_several_is_named_by_its_number(tmp_path: Path) -> None:
    path = tmp_path / "airs.abc"
    path.write_text(TUNE + "\nX:12\nT:Jetty\nM:3/4\nL:1/4\nK:C\ncde|\n")
    assert open_score(path).credits.title == "Quay"
    assert any("2 tunes" in remark for remark in open_score(path).remarks)
    assert open_score(tmp_path / "airs.abc#12").credits.title == "Jetty"
    with pytest.raises(UsageError, match="no tune reads X:3; there are 7, 12"):
        open_score(tmp_path / "airs.abc#3")


HOSTILE = (
    ("X:1\nK:C\n%%abc-include /etc/passwd\nc\n", "asks for another file"),
    ("X:1\nK:C\n" + "(" * 5000 + "c\n", "no ABC"),
    ("X:1\nK:C\nc99999999999\n", "makes no sense"),
    ("X:1\nK:C\n" + "c " * 300_000, "notes and rests, more than the limit"),
    ("**kern\n99999999999999c\n*-\n", "more than the limit"),
    ("**kern\n1%99999c\n*-\n", "more than the limit"),
    ("**kern" + "\t**kern" * 400 + "\n", "parts, more than the limit"),
    ("**recip\n4\n*-\n", "holds no notes"),
    ("**kern\n4q\n*^\n", ""),
    ('<!DOCTYPE mei [<!ENTITY a "b">]><mei/>', "declares entities"),
    ("<mei>" + "<a>" * 2000, "nested"),
    ('<mei xmlns="http://www.music-encoding.org/ns/mei"/>', "no bars with notes"),
    ("4/4 " + "c5 " * 100_000, "more than the limit"),
)
"""A text, and the words that refuse it; any ReadError where none are given."""


@pytest.mark.parametrize(("text", "message"), HOSTILE)
def test_hostile_files_are_refused(text: str, message: str, tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_text(text)
    with pytest.raises(ReadError) as raised:
        open_score(path, Limits())
    assert message in str(raised.value)


def _silence(parts: int) -> bytes:
    """Two notes in each part, one at the start and one after ten thousand bars."""
    file = mido.MidiFile(ticks_per_beat=480)
    for _ in range(parts):
        notes = [("note_on", 0), ("note_off", 480), ("note_on", 480 * 39_000), ("note_off", 480)]
        file.tracks.append(
            mido.MidiTrack(mido.Message(kind, note=60, time=time) for kind, time in notes)
        )
    found = io.BytesIO()
    file.save(file=found)
    return found.getvalue()


@pytest.mark.parametrize(
    ("parts", "message"), [(5, "48,755 bars for 10 notes"), (200, "--limit elements=")]
)
def test_a_midi_file_of_silence_is_refused(parts: int, message: str, tmp_path: Path) -> None:
    path = tmp_path / "silence.mid"
    path.write_bytes(_silence(parts))
    assert path.stat().st_size < 10_000
    with pytest.raises(ReadError, match=message):
        open_score(path)
