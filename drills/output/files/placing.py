"""Files that come to their places together, or not at all.

Method: each is written beside its place under a name of its own and flushed to the
disk.  When all are there they are renamed into place one after the other, which POSIX
and Windows do in one step each (POSIX.1-2017, ``rename``: the new name always refers
to a whole file); what was there before keeps a second name until the last one is in
place, and gets its own again where one fails or the player stops the program.
"""

from __future__ import annotations

import contextlib
import errno
import filecmp
import os
import shutil
import signal
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from drills.errors import WriteError
from drills.output.alive import beside, locked


@dataclass(frozen=True, slots=True)
class Staged:
    """A file that is written and waits beside its place."""

    path: Path
    """As the player named it."""
    target: Path
    """The same, links followed."""
    temporary: Path


def target_of(path: Path) -> Path:
    """The file behind ``path``, links followed; raises WriteError for a circle of links."""
    try:
        return path.resolve()
    except RuntimeError as error:  # how Python 3.11 and 3.12 report a circle of links
        raise WriteError(f"{path}: the link leads in a circle; choose another name") from error


def staged(
    path: Path, content: bytes | Callable[[Path], None], cleanup: contextlib.ExitStack
) -> Staged:
    """Write the content beside its place and flush it; it goes again unless renamed."""
    with told(path):
        target = target_of(path)
        temporary = beside(target)
        cleanup.callback(_gone, temporary)
        cleanup.enter_context(locked(temporary))
        if isinstance(content, bytes):
            temporary.write_bytes(content)
        else:
            content(temporary)
        with temporary.open("r+b") as stream:
            os.fsync(stream.fileno())
        if target.exists():
            shutil.copymode(target, temporary)
    return Staged(path, target, temporary)


def place_all(files: Sequence[Staged], cleanup: contextlib.ExitStack) -> None:
    """Rename all into place, or leave all as it was; raises WriteError."""
    begun: list[tuple[Path, Path | None]] = []
    try:
        for file in files:
            with told(file.path):
                if _is_same(file):
                    continue
                begun.append((file.target, _kept(file.target, cleanup)))
                file.temporary.replace(file.target)
    except BaseException:
        with _undisturbed():
            for target, kept in reversed(begun):
                _put_back(target, kept)
        raise


def _is_same(file: Staged) -> bool:
    return file.target.is_file() and filecmp.cmp(file.temporary, file.target, shallow=False)


def _kept(target: Path, cleanup: contextlib.ExitStack) -> Path | None:
    """A second name for what stands at a place; None where nothing does."""
    if not target.exists():
        return None
    kept = beside(target)
    cleanup.callback(_gone, kept)

    def make(path: Path) -> None:
        try:
            path.hardlink_to(target)
        except OSError:  # a file system without links
            shutil.copy2(target, path)

    cleanup.enter_context(locked(kept, make))
    return kept


def _put_back(target: Path, kept: Path | None) -> None:
    with contextlib.suppress(OSError):
        if kept is None:
            target.unlink(missing_ok=True)
        else:
            kept.replace(target)


def _gone(path: Path) -> None:
    """Take away what was there for a while; its folder may have gone by now."""
    with contextlib.suppress(OSError):
        path.unlink(missing_ok=True)


@contextlib.contextmanager
def _undisturbed() -> Iterator[None]:
    """Keep a second Ctrl-C waiting until all is put back."""
    names = ("SIGINT", "SIGTERM", "SIGHUP")
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {getattr(signal, name) for name in names})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def flush_folder(folder: Path) -> None:
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
def told(path: Path) -> Iterator[None]:
    """Translate what the file system says about ``path``, here and nowhere else."""
    try:
        yield
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        advice = _ADVICE.get(error.errno or 0, "choose another place with -o")
        raise WriteError(f"{path} cannot be written ({reason}); {advice}") from error
