"""Telling what a living run is working on from what a killed one left behind.

Problem: a program that is killed cannot tidy up.  The next run should, but must
never touch what another run is still working on, on this machine or in another
container that shares the folder.  Method: everything that is only there for a while
(a file beside its place, a temporary folder) has a lock on it, which the system
takes off when its owner dies, however it dies (flock(2)); what is ours and unlocked
is stale.  A thing gets its telling name only once it is locked, so that no moment is
left in between.  Where there are no such locks (Windows, some networks), what is
older than a day is stale.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import shutil
import stat
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final

try:
    import fcntl
except ImportError:  # Windows has no such locks
    fcntl = None  # type: ignore[assignment]

PART: Final = ".drills-part"
"""How a file ends that is written beside its place."""
FOLDER: Final = "drills-"
"""How a temporary folder begins."""
_LOCK: Final = "alive"
"""The file in a temporary folder that is locked."""
_BEGUN: Final = ".drills-begun"
_DAY: Final = 86_400


def temporary_place() -> str:
    """Where temporary folders are made, for messages."""
    try:
        return tempfile.gettempdir()
    except OSError:  # there is no place that takes any
        return os.environ.get("TMPDIR", "none")


@contextlib.contextmanager
def temporary_folder() -> Iterator[Path]:
    """A folder for temporary files, which goes at the end; those of killed runs go first."""
    sweep_folders()
    with tempfile.TemporaryDirectory(prefix=FOLDER) as name:
        folder = Path(name)
        with locked(folder / _LOCK):
            yield folder


def beside(target: Path) -> Path:
    """A name that nothing has, for what is only there for a while, in the folder of a file."""
    return target.with_name(f".{secrets.token_hex(8)}{PART}")


@contextlib.contextmanager
def locked(path: Path, make: Callable[[Path], None] = Path.touch) -> Iterator[None]:
    """Make a file of that name, which is ours as long as the context lasts.

    ``make`` makes it, under another name; an empty one unless told otherwise.  The file
    stays; raises OSError where it cannot be made.
    """
    if fcntl is None:  # an open file cannot be renamed there
        make(path)
        yield
        return
    begun = path.with_name(path.name.removesuffix(PART) + _BEGUN)
    make(begun)
    try:
        handle = os.open(begun, os.O_RDONLY)
        try:
            with contextlib.suppress(BlockingIOError):  # another program locks it: as good
                _lock(handle)
            begun.rename(path)
            yield
        finally:
            os.close(handle)
    finally:
        with contextlib.suppress(OSError):  # its folder may have gone
            begun.unlink(missing_ok=True)


def sweep_folders() -> None:
    """Take away the temporary folders of killed runs; what cannot be looked at stays."""
    with contextlib.suppress(OSError):
        for folder in Path(tempfile.gettempdir()).glob(f"{FOLDER}*"):
            if _is_stale(folder / _LOCK):
                shutil.rmtree(folder, ignore_errors=True)


def sweep_parts(folder: Path) -> None:
    """Take away what killed runs left beside the files of a folder."""
    with contextlib.suppress(OSError):
        for path in folder.glob(f".*{PART}"):
            if _is_stale(path):
                with contextlib.suppress(OSError):
                    path.unlink()


def _is_stale(path: Path) -> bool:
    """True for an ordinary file of our own that nobody holds a lock on."""
    try:
        found = path.lstat()
        if not stat.S_ISREG(found.st_mode) or found.st_uid != _user():
            return False
        if fcntl is None:
            return time.time() - found.st_mtime > _DAY
        handle = os.open(path, os.O_RDONLY | os.O_NOFOLLOW)
    except OSError:
        return False
    try:
        return _lock(handle) or time.time() - found.st_mtime > _DAY
    except BlockingIOError:
        return False
    finally:
        os.close(handle)


def _lock(handle: int) -> bool:
    """Lock an open file; False where the system has no locks.

    Raises BlockingIOError where somebody else holds it.
    """
    if fcntl is None:
        return False
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise
    except OSError:  # a file system without locks
        return False
    return True


def _user() -> int:
    """Who we are; 0 where the system does not say, as its files then do neither."""
    return os.getuid() if hasattr(os, "getuid") else 0
