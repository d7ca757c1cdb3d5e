"""What a player sees in the terminal: results, one-line errors, and progress.

Results go to standard output, all else to standard error.  Titles and names
come from strangers' files, so control characters (which could move the cursor
or recolour the screen) never reach a terminal.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
import threading
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Final, Self

from drills.errors import WriteError

PATIENCE: Final = 1.0
"""Seconds before progress is told."""


class Stopped(KeyboardInterrupt):
    """The program was asked to stop, by Ctrl-C or another signal."""

    def __init__(self, number: int) -> None:
        super().__init__()
        self.number = number


@dataclass(slots=True)
class Session:
    """What holds for one call of the program, whatever the command."""

    debug: bool = False
    """Show tracebacks."""
    quiet: bool = False
    """Say nothing but errors and what was asked for."""
    stopped_by: int = 0
    """The signal that asked the program to stop; 0 for none."""

    def check_stopped(self) -> None:
        """Raise Stopped where a signal was noted but its exception got lost."""
        if self.stopped_by:
            raise Stopped(self.stopped_by)


def clean(text: str) -> str:
    """``text`` without what a terminal would obey instead of print; line ends are kept."""
    return "".join("?" if _is_obeyed(c) and c not in _KEPT else c for c in text)


def _is_obeyed(character: str) -> bool:
    """True for control characters, those that turn the direction of writing, and surrogates."""
    return unicodedata.category(character) in ("Cc", "Cf", "Cs")


_KEPT: Final = "\n\N{ZERO WIDTH NON-JOINER}\N{ZERO WIDTH JOINER}"
"""Line ends, and what joins or parts letters in Persian, in scripts of India and in emoji:
the Unicode Standard 15.0, section 23.2, "Cursive Connection and Ligatures"."""


def one_line(text: str) -> str:
    """``text`` on one line, cleaned."""
    return clean(" ".join(text.split()))


def say(text: str) -> None:
    """Print a result on standard output; raises WriteError when it takes no more."""
    _put(clean(text))


def say_data(text: str) -> None:
    """Print data for another program: always UTF-8, whatever the terminal speaks.

    What a terminal would obey stands only inside the texts of JSON, where it can be
    written as an escape (RFC 8259, section 7) that reads as the same character.
    """
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")
    _put("".join(_escape(c) if _is_obeyed(c) and c != "\n" else c for c in text))


def _escape(character: str) -> str:
    """A character as JSON escapes it: one or two numbers of UTF-16."""
    numbers = character.encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{numbers[at : at + 4]}" for at in range(0, len(numbers), 4))


def _put(text: str) -> None:
    try:
        print(text, flush=True)
    except BrokenPipeError:
        raise
    except OSError as error:
        drop_standard_output()
        reason = (error.strerror or str(error)).lower()
        raise WriteError(
            f"standard output cannot be written ({reason}); make room there"
        ) from error


def complain(text: str) -> None:
    """Print an error or a remark on standard error, on one line."""
    with contextlib.suppress(OSError):  # a closed terminal must not hide the exit code
        print(f"drills: {one_line(text)}", file=sys.stderr, flush=True)


def open_missing_streams() -> None:
    """Put a stream that leads nowhere in place of each that was closed before we began.

    The next file that is opened would take the number of a closed one, and whatever is
    said on standard error would be written into it (POSIX.1-2017, ``open``: the lowest
    number that is free).
    """
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)
    for name in ("stdin", "stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, Path(os.devnull).open("r" if name == "stdin" else "w"))  # noqa: SIM115


def drop_standard_output() -> None:
    """Send what is still buffered nowhere, so that Python does not fail on it at exit.

    Python documentation, library/signal, "Note on SIGPIPE".
    """
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


class Progress:
    """Says in the terminal what is being done, once that has taken a second.

    One line of standard error is rewritten and taken away at the end; where
    standard error is a file or a pipe nobody is waiting in front of it, and
    nothing is said.  Used as a context; calling it names the next stage.
    """

    def __init__(self, session: Session, patience: float = PATIENCE) -> None:
        self._session = session
        self._quiet = session.quiet or not sys.stderr.isatty()
        self._lock = threading.Lock()
        self._stage = ""
        self._shown = 0
        self._speaking = False
        self._paused = False
        self._timer = threading.Timer(patience, self._begin)
        self._timer.daemon = True

    def __enter__(self) -> Self:
        if not self._quiet:
            self._timer.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._timer.cancel()
        with self._lock:
            self._speaking = False
            self._wipe()

    def __call__(self, stage: str) -> None:
        """Name the stage that begins: "reading march.musicxml"; raises Stopped when asked to."""
        self._session.check_stopped()
        with self._lock:
            self._stage = one_line(stage)
            if self._speaking:
                self._show()

    @contextlib.contextmanager
    def paused(self) -> Iterator[None]:
        """Leave the terminal to something else, such as a question."""
        with self._lock:
            self._paused = True
            self._wipe()
        try:
            yield
        finally:
            with self._lock:
                self._paused = False

    def _begin(self) -> None:
        with self._lock:
            self._speaking = True
            if self._stage:
                self._show()

    def _show(self) -> None:
        if self._paused:
            return
        line = _fitting(self._stage, _columns() - 1)
        self._put("\r" + line.ljust(self._shown))
        self._shown = len(line)

    def _wipe(self) -> None:
        if self._shown:
            self._put(f"\r{' ' * self._shown}\r")
        self._shown = 0

    def _put(self, text: str) -> None:
        with contextlib.suppress(OSError, ValueError):  # a closed terminal stops nothing
            sys.stderr.write(text)
            sys.stderr.flush()


def _fitting(stage: str, width: int) -> str:
    """``stage ...`` in ``width`` columns: a long path loses its first folders, then its end."""
    line = f"{stage} ..."
    doing, _, path = stage.partition(" ")
    names = path.replace(os.sep, "/").split("/")
    while len(line) > width and len(names) > 1:
        del names[0]
        line = f"{doing} …/{'/'.join(names)} ..."
    return line if len(line) <= width else f"{line[: width - 1]}…"


def _columns() -> int:
    """Columns of the terminal behind standard error."""
    try:
        return os.get_terminal_size(sys.stderr.fileno()).columns or 80
    except (OSError, ValueError):
        return 80
