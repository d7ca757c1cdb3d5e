"""The process that reads files of other formats: one after another, each within its limits.

Messages go through standard input and output: eight bytes of length, then a head in JSON
and, behind a null byte, the bytes of a file or a document.  Processor time and address space
are bounded by the system (POSIX ``setrlimit``; Windows has neither, where the clock of the
other side alone holds).
"""

from __future__ import annotations

import json
import os
import signal
import sys
import time
from dataclasses import asdict
from pathlib import Path
from threading import Thread
from typing import IO, Any, Final

from drills.errors import DrillsError, LimitError, NotMusicXMLError, ReadError, UsageError
from drills.music.pitch import KeySignature
from drills.music.time import TimeSignature
from drills.reading.given import Given
from drills.reading.limits import MEGABYTE, Limits
from drills.reading.other.foreign import Foreign, Translation
from drills.reading.other.kinds import Kind
from drills.reading.other.translating import translated

try:
    import resource
except ImportError:  # Windows has no such limits
    resource = None  # type: ignore[assignment]

SEPARATOR: Final = b"\0"
"""Between head and bytes; JSON holds none."""
ERRORS: Final = (ReadError, LimitError, NotMusicXMLError, UsageError)
"""What a reader may say of a file; each by its own name."""
_LENGTH: Final = 8


def put(stream: IO[bytes], message: bytes) -> None:
    """Write a message with its length before it."""
    stream.write(len(message).to_bytes(_LENGTH, "big"))
    stream.write(message)
    stream.flush()


def get(stream: IO[bytes]) -> bytes:
    """Read a message; empty where the stream ends before it does."""
    length = int.from_bytes(stream.read(_LENGTH), "big")
    message = stream.read(length)
    return message if len(message) == length else b""


def serve() -> None:
    """Answer until the input ends."""
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints must not stand between the answers
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the other side decides
    Thread(target=_end_with, args=(os.getppid(),), daemon=True).start()
    while question := get(sys.stdin.buffer):
        put(answers, _answer(question))


def _end_with(parent: int) -> None:
    """End in the middle of a file when the program that wants it is gone.

    Not by the system's own signal, which comes when the thread ends that started us.
    """
    while os.getppid() == parent:
        time.sleep(_LOOK)
    os._exit(1)


_LOOK: Final = 1.0
"""Seconds between two looks at the parent."""


def _answer(question: bytes) -> bytes:
    head, _, data = question.partition(SEPARATOR)
    said = json.loads(head)
    limits = Limits(**said["limits"])
    _confine(limits)
    try:
        found = translated(Kind(said["kind"]), _foreign(said, limits, data))
    except DrillsError as error:
        return json.dumps({"failed": type(error).__name__, "words": str(error)}).encode()
    return json.dumps(_told(found)).encode() + SEPARATOR + found.text


def _told(found: Translation) -> dict[str, Any]:
    return {"failed": "", "remarks": found.remarks, "silence": asdict(found.silence)}


def _foreign(said: dict[str, Any], limits: Limits, data: bytes) -> Foreign:
    metre = TimeSignature.parse(said["metre"]) if said["metre"] else None
    key = KeySignature(said["key"]["fifths"], said["key"]["mode"]) if said["key"] else None
    return Foreign(data, limits, said["where"], said["tune"], Given(metre, key))


def _confine(limits: Limits) -> None:
    """Bound what the next file may take, beside what was taken already."""
    if resource is None:
        return
    seconds = int(time.process_time()) + limits.seconds + 1
    _lower(resource.RLIMIT_CPU, seconds)
    if in_use := _address_space():
        _lower(resource.RLIMIT_AS, in_use + limits.megabytes * MEGABYTE)


def _lower(kind: int, value: int) -> None:
    hard = resource.getrlimit(kind)[1]
    most = value if hard == resource.RLIM_INFINITY else min(value, hard)
    resource.setrlimit(kind, (most, hard))


def _address_space() -> int:
    """Bytes in use; 0 beyond Linux, where no limit of them helps."""
    try:
        pages = Path("/proc/self/statm").read_text(encoding="ascii").split()[0]
        return int(pages) * os.sysconf("SC_PAGE_SIZE")
    except OSError:
        return 0
