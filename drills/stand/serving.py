"""Start the stand: a port of its own on this machine, the address, and the browser."""

from __future__ import annotations

import asyncio
import contextlib
import socket
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Final

import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from drills.errors import UsageError
from drills.stand.app import make_app
from drills.stand.door import OPEN, Keys
from drills.stand.pairing import Pairing

LOOPBACK: Final = "127.0.0.1"
HEADERS_WITHIN: Final = 15.0
"""Seconds in which a connection must have asked for something."""
Say = Callable[[str], None]


def serve(folder: Path, port: int, opened: Say, *, on_network: Say | None = None) -> None:
    """Serve a folder until the program is ended.

    ``port`` 0 takes one that is free.  ``opened`` is called with the address once requests
    are answered.  ``on_network`` lets tablets on the same network in and is called with how.
    Raises UsageError for a folder or a port that cannot be had.
    """
    if not folder.is_dir():
        raise UsageError(f"{folder} is no folder; name one with scores in it, or make it first")
    keys, listening = Keys(), _listening("0.0.0.0" if on_network else LOOPBACK, port)
    number = listening.getsockname()[1]
    names = [LOOPBACK, "localhost"]
    pairing = None
    if on_network is not None:
        names.append(own := _on_network())
        pairing = Pairing(f"http://{own}:{number}", on_network)
    hosts = frozenset(f"{name}:{number}" for name in names)
    config = uvicorn.Config(
        make_app(folder.resolve(), keys, hosts, pairing),
        http=Impatient,
        log_level="warning",
        server_header=False,
        limit_concurrency=64,
        timeout_keep_alive=20,
        timeout_graceful_shutdown=3,
        h11_max_incomplete_event_size=16_384,
    )

    def ready() -> None:
        opened(f"http://{LOOPBACK}:{number}{OPEN}?key={keys.key}")
        if pairing is not None:
            pairing.show()

    with contextlib.suppress(KeyboardInterrupt):  # Ctrl-C is how it is meant to end
        _Told(config, ready).run([listening])


class Impatient(H11Protocol):
    """A connection that is closed where its request does not come."""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin, and wait for so long."""
        super().connection_made(transport)
        self.loop.call_later(HEADERS_WITHIN, self._given_up)

    def _given_up(self) -> None:
        if self.cycle is None and not self.transport.is_closing():
            self.transport.close()


class _Told(uvicorn.Server):
    """A server that says when it answers."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None]) -> None:
        super().__init__(config)
        self._ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start, then say so."""
        await super().startup(sockets)
        self._ready()


def _listening(host: str, port: int) -> socket.socket:
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if sys.platform == "win32":  # where the other option lets a second program take the port
        made.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
    else:
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((host, port))
    except OSError as error:
        made.close()
        raise UsageError(
            f"port {port} is taken ({(error.strerror or str(error)).lower()}); leave out --port"
        ) from error
    return made


def _on_network() -> str:
    """The address of this machine as its network sees it; nothing is sent to find it out."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(("192.0.2.1", 9))  # TEST-NET-1 of RFC 5737: only the route is looked up
            return str(asking.getsockname()[0])
        except OSError as error:
            raise UsageError("this machine is on no network; leave out --lan") from error
