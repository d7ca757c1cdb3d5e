"""Writing outputs: whole or not at all, and never over a file that is not ours.

Problem: a player who already has ``clarinet-12.pdf`` must not lose it to a
second run, a full disk must not leave half a PDF, and Ctrl-C must leave
nothing.  Method: every output of a call is checked first, then every one is
written beside its place under a temporary name and flushed to the disk, and
only then are they renamed into place, which POSIX and Windows do in one step
(POSIX.1-2017, ``rename``: the new name always refers to a whole file).  What is too
large to be held in memory, sound, is written to the temporary name by a function.

A file that is there already is replaced only with ``force``, or when it
carries the mark of the same input (every writer embeds it), or when it would
not change.  Links are followed; a device, a pipe or a folder is never replaced.
"""

from __future__ import annotations

import contextlib
import errno
import filecmp
import hashlib
import mmap
import os
import re
import secrets
import shutil
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from drills.errors import WriteError

MARK_PREFIX: Final = "drills-made-from:"
LONGEST_NAME: Final = 120
"""Bytes of a file name without its ending; the usual file systems take 255 with it."""

ENDINGS: Final = {
    "pdf": ".pdf",
    "musicxml": ".musicxml",
    "midi": ".mid",
    "ly": ".ly",
    "png": ".png",
    "svg": ".svg",
}
"""The formats that can be written, each with the ending of its files."""

_UNSAFE: Final = re.compile(r'[<>"/\\|?*]+')
"""What some file system refuses; the colon has a stand-in of its own."""
_RESERVED: Final = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
"""Names that Windows keeps for devices, whatever their ending."""


@dataclass(frozen=True, slots=True)
class OutputFile:
    """A file to write: where, and all that goes into it."""

    path: Path
    content: bytes | Callable[[Path], None]
    """The bytes, or what writes them over an empty file; it may raise OSError."""
    mark: str = ""
    """The mark of its input: a file there that carries it may be replaced."""


def made_from(source: str, part: str, asked: Iterable[str], title: str = "") -> str:
    """The mark of an input: ``drills-made-from:`` and 16 hexadecimal digits.

    ``source`` is a file's name or path, of which only the name counts, so that
    a folder may move; ``asked`` are the spots as the player wrote them.  ``title`` is
    that of the piece: many scores go by the same name in folders of their own.
    """
    told = "\0".join((Path(source).name, title, part, *asked))
    return MARK_PREFIX + hashlib.sha256(told.encode("utf-8", "surrogatepass")).hexdigest()[:16]


def safe_name(text: str) -> str:
    """``text`` as a file name (without ending) that every usual file system takes.

    Spaces become hyphens, the colon of a place a full stop ("E:3" is "E.3");
    what is too long is cut.  Never empty, never a name that Windows reserves.
    """
    plain = unicodedata.normalize("NFC", text.encode("utf-8", "replace").decode())
    words = "-".join(plain.split()).replace(":", ".")
    printable = "".join(c for c in words if not unicodedata.category(c).startswith("C"))
    name = _UNSAFE.sub("-", printable)
    name = re.sub(r"-{2,}", "-", name).lstrip("-.").rstrip(" .-")
    name = name.encode()[:LONGEST_NAME].decode(errors="ignore").rstrip(" .-")
    return f"_{name}" if not name or _RESERVED.fullmatch(name) else name


def check_place(path: Path, mark: str = "", force: bool = False) -> None:
    """Make sure that ``path`` can be written and is ours to write.

    Raises WriteError.  Called before long work, so that a player does not wait
    for an engraving that has nowhere to go; ``write_files`` checks again.
    """
    with _told(path):
        target = _target(path)
        folder = target.parent
        if not folder.exists():
            raise WriteError(f"{path}: there is no folder {folder}; make it first")
        if not folder.is_dir():
            raise WriteError(f"{path}: {folder} is a file, not a folder; choose another place")
        if target.is_dir():
            raise WriteError(f"{path} is a folder; name a file in it")
        if not os.access(folder, os.W_OK | os.X_OK):
            raise WriteError(f"{path}: the folder {folder} cannot be written to; choose another")
        if target.exists():
            _check_replaceable(path, target, mark, force)


def check_files(files: Sequence[OutputFile], force: bool = False) -> tuple[OutputFile, ...]:
    """The files whose content would change, once all of them may be written.

    What a function makes is not known before; it counts as changed.  Raises
    WriteError: a path named twice, a place that cannot be written, a file that is not ours.
    """
    _check_twice(files)
    changed = tuple(file for file in files if not _is_same(file))
    for file in changed:
        check_place(file.path, file.mark, force)
    return changed


def write_files(files: Sequence[OutputFile], force: bool = False) -> None:
    """Write every file of a call, or leave everything as it was before the first.

    Raises WriteError as check_files does, and for a full disk.  Whatever
    happens, an interrupt included, no temporary file stays.
    """
    changed = check_files(files, force)
    with contextlib.ExitStack() as cleanup:
        staged = [(_staged(file, cleanup), file.path) for file in changed]
        for temporary, path in staged:
            with _told(path):
                target = _target(path)
                if not (target.is_file() and filecmp.cmp(temporary, target, shallow=False)):
                    temporary.replace(target)
        for folder in {_target(path).parent for _, path in staged}:
            _flush_folder(folder)


def make_folder(path: Path) -> None:
    """Make a folder, with those above it, unless it is there; raises WriteError."""
    if path.is_file():
        raise WriteError(f"{path} is a file, not a folder; choose another name")
    with _told(path):
        path.mkdir(parents=True, exist_ok=True)


@contextlib.contextmanager
def new_folder(path: Path) -> Iterator[None]:
    """The folder, which goes again if it is new and nothing could be put into it."""
    is_new = not path.exists()
    make_folder(path)
    try:
        yield
    except BaseException:
        if is_new:
            with contextlib.suppress(OSError):
                path.rmdir()
        raise


def _target(path: Path) -> Path:
    """The file behind ``path``, links followed; raises WriteError for a circle of links."""
    try:
        return path.resolve()
    except RuntimeError as error:  # how Python 3.11 and 3.12 report a circle of links
        raise WriteError(f"{path}: the link leads in a circle; choose another name") from error


def _check_twice(files: Sequence[OutputFile]) -> None:
    seen: set[Path] = set()
    for file in files:
        target = _target(file.path)
        if target in seen:
            raise WriteError(f"{file.path}: two outputs of one call have this name; change -o")
        seen.add(target)


def _check_replaceable(path: Path, target: Path, mark: str, force: bool) -> None:
    if not target.is_file():
        raise WriteError(f"{path} is not an ordinary file; choose another name")
    if not force and not (mark and _carries(target, mark)):
        raise WriteError(
            f"{path} is there already and was not made from this; "
            "choose another name (with -o), or replace it with --force"
        )


def _carries(target: Path, mark: str) -> bool:
    """Whether the mark stands anywhere in a file, however large it is."""
    if target.stat().st_size == 0:
        return False  # an empty file cannot be mapped
    with (
        target.open("rb") as stream,
        mmap.mmap(stream.fileno(), 0, access=mmap.ACCESS_READ) as all_of,
    ):
        return all_of.find(mark.encode()) >= 0


def _is_same(file: OutputFile) -> bool:
    with _told(file.path):
        target = _target(file.path)
        if not isinstance(file.content, bytes):
            return False
        return target.is_file() and target.read_bytes() == file.content


def _staged(file: OutputFile, cleanup: contextlib.ExitStack) -> Path:
    """Write the content beside its place and flush it; it goes again unless renamed."""
    target = _target(file.path)
    temporary = target.with_name(f".{secrets.token_hex(8)}.drills-part")
    cleanup.callback(temporary.unlink, missing_ok=True)
    with _told(file.path):
        with temporary.open("xb") as stream:
            if isinstance(file.content, bytes):
                stream.write(file.content)
        if not isinstance(file.content, bytes):
            file.content(temporary)
        with temporary.open("r+b") as stream:
            os.fsync(stream.fileno())
        if target.exists():
            shutil.copymode(target, temporary)
    return temporary


def _flush_folder(folder: Path) -> None:
    """Make the renaming itself survive a power cut, where the system can."""
    with contextlib.suppress(OSError):  # Windows opens no folders; some networks flush none
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


_ADVICE: Final = {
    errno.ENOSPC: "make room there, or choose another place with -o",
    errno.EDQUOT: "make room there, or choose another place with -o",
    errno.EFBIG: "make room there, or choose another place with -o",
    errno.ENAMETOOLONG: "choose a shorter name with -o",
}


@contextlib.contextmanager
def _told(path: Path) -> Iterator[None]:
    """Translate what the file system says about ``path``, here and nowhere else."""
    try:
        yield
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        advice = _ADVICE.get(error.errno or 0, "choose another place with -o")
        raise WriteError(f"{path} cannot be written ({reason}); {advice}") from error
