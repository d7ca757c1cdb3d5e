"""Writing outputs: whole or not at all, and never over a file that is not ours.

Problem: a player who already has ``clarinet-12.pdf`` must not lose it to a
second run, a full disk must not leave half a PDF, and Ctrl-C must leave
nothing.  Method: every output of a call is checked first, then every one is
written beside its place, and only then do all come to their places (placing.py).
What is too large to be held in memory, sound, is written there by a function.

A file that is there already is replaced only with ``force``, or when it
carries the mark of the same input (every writer embeds it), or when it would not
change.  A plain call, and a file that only comes along with others, replace nothing
that was made with choices: those may be forgotten, but a plain page can always be made
again.  What the files are made from is never replaced.
Links are followed; a device, a pipe or a folder is never replaced.
"""

from __future__ import annotations

import contextlib
import hashlib
import mmap
import os
import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from drills.errors import WriteError
from drills.output.alive import sweep_parts
from drills.output.files.placing import flush_folder, place_all, staged, target_of, told

MARK_PREFIX: Final = "drills-made-from:"
_PLAIN: Final = "0" * 8
"""The end of a mark where nothing was chosen."""
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
    careful: bool = False
    """It comes along with what was asked for, and replaces nothing that was chosen."""


def made_from(
    source: str, part: str, asked: Iterable[str], title: str = "", choices: Sequence[str] = ()
) -> str:
    """The mark of an input and of choices: ``drills-made-from:``, 16 and 8 hexadecimal digits.

    ``source`` is a file's name or path, of which only the name counts, so that
    a folder may move; ``asked`` are the spots as the player wrote them.  ``title`` is
    that of the piece: many scores go by the same name in folders of their own.
    ``choices`` are what the player has chosen apart from the usual; without any the last
    digits are 0.
    """
    return f"{MARK_PREFIX}{_digest((Path(source).name, title, part, *asked), 16)}-" + (
        _digest(choices, len(_PLAIN)) if choices else _PLAIN
    )


def related(mark: str, kind: str) -> str:
    """The mark of another kind of file that is made from the same with the same choices."""
    before, own = mark[: -len(_PLAIN)], mark[-len(_PLAIN) :]
    return f"{MARK_PREFIX}{_digest((before, kind), 16)}-{own}"


def chosen_too(mark: str, choices: Sequence[str]) -> str:
    """The mark after more choices, such as those of a page."""
    if not choices:
        return mark
    before, own = mark[: -len(_PLAIN)], mark[-len(_PLAIN) :]
    return before + _digest((own, *choices), len(_PLAIN))


def _digest(words: Iterable[str], length: int) -> str:
    told = "\0".join(words).encode("utf-8", "surrogatepass")
    return hashlib.sha256(told).hexdigest()[:length]


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


def check_place(
    path: Path,
    mark: str = "",
    force: bool = False,
    inputs: Sequence[Path] = (),
    *,
    careful: bool = False,
) -> None:
    """Make sure that ``path`` can be written and is ours to write.

    None of the ``inputs`` of the call ever is, forced or not.  Raises WriteError.
    Called before long work, so that a player does not wait for an engraving that has
    nowhere to go; ``write_files`` checks again.
    """
    with told(path):
        target = target_of(path)
        folder = target.parent
        if not folder.exists():
            raise WriteError(f"{path}: there is no folder {folder}; make it first")
        if not folder.is_dir():
            raise WriteError(f"{path}: {folder} is a file, not a folder; choose another place")
        if target.is_dir():
            raise WriteError(f"{path} is a folder; name a file in it")
        if not os.access(folder, os.W_OK | os.X_OK):
            raise WriteError(f"{path}: the folder {folder} cannot be written to; choose another")
        if any(_is_same_file(target, one) for one in inputs):
            raise WriteError(f"{path} is what this is made from; choose another name with -o")
        if target.exists():
            _check_replaceable(path, target, mark, force, careful)


def check_files(
    files: Sequence[OutputFile], force: bool = False, inputs: Sequence[Path] = ()
) -> tuple[OutputFile, ...]:
    """The files whose content would change, once all of them may be written.

    What a function makes is not known before; it counts as changed.  Raises
    WriteError: a path named twice, a place that cannot be written, a file that is not ours.
    """
    _check_twice(files)
    changed = tuple(file for file in files if not _is_same(file))
    for file in changed:
        check_place(file.path, file.mark, force, inputs, careful=file.careful)
    return changed


def write_files(
    files: Sequence[OutputFile], force: bool = False, inputs: Sequence[Path] = ()
) -> None:
    """Write every file of a call, or leave everything as it was before the first.

    Raises WriteError as check_files does, and for a full disk.  Whatever
    happens, an interrupt included, no temporary file stays; what a run that was
    killed has left beside the files is taken away.
    """
    changed = check_files(files, force, inputs)
    folders = {target_of(file.path).parent for file in changed}
    for folder in folders:
        sweep_parts(folder)
    with contextlib.ExitStack() as cleanup:
        place_all([staged(file.path, file.content, cleanup) for file in changed], cleanup)
        for folder in folders:
            flush_folder(folder)


def make_folder(path: Path) -> None:
    """Make a folder, with those above it, unless it is there; raises WriteError."""
    if path.is_file():
        raise WriteError(f"{path} is a file, not a folder; choose another name")
    with told(path):
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


def _check_twice(files: Sequence[OutputFile]) -> None:
    seen: set[Path] = set()
    for file in files:
        target = target_of(file.path)
        if target in seen:
            raise WriteError(f"{file.path}: two outputs of one call have this name; change -o")
        seen.add(target)


def _check_replaceable(path: Path, target: Path, mark: str, force: bool, careful: bool) -> None:
    if not target.is_file():
        raise WriteError(f"{path} is not an ordinary file; choose another name")
    source = mark[: -len(_PLAIN)]
    same = mark and _carries(target, source)
    may = mark and _carries(target, mark, source + _PLAIN)
    if force or may or (same and not careful and mark != source + _PLAIN):
        return
    how = "was made with other choices" if same else "was not made from this"
    raise WriteError(
        f"{path} is there already and {how}; "
        "choose another name (with -o), or replace it with --force"
    )


def _is_same_file(target: Path, other: Path) -> bool:
    """True for one file under two names, links and letters of another case included."""
    try:
        return target.samefile(other)
    except (OSError, ValueError):  # one of them is not there
        return False


def _carries(target: Path, *marks: str) -> bool:
    """Whether one of the marks stands anywhere in a file, however large it is."""
    if target.stat().st_size == 0:
        return False  # an empty file cannot be mapped
    with (
        target.open("rb") as stream,
        mmap.mmap(stream.fileno(), 0, access=mmap.ACCESS_READ) as all_of,
    ):
        return any(all_of.find(one.encode()) >= 0 for one in marks)


def _is_same(file: OutputFile) -> bool:
    with told(file.path):
        target = target_of(file.path)
        if not isinstance(file.content, bytes):
            return False
        return target.is_file() and target.read_bytes() == file.content
