"""A tablet on the same network is let in by a code that works once.

Method.  The terminal shows eight figures, as text and in a QR code.  Whoever sends them gets a
key of their own and the code is spent; a new one is shown.  Wrong codes are counted whoever
sends them: after MOST_WRONG of them nothing is accepted for PAUSE seconds.  All keys end with the
program, and at once when the player takes them back.

What this does not do: the connection is plain http, so others on the network can read along.
"""

from __future__ import annotations

import hmac
import io
import secrets
import time
from collections.abc import Callable
from typing import Final

import segno

CODE_DIGITS: Final = 8
MOST_WRONG: Final = 5
PAUSE: Final = 60.0
"""Seconds."""
MOST_DEVICES: Final = 8
PAIR: Final = "/pair"


class Pairing:
    """The codes and keys of one run."""

    def __init__(
        self, address: str, say: Callable[[str], None], clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._address = address
        self._say = say
        self._clock = clock
        self._code = ""
        self._wrong = 0
        self._closed_until = 0.0
        self.devices: list[str] = []
        """The keys of those that were let in."""

    def show(self) -> None:
        """A new code, in the terminal."""
        self._code = "".join(secrets.choice("0123456789") for _ in range(CODE_DIGITS))
        drawn = io.StringIO()
        segno.make(f"{self._address}{PAIR}#{self._code}", error="m").terminal(drawn, compact=True)
        self._say(drawn.getvalue().rstrip("\n"))
        self._say(f"on the tablet: {self._address}{PAIR}  code {self._code}")
        self._say(
            "others on this network can read what is sent; nobody gets in without the code, which "
            "works once. A tablet gets no microphone: record there, and drop the file in."
        )

    def let_in(self, code: str) -> str | None:
        """A key for the right code, None for a wrong one or while nothing is accepted."""
        if self._clock() < self._closed_until or len(self.devices) >= MOST_DEVICES:
            return None
        if not (self._code and hmac.compare_digest(code.encode(), self._code.encode())):
            self._wrong += 1
            if self._wrong >= MOST_WRONG:
                self._wrong, self._closed_until = 0, self._clock() + PAUSE
            return None
        key = secrets.token_urlsafe(24)
        self.devices.append(key)
        self._wrong = 0
        self.show()
        return key

    def knows(self, key: str) -> bool:
        """True for the key of a tablet that was let in."""
        return any(
            hmac.compare_digest(key.encode("utf-8", "replace"), own.encode())
            for own in self.devices
        )

    def send_away(self) -> int:
        """Take all keys back; how many there were."""
        count = len(self.devices)
        self.devices.clear()
        return count
