"""Sound files: what they hold, read back by libsndfile, by mutagen and by a reader of our own."""

from __future__ import annotations

import errno
import struct
import subprocess
import sys
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import mutagen
import numpy as np
import pytest
import soundfile

from drills.errors import UsageError, WriteError
from drills.output.audio import FADE_SECONDS, FORMATS, AudioSettings, Tags, audio_writer
from drills.output.audio.ogg import SERIAL
from drills.output.files import OutputFile, write_files
from drills.sound.practice.events import Cue, Event
from tests.output.fixtures_sound import Made, clicks, climbing, ladder, of, strike

MARK = "drills-made-from:0123456789abcdef"
TAGS = Tags(
    title='Über "Lee" Shore',
    part="Clarinet 2",
    words="bar 33, the first bar of E",
    rights="CC0 1.0, the harbour band",
    mark=MARK,
    cues="0:00.000  quarter = 60\n0:08.000  quarter = 63 ♩\n",
)
HEADING = 'Über "Lee" Shore: bar 33, the first bar of E'
CUES = (
    Cue(Fraction(0), Fraction(0), "quarter = 60"),
    Cue(Fraction(1, 3), Fraction(2, 3), "quarter = 63 ♩\nclicks on beat 4"),
    Cue(Fraction(3, 2), Fraction(3), "quarter = 66"),
)
SHORT = Made(Fraction(2), lambda: iter((strike(0, "claves"), strike(1, "bell"))), cues=CUES)

SETTINGS = [
    AudioSettings(name, rate, bits or None)
    for name, kind in FORMATS.items()
    for rate in kind.rates
    for bits in kind.subtypes
]


def written(folder: Path, settings: AudioSettings, made: Made = SHORT, tags: Tags = TAGS) -> Path:
    path = folder / f"sound{settings.kind.ending}"
    write_files([OutputFile(path, audio_writer(made, tags, settings), tags.mark)])
    return path


@pytest.mark.parametrize("settings", SETTINGS, ids=lambda s: f"{s.format}-{s.rate}-{s.bits}")
def test_libsndfile_reads_back_what_was_asked_for(tmp_path: Path, settings: AudioSettings) -> None:
    path = written(tmp_path, settings)
    info = soundfile.info(str(path))
    kind = settings.kind
    assert (info.format, info.subtype) == (kind.container, kind.subtypes[settings.bits or 0])
    assert (info.samplerate, info.channels) == (settings.rate, 1)
    assert info.frames == (2 + FADE_SECONDS) * info.samplerate


@pytest.mark.parametrize("settings", SETTINGS, ids=lambda s: f"{s.format}-{s.rate}-{s.bits}")
def test_the_same_practice_gives_the_same_bytes(tmp_path: Path, settings: AudioSettings) -> None:
    first = written(tmp_path, settings).read_bytes()
    (tmp_path / "again").mkdir()
    assert written(tmp_path / "again", settings).read_bytes() == first


@pytest.mark.parametrize("name", FORMATS)
def test_every_format_carries_the_mark_so_that_it_may_be_replaced(
    tmp_path: Path, name: str
) -> None:
    path = written(tmp_path, AudioSettings(name))
    before = path.stat()
    longer = of(strike(0, "claves"), duration=3)
    written(tmp_path, AudioSettings(name), SHORT)
    assert path.stat().st_mtime_ns == before.st_mtime_ns  # the same sound stays as it is
    written(tmp_path, AudioSettings(name), longer)
    assert soundfile.info(str(path)).duration == pytest.approx(4)
    other = Tags(mark="drills-made-from:fedcba9876543210-00000000")
    with pytest.raises(WriteError, match="was not made from this"):
        written(tmp_path, AudioSettings(name), longer, other)


def tags_by_mutagen(path: Path) -> dict[str, str]:
    """Title, part, rights and comment by an independent reader of tags."""
    tags: Any = mutagen.File(path).tags
    if path.suffix == ".mp3":
        keys = {"title": "TIT2", "artist": "TPE1", "copyright": "TCOP", "comment": "COMM::eng"}
        return {name: str(tags[key]) for name, key in keys.items()}
    return {name: tags[name][0] for name in ("title", "artist", "copyright", "comment")}


@pytest.mark.parametrize("name", ["flac", "ogg", "opus", "mp3"])
def test_the_file_says_what_it_is(tmp_path: Path, name: str) -> None:
    found = tags_by_mutagen(written(tmp_path, AudioSettings(name)))
    comment = MARK if name == "mp3" else f"{MARK}\n{TAGS.cues.rstrip()}"
    assert found == {
        "title": HEADING,
        "artist": "Clarinet 2",
        "copyright": "CC0 1.0, the harbour band",
        "comment": comment,
    }


def test_an_mp3_has_chapters(tmp_path: Path) -> None:
    """Chapter frames by mutagen: milliseconds, each to the start of the next."""
    tags: Any = mutagen.File(written(tmp_path, AudioSettings("mp3"))).tags
    chapters = sorted(tags.getall("CHAP"), key=lambda chapter: chapter.start_time)
    found = [(c.start_time, c.end_time, str(c.sub_frames.getall("TIT2")[0])) for c in chapters]
    assert found == [
        (0, 333, "quarter = 60"),
        (333, 1500, "quarter = 63 ♩ clicks on beat 4"),
        (1500, 3000, "quarter = 66"),
    ]
    (contents,) = tags.getall("CTOC")
    assert contents.child_element_ids == [c.element_id for c in chapters]


@pytest.mark.parametrize("name", FORMATS)
def test_a_file_that_says_nothing(tmp_path: Path, name: str) -> None:
    bare = of(strike(0, "claves"))
    path = written(tmp_path, AudioSettings(name), bare, Tags())
    assert soundfile.info(str(path)).duration == pytest.approx(3)


def chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Name and content of every chunk of a list (RIFF: Multimedia Programming Interface, 1991)."""
    at = 0
    while at < len(data):
        (size,) = struct.unpack_from("<I", data, at + 4)
        assert at + 8 + size <= len(data)
        yield data[at : at + 4], data[at + 8 : at + 8 + size]
        at += 8 + size + size % 2


def riff(path: Path) -> dict[bytes, bytes]:
    """The chunks of a WAV file; those of a list by the list's type."""
    ((name, whole),) = chunks(path.read_bytes())
    assert name == b"RIFF"
    assert whole[:4] == b"WAVE"
    found = {}
    for kind, content in chunks(whole[4:]):
        found[content[:4] if kind == b"LIST" else kind] = content
    return found


def test_a_wav_has_markers(tmp_path: Path) -> None:
    found = riff(written(tmp_path, AudioSettings("wav")))
    (count,) = struct.unpack_from("<I", found[b"cue "])
    points = list(struct.iter_unpack("<II4sIII", found[b"cue "][4:]))
    assert count == len(points) == len(CUES)
    assert [(point[2], point[5]) for point in points] == [
        (b"data", 0),
        (b"data", 14_700),
        (b"data", 66_150),
    ]
    labels = {}
    for kind, content in chunks(found[b"adtl"][4:]):
        assert kind == b"labl"
        assert content.endswith(b"\0")
        labels[struct.unpack_from("<I", content)[0]] = content[4:-1].decode()
    assert [labels[point[0]] for point in points] == [
        "quarter = 60",
        "quarter = 63 ♩ clicks on beat 4",
        "quarter = 66",
    ]


def test_libsndfile_sees_the_markers_too(tmp_path: Path) -> None:
    """Its log of a file names the chunks that it read and what did not fit."""
    with soundfile.SoundFile(written(tmp_path, AudioSettings("wav"))) as file:
        log = file.extra_info
    assert "cue " in log
    assert "labl" in log
    assert "***" not in log


def test_a_wav_says_what_it_is(tmp_path: Path) -> None:
    information = dict(chunks(riff(written(tmp_path, AudioSettings("wav")))[b"INFO"][4:]))
    texts = {name: content.rstrip(b"\0").decode() for name, content in information.items()}
    assert texts[b"INAM"] == HEADING
    assert texts[b"IART"] == "Clarinet 2"
    assert texts[b"ICOP"] == "CC0 1.0, the harbour band"
    assert texts[b"ICMT"] == MARK


def test_a_practice_without_cues_has_no_markers(tmp_path: Path) -> None:
    bare = of(strike(0, "claves"))
    assert b"cue " not in riff(written(tmp_path, AudioSettings("wav"), bare))
    tags: Any = mutagen.File(written(tmp_path, AudioSettings("mp3"), bare)).tags
    assert not tags.getall("CHAP")


def ogg_pages(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Serial number and bytes of every page, its checksum checked (RFC 3533, section 6)."""
    at = 0
    while at < len(data):
        assert data[at : at + 4] == b"OggS"
        segments = data[at + 26]
        size = 27 + segments + sum(data[at + 27 : at + 27 + segments])
        page = data[at : at + size]
        serial, _, checksum = struct.unpack_from("<III", page, 14)
        assert crc(page[:22] + bytes(4) + page[26:]) == checksum
        yield serial, page
        at += size


def crc(data: bytes) -> int:
    """Bit by bit: polynomial 0x04c11db7, from 0, nothing reflected, nothing added at the end."""
    value = 0
    for byte in data:
        value ^= byte << 24
        for _ in range(8):
            value = (value << 1) ^ (0x104C11DB7 if value & 0x80000000 else 0)
    return value


@pytest.mark.parametrize("name", ["ogg", "opus"])
def test_ogg_pages_are_whole_and_numbered_as_ours(tmp_path: Path, name: str) -> None:
    pages = list(ogg_pages(written(tmp_path, AudioSettings(name)).read_bytes()))
    assert len(pages) > 2
    assert {serial for serial, _ in pages} == {SERIAL}


def test_the_checksum_of_the_test_is_the_usual_one() -> None:
    """The check value of CRC-32/CKSUM in catalogues of CRCs is 0x765E7680 (from memory); it
    differs from Ogg's in that all bits are inverted at the end."""
    assert crc(b"123456789") == 0x89A1897F


def test_lossless_formats_hold_the_same_samples(tmp_path: Path) -> None:
    for bits in (16, 24):
        read = [
            soundfile.read(written(tmp_path, AudioSettings(name, bits=bits)), dtype="int32")[0]
            for name in ("wav", "flac")
        ]
        assert np.array_equal(*read)
        assert np.abs(read[0]).max() > 2**28


@pytest.mark.parametrize("name", ["ogg", "opus"])
def test_a_long_quiet_file_is_written_in_pieces(tmp_path: Path, name: str) -> None:
    """More than twenty minutes in one call has crashed; pieces do not."""
    rare = [strike(minute * 60, "low-beep") for minute in range(21)]
    path = written(tmp_path, AudioSettings(name), of(*rare, duration=1260))
    assert soundfile.info(str(path)).duration == pytest.approx(1261)


@pytest.mark.parametrize("settings", SETTINGS, ids=lambda s: f"{s.format}-{s.rate}-{s.bits}")
def test_lossy_or_not_the_click_is_where_it_was(tmp_path: Path, settings: AudioSettings) -> None:
    """Decoded by libsndfile: MP3 within a frame's look-ahead, the rest within a millisecond."""
    made = of(strike(0, "claves"), strike(1, "claves"))
    samples, rate = soundfile.read(written(tmp_path, settings, made))
    loud = np.flatnonzero(np.abs(samples[rate // 2 :]) > 0.1)[0] / rate + 0.5
    assert loud == pytest.approx(1, abs=0.001)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"format": "aiff"}, "no audio format 'aiff'; there are wav, flac, ogg, opus, mp3"),
        ({"rate": 22050}, "WAV is not written with 22050 samples a second; choose 44100 or 48000"),
        ({"format": "opus", "rate": 44100}, "Opus is not written with 44100 .* choose 48000"),
        ({"bits": 20}, "WAV is not written with 20 bits a sample; choose 16 or 24"),
        ({"format": "mp3", "bits": 16}, "MP3 is not written with 16 bits .*another format"),
        ({"gains": {"trombone": 1.0}}, "there is no voice 'trombone'; there are click, signal"),
        ({"gains": {"click": 90.0}}, "a gain of 90.0 dB for click is out of range; .*-60 to 20"),
        ({"gains": {"click": float("nan")}}, "a gain of nan dB"),
    ],
)
def test_settings_that_make_no_sense(arguments: dict[str, Any], message: str) -> None:
    with pytest.raises(UsageError, match=message):
        AudioSettings(**arguments)


def test_a_wav_that_would_be_too_long() -> None:
    """The sizes in a WAV file have 32 bits: 2**32 bytes are 13.5 hours at 44.1 kHz, 16 bits."""
    endless = of(duration=14 * 3600)
    with pytest.raises(UsageError, match=r"14\.0 hours are more than a WAV file can hold"):
        audio_writer(endless, TAGS, AudioSettings("wav"))
    audio_writer(endless, TAGS, AudioSettings("flac"))


def test_a_format_that_the_library_does_not_have(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(soundfile, "available_subtypes", lambda _: {"MPEG_LAYER_I": ""})
    with pytest.raises(UsageError, match="installed libsndfile cannot write MP3"):
        audio_writer(SHORT, TAGS, AudioSettings("mp3"))


def test_no_library_at_all(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a system has no libsndfile the import of soundfile says so with OSError."""

    class Broken:
        def find_spec(self, name: str, *_: object) -> None:
            if name == "soundfile":
                raise OSError("sndfile library not found")

    monkeypatch.delitem(sys.modules, "soundfile")
    monkeypatch.setattr(sys, "meta_path", [Broken(), *sys.meta_path])
    with pytest.raises(WriteError, match=r"libsndfile is missing .*choose a MIDI file"):
        audio_writer(SHORT, TAGS, AudioSettings())


LONG = climbing(ladder(8, [60, 63, 66]), clicks)


@pytest.mark.parametrize("name", FORMATS)
def test_a_full_disk_leaves_nothing(small_disk: Path, name: str) -> None:
    """A file system of 64 KiB; LONG takes more in every format."""
    with pytest.raises(WriteError, match=r"cannot be written \(no space left.*make room"):
        written(small_disk, AudioSettings(name), LONG)
    assert list(small_disk.iterdir()) == []


_LIMITED = """
import resource, signal, sys
from pathlib import Path
from drills.errors import WriteError
from tests.output.test_audio_files import LONG, AudioSettings, written
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))
try:
    written(Path(sys.argv[1]), AudioSettings(sys.argv[2]), LONG)
except WriteError as error:
    print(error)
"""


@pytest.mark.parametrize("name", FORMATS)
def test_a_file_larger_than_the_system_allows(tmp_path: Path, name: str) -> None:
    command = [sys.executable, "-c", _LIMITED, str(tmp_path), name]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert "cannot be written (file too large); make room" in done.stdout
    assert done.stderr == ""
    assert list(tmp_path.iterdir()) == []


def test_an_interrupt_leaves_nothing(tmp_path: Path) -> None:
    def interrupted() -> Iterator[Event]:
        yield strike(0, "claves")
        yield strike(5, "claves")
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        written(tmp_path, AudioSettings("flac"), Made(Fraction(60), interrupted))
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_lost_when_the_second_file_fails(tmp_path: Path) -> None:
    (tmp_path / "sound.wav").write_bytes(MARK.encode())

    def broken(_: Path) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    wanted = [
        OutputFile(tmp_path / "sound.wav", audio_writer(SHORT, TAGS, AudioSettings()), MARK),
        OutputFile(tmp_path / "other.wav", broken, MARK),
    ]
    with pytest.raises(WriteError, match=r"other\.wav cannot be written \(no space left"):
        write_files(wanted)
    assert [path.name for path in tmp_path.iterdir()] == ["sound.wav"]
    assert (tmp_path / "sound.wav").read_bytes() == MARK.encode()


def test_a_long_mp3_says_how_many_per_cent_are_written(tmp_path: Path) -> None:
    reached: list[int] = []
    long = of(strike(0, "claves"), duration=60)
    audio_writer(long, TAGS, AudioSettings("mp3"), reached.append)(tmp_path / "long.mp3")
    assert reached == sorted(set(reached))
    assert (reached[0], reached[-1]) == (0, 100)
    assert len(reached) > 50
