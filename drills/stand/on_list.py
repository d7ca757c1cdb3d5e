"""What answers about the list of spots, which is the book."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from drills.errors import UsageError
from drills.stand.asking import body, text, whole
from drills.stand.shelf import Shelf, version_of
from drills.stand.standing import stand_of

_MOST: Final = 100_000
_TEMPOS: Final = (5, 1000)
"""Beats a minute that may be said."""
_NOTE: Final = 500
"""Characters of a player's word about a spot."""


async def listed(request: Request) -> Response:
    """The list; nothing (204) where it is still the version that the page knows."""
    stand = stand_of(request)
    known = request.query_params.get("known")
    if known is not None and known == version_of(stand.shelf.book()):
        return Response(status_code=204)
    return JSONResponse(await stand.workers.run("book_tasks.listed"))


async def change(request: Request) -> Response:
    """A change of the list; the answer is the list as it is then."""
    stand, data = stand_of(request), await body(request)
    what = request.path_params["what"]
    task, given = _asked(what, data, stand.shelf)
    version = text(data, "version", 40, empty=True)
    return JSONResponse(await stand.workers.run(task, version, *given))


def _asked(what: str, data: dict[str, Any], shelf: Shelf) -> tuple[str, tuple[object, ...]]:
    if what == "put":
        score = shelf.score(text(data, "score"))
        words = text(data, "note", _NOTE, empty=True)
        place = text(data, "at", 200)
        goal = None if data.get("goal") is None else whole(data, "goal", *_TEMPOS)
        of = (score.name, whole(data, "part", 1, 10_000), place)
        return "book_tasks.put", (of, words, goal)
    if what == "meeting":
        return "book_tasks.meeting", (text(data, "day", 10),)
    where = (whole(data, "part", 0, _MOST),)
    if what == "tempo":
        return "book_tasks.tempo", (*where, whole(data, "tempo", *_TEMPOS))
    spot = (*where, whole(data, "spot", 0, _MOST))
    if what not in _OF_SPOTS:
        raise UsageError("the list knows no such change")
    task, more = _OF_SPOTS[what]
    return task, (*spot, *more(data))


_OF_SPOTS: Final[dict[str, tuple[str, Callable[[dict[str, Any]], tuple[object, ...]]]]] = {
    "take": ("book_tasks.take_out", lambda _: ()),
    "back": ("book_tasks.put_back", lambda data: (text(data, "taken", 5000),)),
    "move": ("book_tasks.move", lambda data: (whole(data, "to", 0, _MOST),)),
    "goal": ("book_tasks.goal", lambda data: (whole(data, "goal", *_TEMPOS),)),
    "note": ("book_tasks.note", lambda data: (text(data, "note", _NOTE, empty=True),)),
}
"""What is done to a spot of the list, and what it needs to know besides which."""
