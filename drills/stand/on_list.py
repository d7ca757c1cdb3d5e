"""What answers about the list of spots, which is the book."""

from __future__ import annotations

from typing import Any, Final

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from drills.errors import UsageError
from drills.stand import book_tasks
from drills.stand.asking import body, text, whole
from drills.stand.shelf import Shelf
from drills.stand.standing import stand_of

_MOST: Final = 100_000
_NOTE: Final = 500
"""Characters of a player's word about a spot."""


async def listed(request: Request) -> Response:
    """The list; nothing (204) where it is still the version that the page knows."""
    stand = stand_of(request)
    known = request.query_params.get("known")
    if known is not None and known == book_tasks.version_of(stand.shelf.book()):
        return Response(status_code=204)
    return JSONResponse(await stand.workers.run(book_tasks.listed))


async def change(request: Request) -> Response:
    """A change of the list; the answer is the list as it is then."""
    stand, data = stand_of(request), await body(request)
    what = request.path_params["what"]
    task, given = _asked(what, data, stand.shelf)
    version = text(data, "version", 40, empty=True)
    return JSONResponse(await stand.workers.run(task, version, *given))


def _asked(what: str, data: dict[str, Any], shelf: Shelf) -> tuple[Any, tuple[object, ...]]:
    if what == "put":
        score = shelf.score(text(data, "score"))
        words = text(data, "note", _NOTE, empty=True)
        place = text(data, "at", 200)
        return book_tasks.put, (score.name, whole(data, "part", 1, 10_000), place, words)
    where = (whole(data, "part", 0, _MOST),)
    if what == "tempo":
        return book_tasks.tempo, (*where, whole(data, "tempo", 5, 1000))
    spot = (*where, whole(data, "spot", 0, _MOST))
    if what == "take":
        return book_tasks.take_out, spot
    if what == "back":
        return book_tasks.put_back, (*spot, text(data, "taken", 5000))
    if what == "move":
        return book_tasks.move, (*spot, whole(data, "to", 0, _MOST))
    if what == "note":
        return book_tasks.note, (*spot, text(data, "note", _NOTE, empty=True))
    raise UsageError("the list knows no such change")
