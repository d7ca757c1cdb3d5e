"""Outputs appear whole or not at all, and replace nothing that is not ours."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from drills.errors import WriteError
from drills.output import files
from drills.output.files import OutputFile, check_place, made_from, safe_name, write_files
from tests.cli.music import open_to_all

MARK = made_from("march.musicxml", "Clarinet 2", ["12"])
NEW = b"new " + MARK.encode()


def left_in(folder: Path) -> list[str]:
    """Every name in a folder, hidden ones included."""
    return sorted(path.name for path in folder.iterdir())


def test_a_new_file_is_written_with_the_usual_permissions(tmp_path: Path) -> None:
    write_files([OutputFile(tmp_path / "a.pdf", NEW)])
    umask = os.umask(0)
    os.umask(umask)
    assert (tmp_path / "a.pdf").read_bytes() == NEW
    assert (tmp_path / "a.pdf").stat().st_mode & 0o777 == 0o666 & ~umask
    assert left_in(tmp_path) == ["a.pdf"]


def test_a_file_that_is_not_ours_stays(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(b"the player's own")
    with pytest.raises(WriteError, match=r"a\.pdf is there already.*--force"):
        write_files([OutputFile(tmp_path / "a.pdf", NEW, MARK)])
    assert (tmp_path / "a.pdf").read_bytes() == b"the player's own"
    assert left_in(tmp_path) == ["a.pdf"]


def test_force_replaces_it_and_keeps_its_permissions(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(b"the player's own")
    (tmp_path / "a.pdf").chmod(0o640)
    write_files([OutputFile(tmp_path / "a.pdf", NEW, MARK)], force=True)
    assert (tmp_path / "a.pdf").read_bytes() == NEW
    assert (tmp_path / "a.pdf").stat().st_mode & 0o777 == 0o640


def test_a_file_made_from_the_same_input_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(b"older, but " + MARK.encode() + b" inside")
    write_files([OutputFile(tmp_path / "a.pdf", NEW, MARK)])
    assert (tmp_path / "a.pdf").read_bytes() == NEW


@pytest.mark.parametrize(
    "other",
    [
        made_from("waltz.musicxml", "Clarinet 2", ["12"]),
        made_from("march.musicxml", "Clarinet 1", ["12"]),
        made_from("march.musicxml", "Clarinet 2", ["13"]),
        made_from("march.musicxml", "Clarinet 2", ["12"], "Another March"),
        "",
    ],
)
def test_a_file_made_from_something_else_stays(tmp_path: Path, other: str) -> None:
    (tmp_path / "a.pdf").write_bytes(other.encode())
    with pytest.raises(WriteError, match="not made from this"):
        write_files([OutputFile(tmp_path / "a.pdf", NEW, MARK)])
    assert (tmp_path / "a.pdf").read_bytes() == other.encode()


def test_the_mark_outlives_a_move_of_the_folder() -> None:
    assert made_from("old/march.musicxml", "C", ["1"]) == made_from(
        "new/march.musicxml", "C", ["1"]
    )
    assert made_from("a", "b", ["cd"]) != made_from("a", "bc", ["d"])


def test_without_a_mark_nothing_counts_as_ours(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(b"x")
    with pytest.raises(WriteError, match="not made from this"):
        write_files([OutputFile(tmp_path / "a.pdf", NEW)])


def test_the_same_content_needs_no_writing(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(NEW)
    before = (tmp_path / "a.pdf").stat()
    write_files([OutputFile(tmp_path / "a.pdf", NEW)])
    assert (tmp_path / "a.pdf").stat() == before


def test_a_function_may_write_what_is_too_large_to_hold(tmp_path: Path) -> None:
    def make(path: Path) -> None:
        assert path.parent == tmp_path
        assert path.read_bytes() == b""
        path.write_bytes(NEW)

    write_files([OutputFile(tmp_path / "a.wav", make, MARK)])
    assert (tmp_path / "a.wav").read_bytes() == NEW
    before = (tmp_path / "a.wav").stat()
    write_files([OutputFile(tmp_path / "a.wav", make, MARK)], force=True)
    assert (tmp_path / "a.wav").stat() == before  # what came out was the same
    assert left_in(tmp_path) == ["a.wav"]


def test_a_function_that_fails_leaves_nothing(tmp_path: Path) -> None:
    def fail(path: Path) -> None:
        path.write_bytes(b"half")
        raise OSError("the sound library stopped")

    with pytest.raises(WriteError, match=r"a\.wav cannot be written \(the sound library stopped"):
        write_files([OutputFile(tmp_path / "b.mid", NEW), OutputFile(tmp_path / "a.wav", fail)])
    assert left_in(tmp_path) == []


def test_all_are_checked_before_the_first_is_written(tmp_path: Path) -> None:
    (tmp_path / "b.mid").write_bytes(b"the player's own")
    wanted = [OutputFile(tmp_path / "a.pdf", NEW, MARK), OutputFile(tmp_path / "b.mid", NEW, MARK)]
    with pytest.raises(WriteError, match=r"b\.mid is there already"):
        write_files(wanted)
    assert left_in(tmp_path) == ["b.mid"]


def test_one_name_for_two_outputs(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(tmp_path)
    wanted = [OutputFile(tmp_path / "a.pdf", b"1"), OutputFile(tmp_path / "link" / "a.pdf", b"2")]
    with pytest.raises(WriteError, match="two outputs of one call"):
        write_files(wanted)
    assert left_in(tmp_path) == ["link"]


def test_a_folder_in_place_of_a_file(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").mkdir()
    with pytest.raises(WriteError, match=r"a\.pdf is a folder; name a file in it"):
        check_place(tmp_path / "a.pdf", force=True)


def test_a_missing_folder(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match=r"there is no folder .*missing; make it first"):
        check_place(tmp_path / "missing" / "a.pdf")


def test_a_file_in_place_of_a_folder(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"")
    with pytest.raises(WriteError, match="is a file, not a folder"):
        check_place(tmp_path / "a" / "b.pdf")
    with pytest.raises(WriteError, match="is a file, not a folder"):
        files.make_folder(tmp_path / "a")


def test_a_device_is_never_replaced() -> None:
    with pytest.raises(WriteError, match="/dev/null is not an ordinary file"):
        write_files([OutputFile(Path("/dev/null"), NEW, MARK)], force=True)
    assert Path("/dev/null").is_char_device()


def test_a_circle_of_links(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").symlink_to(tmp_path / "b.pdf")
    (tmp_path / "b.pdf").symlink_to(tmp_path / "a.pdf")
    with pytest.raises(WriteError, match=r"a\.pdf"):
        write_files([OutputFile(tmp_path / "a.pdf", NEW)], force=True)


def test_a_link_is_followed(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "a.pdf").symlink_to(tmp_path / "real" / "b.pdf")
    write_files([OutputFile(tmp_path / "a.pdf", NEW)])
    assert (tmp_path / "a.pdf").is_symlink()
    assert (tmp_path / "real" / "b.pdf").read_bytes() == NEW


def test_a_name_too_long_for_the_file_system(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="choose a shorter name"):
        write_files([OutputFile(tmp_path / ("a" * 300 + ".pdf"), NEW)])


def test_a_full_disk_leaves_nothing_and_loses_nothing(small_disk: Path) -> None:
    (small_disk / "a.pdf").write_bytes(MARK.encode())
    wanted = [
        OutputFile(small_disk / "a.pdf", NEW, MARK),
        OutputFile(small_disk / "b.pdf", b"x" * 100_000),
    ]
    with pytest.raises(WriteError, match=r"b\.pdf cannot be written \(no space left"):
        write_files(wanted)
    assert left_in(small_disk) == ["a.pdf"]
    assert (small_disk / "a.pdf").read_bytes() == MARK.encode()


_LIMITED = """
import resource, signal, sys
from pathlib import Path
from drills.errors import WriteError
from drills.output.files import OutputFile, write_files
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
try:
    write_files([OutputFile(Path(sys.argv[1]) / "a.pdf", b"x" * 5000)])
except WriteError as error:
    print(error)
"""


def test_a_file_larger_than_the_system_allows(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", _LIMITED, str(tmp_path)], capture_output=True, text=True, check=True
    )
    assert "cannot be written (file too large); make room" in done.stdout
    assert left_in(tmp_path) == []


_AS_NOBODY = """
import os, sys
from pathlib import Path
from drills.errors import WriteError
from drills.output.files import OutputFile, write_files
if os.getuid() == 0:
    os.setgid(65534)
    os.setuid(65534)
try:
    write_files([OutputFile(Path(sys.argv[1]) / "a.pdf", b"x")])
except WriteError as error:
    print(error)
"""


def test_a_folder_that_may_not_be_written_to(tmp_path: Path) -> None:
    open_to_all(tmp_path)
    locked = tmp_path / "locked"
    locked.mkdir(mode=0o555)
    done = subprocess.run(
        [sys.executable, "-c", _AS_NOBODY, str(locked)], capture_output=True, text=True, check=True
    )
    assert "locked cannot be written to; choose another" in done.stdout
    assert left_in(locked) == []


def test_an_interrupt_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("os.fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_files([OutputFile(tmp_path / "a.pdf", NEW)])
    assert left_in(tmp_path) == []


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Clarinet 2-E:3-E:4@1", "Clarinet-2-E.3-E.4@1"),
        ("Oboe-[12]", "Oboe-[12]"),
        ("a/b\\c", "a-b-c"),
        ("../../etc/passwd", "etc-passwd"),
        ('<>:"|?*', "_"),
        ("", "_"),
        ("CON", "_CON"),
        ("nul.part", "_nul.part"),
        ("trailing. ", "trailing"),
        ("tab\tand\nline", "tab-and-line"),
        ("bell\x07\u202egnp", "bellgnp"),
        ("Trompete in Es, Flügelhorn", "Trompete-in-Es,-Flügelhorn"),
        ("Flu\u0308gel", "Flügel"),
        ("lone \ud800 surrogate", "lone-surrogate"),
    ],
)
def test_names_that_every_file_system_takes(text: str, name: str) -> None:
    # Reserved names and characters: Microsoft, "Naming Files, Paths, and Namespaces".
    assert safe_name(text) == name


def test_a_long_name_is_cut_between_letters() -> None:
    name = safe_name("ü" * 300)
    assert name == "ü" * (files.LONGEST_NAME // 2)
