"""Who may come in: one browser on this machine, and nobody who talks to it from elsewhere.

Problem.  A server on 127.0.0.1 is reached by every page that the player has open: by posting
a form to it, by a name that resolves to 127.0.0.1 (DNS rebinding), by guessing the port.
Method.  The address that the program opens carries a random key; it is changed for a cookie
that scripts cannot read and other sites do not send.  Every request must name a host that we
serve, every change must come from a page of ours (the Origin header, RFC 6454), bodies have a
size, and pages may load nothing from outside (Content Security Policy Level 3, W3C).

The key ends with the program: a link that was copied opens nothing later.
"""

from __future__ import annotations

import asyncio
import hmac
import secrets
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from typing import Final

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from drills.stand.pairing import PAIR, Pairing

COOKIE: Final = "stand"
OPEN: Final = "/open"
"""Where the key is changed for a cookie: ``/open?key=...``."""
BODY_LIMIT: Final = 64_000_000
"""Bytes of a request: an hour of a phone's recording."""
PATIENCE: Final = 30.0
"""Seconds between two pieces of a request's body."""

POLICY: Final = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "media-src 'self' blob:",
        "font-src 'self'",
        "connect-src 'self'",
        "worker-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS: Final = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "microphone=(self), camera=(), geolocation=()",
}
_SAFE: Final = frozenset({"GET", "HEAD"})
_FOR_STRANGERS: Final = (PAIR, "/static/pair.js", "/static/stand.css", "/static/asking.js")
"""What a tablet gets before it is let in, where tablets are let in at all."""


@dataclass(frozen=True, slots=True)
class Keys:
    """What opens the door; new for every run of the program."""

    key: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    """In the address that is opened."""
    cookie: str = field(default_factory=lambda: secrets.token_urlsafe(24))


class Door:
    """ASGI middleware around the whole program."""

    def __init__(
        self, app: ASGIApp, keys: Keys, hosts: frozenset[str], pairing: Pairing | None = None
    ) -> None:
        self._app = app
        self._keys = keys
        self._pairing = pairing
        """For tablets; None where this machine alone is answered."""
        self._hosts = hosts
        """Host names with their port that we answer to."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, or refuse it in a line."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":  # no web sockets here, so none can be hijacked
            await send({"type": "websocket.close", "code": 1008})
            return
        refused = self._refusal(scope)
        if refused is not None:
            await refused(scope, receive, _with_headers(send))
            return
        await self._app(scope, _limited(receive), _with_headers(send))

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        stranger = self._stranger(scope, headers)
        if stranger is not None:
            status, words = stranger
            return PlainTextResponse(f"{words}\n", status, {"Connection": "close"})
        if scope["path"] == OPEN and scope["method"] == "GET":
            return self._opened(scope)
        if self._pairing is not None and scope["path"] in _FOR_STRANGERS:
            return None
        if not self._known(_cookie(headers.get("cookie", ""))):
            return PlainTextResponse(
                "open the address that the terminal shows\n", 403, {"Connection": "close"}
            )
        return None

    def _stranger(self, scope: Scope, headers: Headers) -> tuple[int, str] | None:
        """What is refused whoever asks: status and words."""
        if headers.get("host", "") not in self._hosts:
            return 421, "this is not an address of the stand"
        if scope["method"] not in _SAFE and not self._ours(headers.get("origin", "")):
            return 403, "only a page of the stand can change something"
        if int(_digits(headers.get("content-length", "0"))) > BODY_LIMIT:
            return 413, f"too large; {BODY_LIMIT // 1_000_000} MB at most"
        return None

    def _known(self, key: str) -> bool:
        if _same(key, self._keys.cookie):
            return True
        return self._pairing is not None and self._pairing.knows(key)

    def _ours(self, origin: str) -> bool:
        return any(origin == f"http://{host}" for host in self._hosts)

    def _opened(self, scope: Scope) -> Response:
        query = scope["query_string"].decode("latin-1")
        if not _same(query.removeprefix("key="), self._keys.key):
            return PlainTextResponse("this link is of another day; start the stand again\n", 403)
        response = RedirectResponse("/", 303)
        give_key(response, self._keys.cookie)
        return response


def give_key(response: Response, key: str) -> None:
    """A cookie that scripts cannot read, and other sites do not send."""
    response.set_cookie(COOKIE, key, httponly=True, samesite="strict", path="/")


class TooLargeError(Exception):
    """A body that went on past the limit, or stood still."""


def _limited(receive: Receive) -> Receive:
    """The body in pieces, counted, and not waited for without end."""
    taken = 0

    async def counted() -> Message:
        nonlocal taken
        try:
            message = await asyncio.wait_for(receive(), PATIENCE if taken >= 0 else None)
        except TimeoutError as error:
            raise TooLargeError("the request stood still") from error
        taken += len(message.get("body", b""))
        if taken > BODY_LIMIT:
            raise TooLargeError(f"a request has {BODY_LIMIT // 1_000_000} MB at most")
        if message["type"] == "http.request" and not message.get("more_body", False):
            taken = -BODY_LIMIT  # what follows is only the browser going away
        return message

    return counted


def _with_headers(send: Send) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("Cache-Control", "no-store")
        await send(message)

    return sent


def _same(given: str, kept: str) -> bool:
    return hmac.compare_digest(given.encode("utf-8", "replace"), kept.encode())


def _digits(text: str) -> str:
    return text if text.isascii() and text.isdigit() and len(text) < 20 else "9" * 12


def _cookie(header: str) -> str:
    try:
        found = SimpleCookie(header).get(COOKIE)
    except CookieError:
        return ""
    return "" if found is None else found.value
