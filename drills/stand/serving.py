"""Start the stand: a port of its own on this machine, the address, and the browser."""

from __future__ import annotations

import socket
from collections.abc import Callable
from pathlib import Path
from typing import Final

import uvicorn

from drills.errors import UsageError
from drills.stand.app import make_app
from drills.stand.door import OPEN, Keys

LOOPBACK: Final = "127.0.0.1"


def serve(folder: Path, port: int, opened: Callable[[str], None]) -> None:
    """Serve a folder until the program is ended.

    ``port`` 0 takes one that is free.  ``opened`` is called with the address once requests
    are answered.  Raises UsageError for a folder or a port that cannot be had.
    """
    if not folder.is_dir():
        raise UsageError(f"{folder} is no folder; name one with scores in it, or make it first")
    keys, listening = Keys(), _listening(port)
    number = listening.getsockname()[1]
    hosts = frozenset((f"{LOOPBACK}:{number}", f"localhost:{number}"))
    config = uvicorn.Config(
        make_app(folder, keys, hosts),
        log_level="warning",
        server_header=False,
        limit_concurrency=64,
        timeout_keep_alive=20,
        h11_max_incomplete_event_size=16_384,
    )
    server = _Told(config, lambda: opened(f"http://{LOOPBACK}:{number}{OPEN}?key={keys.key}"))
    server.run([listening])


class _Told(uvicorn.Server):
    """A server that says when it answers."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None]) -> None:
        super().__init__(config)
        self._ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start, then say so."""
        await super().startup(sockets)
        self._ready()


def _listening(port: int) -> socket.socket:
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        made.bind((LOOPBACK, port))
    except OSError as error:
        made.close()
        raise UsageError(
            f"port {port} is taken ({(error.strerror or str(error)).lower()}); leave out --port"
        ) from error
    return made
