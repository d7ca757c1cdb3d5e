"""What answers about the days: tonight's list, ticks, the picture of readiness."""

from __future__ import annotations

from datetime import date
from typing import Final

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from drills.errors import UsageError
from drills.stand.asking import body, text, whole
from drills.stand.keeping import Made
from drills.stand.standing import stand_of

_ITEMS: Final = 999


async def tonight(request: Request) -> Response:
    """Today's list; the day is the player's own, as the browser knows it."""
    stand = stand_of(request)
    found = await stand.workers.run("day_tasks.tonight", _day(request.query_params.get("day", "")))
    numbers = {score.id: score.name for score in stand.shelf.scores()}
    return JSONResponse({**found, "scores": numbers})


async def days(request: Request) -> Response:
    """The days of the project from today on."""
    stand = stand_of(request)
    today = _day(request.query_params.get("day", ""))
    return JSONResponse(await stand.workers.run("day_tasks.days", today))


async def tick(request: Request) -> Response:
    """An item of the day, played."""
    stand, data = stand_of(request), await body(request)
    today = _day(text(data, "day", 10))
    reached = text(data, "number", 30, empty=True)
    asked = (whole(data, "item", 1, _ITEMS), reached, whole(data, "right", 0, 1000))
    return JSONResponse(await stand.workers.run("day_tasks.tick", today, *asked))


async def ready(request: Request) -> Response:
    """How far every passage is; the picture is shown as an image."""
    stand = stand_of(request)
    today = _day(request.query_params.get("day", ""))
    found = await stand.workers.run("day_tasks.ready", today)
    made = Made(tuple(found.pop("files")), found)
    stand.kept.put("ready", made)
    return JSONResponse({**found, "picture": "/file/ready/0"})


def _day(given: str) -> str:
    try:
        return date.fromisoformat(given).isoformat()
    except ValueError as error:
        raise UsageError("the page asked without saying which day it is") from error
