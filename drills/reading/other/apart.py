"""The readers of other formats in a process of their own, bounded in time and memory.

Problem: a file from a stranger may make a reader that we did not write work for hours, or
eat the memory of the machine.  Method: one process waits for files, reads one after another
and is kept for the next, since its libraries take long to load (serving.py).  A file for
which it takes longer than ``Limits.seconds``, or more than ``Limits.megabytes``, ends it; the
next file gets a fresh one.  It ends with this program, however that ends.

What comes back is text and bytes, never objects (drills/reading/confined).
"""

from __future__ import annotations

import atexit
import json
import os
from dataclasses import asdict
from threading import Lock
from typing import Any, Final

from drills.errors import DrillsError, ReadError
from drills.reading.confined import OUT_OF_TIME, Child
from drills.reading.given import Silence
from drills.reading.limits import Limits
from drills.reading.other.foreign import Foreign, Translation
from drills.reading.other.kinds import Kind
from drills.reading.other.serving import ERRORS, SEPARATOR

_PATIENCE: Final = 5
"""How many times longer than its processor time a file may take on a busy machine."""
_KEPT: Final = 100
"""Files that one process reads: what libraries keep of them goes with it."""

_lock = Lock()
_readers: list[Child] = []
"""The one that waits; none before the first file and after one that ended it."""


def translated_apart(kind: Kind, foreign: Foreign) -> Translation:
    """The score in MusicXML; raises ReadError and LimitError."""
    said = {
        "kind": kind.value,
        "limits": asdict(foreign.limits),
        "where": foreign.where,
        "tune": foreign.tune,
        "metre": str(foreign.given.metre or ""),
        "key": None if foreign.given.key is None else asdict(foreign.given.key),
    }
    question = json.dumps(said).encode() + SEPARATOR + foreign.data
    with _lock:
        answer = _asked(question, foreign.limits, foreign.where)
    head, _, document = answer.partition(SEPARATOR)
    told: dict[str, Any] = json.loads(head)
    if told["failed"]:
        raise _error(told["failed"], told["words"])
    return Translation(document, tuple(told["remarks"]), Silence(**told["silence"]))


def _asked(question: bytes, limits: Limits, where: str) -> bytes:
    reader = _ready()
    try:
        answer = reader.ask(question, limits.seconds * _PATIENCE)
    except BaseException:  # the player has had enough: nothing may be left in the pipes
        _readers.clear()
        reader.end()
        raise
    if answer and reader.used < _KEPT:
        return answer
    _readers.clear()
    code = reader.end()
    if answer:
        return answer
    if code in OUT_OF_TIME:
        raise limits.exceeded("seconds", f"more than {limits.seconds}", where)
    raise ReadError(f"{where}: its reader ended without a word; export the score as MusicXML")


def _ready() -> Child:
    """The process that waits, or a fresh one: a fork of this program must not share it."""
    if not _readers or _readers[0].owner != os.getpid():
        try:
            _readers[:] = [Child("drills.reading.other.serving", "serve")]
        except OSError as error:
            raise ReadError(f"the reader of other formats cannot be started ({error})") from error
    return _readers[0]


@atexit.register
def _end_reader() -> None:
    for reader in _readers:
        if reader.owner == os.getpid():
            reader.end()


def _error(name: str, words: str) -> DrillsError:
    return next((error for error in ERRORS if error.__name__ == name), ReadError)(words)
