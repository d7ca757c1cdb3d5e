"""What answers about sound: blocks, loops of events, struck sounds."""

from __future__ import annotations

from typing import Any, Final

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from drills.stand.asking import body, number, query, text, texts, whole
from drills.stand.bounds import MOST_ROUNDS
from drills.stand.standing import Stand, stand_of

_MOST_VOICES: Final = 6


async def blocks(request: Request) -> Response:
    """The blocks of a sheet, with numbers, clicks and drums to choose of."""
    stand = stand_of(request)
    return JSONResponse(await stand.workers.run("play_tasks.blocks", *_place(stand, request)))


async def music(request: Request) -> Response:
    """A drill drawn for a window."""
    stand = stand_of(request)
    block, item = number(request, "block", 1, 1000), number(request, "item", 0, 10_000)
    width = number(request, "width", 200, 4000)
    where = _place(stand, request)
    return JSONResponse(await stand.workers.run("play_tasks.music", where, block, item, width))


def _place(stand: Stand, request: Request) -> tuple[str, str, str]:
    score = stand.shelf.score(query(request, "score"))
    return score.name, str(number(request, "part", 1, 10_000)), query(request, "at")


async def loop(request: Request) -> Response:
    """Count-in and some times through, as events."""
    stand, data = stand_of(request), await body(request)
    score = stand.shelf.score(text(data, "score"))
    asked: dict[str, Any] = {
        "full": data.get("full") is True,
        "block": whole(data, "block", 1, 1000),
        "item": whole(data, "item", 0, 10_000),
        "number": text(data, "number", 30),
        "click": text(data, "click", 100, empty=True),
        "groove": text(data, "groove", 60, empty=True),
        "voices": texts(data, "voices", _MOST_VOICES),
        "count_in": whole(data, "count_in", 0, 8),
        "first": whole(data, "first", 0, 900),
        "rounds": whole(data, "rounds", 1, MOST_ROUNDS),
    }
    where = (score.name, str(whole(data, "part", 1, 10_000)), text(data, "at", 200))
    return JSONResponse(await stand.workers.run("play_tasks.loop", *where, asked))


async def right(request: Request) -> Response:
    """Right or not yet: into the log, and the number that comes next."""
    stand, data = stand_of(request), await body(request)
    score = stand.shelf.score(text(data, "score"))
    where = (score.name, str(whole(data, "part", 1, 10_000)), text(data, "at", 200))
    asked = (whole(data, "block", 1, 1000), text(data, "number", 30), data.get("right") is True)
    return JSONResponse(await stand.workers.run("day_tasks.judged", where, *asked))


async def sound(request: Request) -> Response:
    """A struck sound as 32-bit floats."""
    stand = stand_of(request)
    name, rate = request.path_params["name"], number(request, "rate", 1, 999_999)
    content = await stand.workers.run("play_tasks.sound", name, rate)
    return Response(content, media_type="application/octet-stream")
