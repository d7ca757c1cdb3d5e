"""Compressed MusicXML (.mxl): good, odd and hostile archives, each a real one."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest

from drills.errors import LimitError, NotMusicXMLError, ReadError
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_part
from tests.reading.made import note, pitches, scale_bar, score

GOOD = score(scale_bar())
OTHER = score(scale_bar()).replace("<step>C</step>", "<step>A</step>")


def container(root: str) -> str:
    """META-INF/container.xml as the MusicXML 4.0 documentation shows it."""
    return (
        '<?xml version="1.0" encoding="UTF-8"?><container><rootfiles>'
        f'<rootfile full-path="{root}" media-type="application/vnd.recordare.musicxml+xml"/>'
        "</rootfiles></container>"
    )


def archive(members: dict[str, str | bytes], compression: int = zipfile.ZIP_DEFLATED) -> bytes:
    """A zip archive of these members, in this order."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", compression) as made:
        for name, content in members.items():
            made.writestr(name, content)
    return data.getvalue()


def saved(folder: Path, data: bytes, name: str = "score.mxl") -> Path:
    path = folder / name
    path.write_bytes(data)
    return path


def first_pitch(path: Path, limits: Limits | None = None) -> str:
    return pitches(read_part(open_score(path, limits)).bars[0])[0]


class TestGood:
    def test_the_container_says_which_file(self, tmp_path: Path) -> None:
        data = archive(
            {
                "decoy.musicxml": OTHER,
                "META-INF/container.xml": container("scores/real.musicxml"),
                "scores/real.musicxml": GOOD,
            }
        )
        assert first_pitch(saved(tmp_path, data)) == "C5"

    def test_a_root_file_with_an_unusual_ending(self, tmp_path: Path) -> None:
        data = archive({"META-INF/container.xml": container("score.dat"), "score.dat": GOOD})
        assert first_pitch(saved(tmp_path, data)) == "C5"

    def test_without_a_container(self, tmp_path: Path) -> None:
        data = archive(
            {
                "__MACOSX/._score.xml": "no music",
                "parts/one.xml": OTHER,
                ".hidden.xml": "no music",
                "score.xml": GOOD,
            }
        )
        assert first_pitch(saved(tmp_path, data)) == "C5"

    @pytest.mark.parametrize("content", ["", "<container", "<container/>", "x" * 200_000])
    def test_with_a_useless_container(self, tmp_path: Path, content: str) -> None:
        data = archive({"META-INF/container.xml": content, "score.xml": GOOD})
        assert first_pitch(saved(tmp_path, data)) == "C5"

    def test_a_container_that_names_a_missing_file(self, tmp_path: Path) -> None:
        data = archive({"META-INF/container.xml": container("gone.xml"), "score.xml": GOOD})
        assert first_pitch(saved(tmp_path, data)) == "C5"

    @pytest.mark.parametrize("name", ["score.MXL", "score.musicxml", "score.xml", "score"])
    def test_whatever_the_file_is_called(self, tmp_path: Path, name: str) -> None:
        assert first_pitch(saved(tmp_path, archive({"score.xml": GOOD}), name)) == "C5"

    @pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-be", "latin-1"])
    def test_encodings_inside(self, tmp_path: Path, encoding: str) -> None:
        text = GOOD.replace("UTF-8", encoding.replace("-sig", "")).replace("Player", "Flöte")
        if encoding == "utf-16-be":
            text = "\ufeff" + text
        path = saved(tmp_path, archive({"score.xml": text.encode(encoding)}))
        assert open_score(path).entries[0].name == "Flöte 1"

    def test_stored_without_compression(self, tmp_path: Path) -> None:
        data = archive({"score.xml": GOOD}, zipfile.ZIP_STORED)
        assert first_pitch(saved(tmp_path, data)) == "C5"


class TestHostile:
    @pytest.mark.parametrize(
        "root",
        ["../../etc/passwd", "/etc/passwd", "scores/../../canary.xml", "..\\canary.xml"],
    )
    def test_a_root_path_that_leaves_the_archive(self, tmp_path: Path, root: str) -> None:
        (tmp_path / "canary.xml").write_text(OTHER, encoding="utf-8")
        folder = tmp_path / "inside"
        folder.mkdir()
        data = archive({"META-INF/container.xml": container(root), "score.xml": GOOD})
        with pytest.raises(ReadError, match="a path that leaves the archive"):
            open_score(saved(folder, data))

    def test_nothing_is_unpacked_to_disk(self, tmp_path: Path) -> None:
        data = archive({"../escaped.xml": OTHER, "score.xml": GOOD})
        folder = tmp_path / "inside"
        folder.mkdir()
        open_score(saved(folder, data))
        assert sorted(path.name for path in tmp_path.rglob("*")) == ["inside", "score.mxl"]

    def test_a_bomb(self, tmp_path: Path) -> None:
        data = archive({"score.xml": GOOD + " " * 60_000_000})
        assert len(data) < 80_000
        path = saved(tmp_path, data)
        with pytest.raises(LimitError, match=r"times larger unpacked.*--limit ratio="):
            open_score(path)
        with pytest.raises(LimitError, match=r"unpacks to .* bytes.*--limit unpacked_size="):
            open_score(path, Limits(ratio=10_000, unpacked_size=20_000_000))

    def test_a_limit_can_be_raised(self, tmp_path: Path) -> None:
        path = saved(tmp_path, archive({"score.xml": GOOD + " " * 3_000_000}))
        with pytest.raises(LimitError, match="limit of 200"):
            open_score(path)
        assert first_pitch(path, Limits(ratio=2_000)) == "C5"
        with pytest.raises(LimitError, match="limit of 2,000,000"):
            open_score(path, Limits(ratio=2_000, unpacked_size=2_000_000))

    def test_a_member_that_lies_about_its_size(self, tmp_path: Path) -> None:
        data = archive({"score.xml": GOOD + " " * 3_000_000})
        size = len(GOOD) + 3_000_000
        lying = data.replace(size.to_bytes(4, "little"), (1_000).to_bytes(4, "little"))
        assert lying != data
        with pytest.raises(ReadError, match=r"damaged|times larger"):
            open_score(saved(tmp_path, lying))

    def test_many_members(self, tmp_path: Path) -> None:
        members: dict[str, str | bytes] = {f"{number}.txt": "" for number in range(1_001)}
        path = saved(tmp_path, archive({**members, "score.xml": GOOD}))
        with pytest.raises(LimitError, match=r"holds 1,002 files.*--limit members="):
            open_score(path)
        assert first_pitch(path, Limits(members=1_002)) == "C5"

    @pytest.mark.parametrize("method", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
    def test_a_method_that_musicxml_does_not_allow(self, tmp_path: Path, method: int) -> None:
        path = saved(tmp_path, archive({"score.xml": GOOD}, method))
        with pytest.raises(ReadError, match=f"not allow \\(method {method}\\)"):
            open_score(path)

    def test_an_encrypted_member(self, tmp_path: Path) -> None:
        data = bytearray(archive({"score.xml": GOOD}))
        # General purpose flag, bit 0: PKWARE's APPNOTE 4.4.4, in both headers.
        data[6] |= 1
        data[data.index(b"PK\x01\x02") + 8] |= 1
        with pytest.raises(ReadError, match="the archive is encrypted"):
            open_score(saved(tmp_path, bytes(data)))

    @pytest.mark.parametrize("kept", [10, 100, 400])
    def test_cut_off(self, tmp_path: Path, kept: int) -> None:
        data = archive({"score.xml": GOOD})
        with pytest.raises(ReadError, match="the compressed file is damaged"):
            open_score(saved(tmp_path, data[:kept]))

    def test_damaged_content(self, tmp_path: Path) -> None:
        data = bytearray(archive({"score.xml": GOOD}))
        data[80:120] = b"\xff" * 40
        with pytest.raises(ReadError, match="the compressed file is damaged"):
            open_score(saved(tmp_path, bytes(data)))

    def test_an_archive_in_the_archive(self, tmp_path: Path) -> None:
        inner = archive({"score.xml": GOOD})
        path = saved(tmp_path, archive({"score.xml": inner}))
        with pytest.raises(NotMusicXMLError, match="this is no format that is read"):
            open_score(path)

    @pytest.mark.parametrize("members", [{}, {"readme.txt": "no score"}, {"META-INF/x.xml": GOOD}])
    def test_no_score_inside(self, tmp_path: Path, members: dict[str, str | bytes]) -> None:
        with pytest.raises(NotMusicXMLError, match="no MusicXML file inside"):
            open_score(saved(tmp_path, archive(members)))

    def test_entities_in_the_container(self, tmp_path: Path) -> None:
        bomb = '<!DOCTYPE c [<!ENTITY a "score.xml">]>' + container("&a;").partition("?>")[2]
        data = archive({"META-INF/container.xml": bomb, "score.xml": GOOD})
        assert first_pitch(saved(tmp_path, data)) == "C5"

    def test_too_many_notes_in_a_small_archive(self, tmp_path: Path) -> None:
        bars = "".join(f'<measure number="{n}">{note()}</measure>' for n in range(20_000))
        path = saved(tmp_path, archive({"score.xml": score(bars)}))
        with pytest.raises(LimitError, match="a part has 20,000 bars"):
            open_score(path)
