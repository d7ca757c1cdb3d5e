"""What a process with limits does in the tests."""

from __future__ import annotations

import json

from drills.reading.confined import confine, questions


def serve() -> None:
    """Answer until the input ends."""
    questions(_answer)


def _answer(question: bytes) -> bytes:
    what, *given = json.loads(question)
    if what == "write":
        path, size, limit = given
        confine(written=limit)
        try:
            with open(path, "wb") as file:  # noqa: PTH123 - a plain stream
                file.write(bytes(size))
        except OSError as error:
            return str(error).encode()
    if what == "hold":
        size, limit = given
        confine(memory=limit)
        try:
            return str(len(bytearray(size))).encode()
        except MemoryError:
            return b"too much"
    if what == "turn":
        confine(seconds=0)
        while True:
            pass
    if what == "print":
        print("words between the answers")
    return b"done"
