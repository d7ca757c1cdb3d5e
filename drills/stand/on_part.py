"""What answers about the shelf and about a part."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from drills.errors import ReadError
from drills.stand.asking import number, query
from drills.stand.keeping import Made, key_of
from drills.stand.shelf import Score
from drills.stand.standing import stand_of

_NARROWEST: Final = 200
_WIDEST: Final = 4000


async def shelf(request: Request) -> Response:
    """The scores of the folder; what is in each is asked for by itself."""
    found = stand_of(request).shelf.scores()
    return JSONResponse({"scores": [{"id": one.id, "name": one.name} for one in found]})


async def add_score(request: Request) -> Response:
    """Put the file of the body on the shelf."""
    score = stand_of(request).shelf.add(query(request, "name"), await request.body())
    return JSONResponse({"id": score.id, "name": score.name})


async def players(request: Request) -> Response:
    """Title and players of one score."""
    stand = stand_of(request)
    score = stand.shelf.score(query(request, "score"))
    return JSONResponse(await stand.workers.run("tasks.players_of", Path(score.name)))


async def part(request: Request) -> Response:
    """A part drawn for a window, with its hard passages; drawn once for each width."""
    stand = stand_of(request)
    width = number(request, "width", _NARROWEST, _WIDEST)
    scale = number(request, "scale", 20, 100)
    score = stand.shelf.score(query(request, "score"))
    key = _key(score, request, width, scale, stand.shelf.book_stamp())
    made = stand.kept.get(key)
    if made is None:
        found = await _of_part(request, "tasks.part_view", width, scale)
        made = Made((("part.svg", found.pop("svg").encode()),), found)
        stand.kept.put(key, made)
    return JSONResponse({**made.told, "svg": made.files[0][1].decode()})


def _key(score: Score, request: Request, *depends: object) -> str:
    try:
        return key_of(score.path, "part", number(request, "part", 1, 10_000), *depends)
    except OSError as error:
        raise ReadError("this score is no longer in the folder; go back to the shelf") from error


async def place(request: Request) -> Response:
    """A stretch that was pointed at (first and last note) or typed."""
    if request.query_params.get("at") is not None:
        return JSONResponse(await _of_part(request, "tasks.place_typed", query(request, "at")))
    ends = (query(request, "first"), query(request, "last"))
    return JSONResponse(await _of_part(request, "tasks.place_between", *ends))


async def _of_part(request: Request, task: str, *given: object) -> Any:  # noqa: ANN401
    stand = stand_of(request)
    score = stand.shelf.score(query(request, "score"))
    which = number(request, "part", 1, 10_000)
    return await stand.workers.run(task, Path(score.name), which, *given)
