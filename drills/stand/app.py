"""The addresses of the stand, and what answers each.

Pages are HTML from templates/stand/, made with autoescape; everything else is small JSON.
A problem is a DrillsError and becomes ``{"problem": "..."}`` with status 422: the same line
that the command line would print, without a path.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from drills.errors import DrillsError, UsageError
from drills.resources import templates_folder
from drills.stand import tasks
from drills.stand.door import Door, Keys, TooLargeError
from drills.stand.drawing import note_font
from drills.stand.shelf import Shelf
from drills.stand.work import Workers

STATIC: Final = Path(__file__).parent / "static"
_NARROWEST, _WIDEST = 200, 4000

Answer = Callable[[Request], Awaitable[Response]]


@dataclass(frozen=True, slots=True)
class Stand:
    """What a request may need."""

    shelf: Shelf
    workers: Workers


def make_app(folder: Path, keys: Keys, hosts: frozenset[str]) -> Starlette:
    """The whole program for a browser, serving one folder to those who have the key."""
    stand = Stand(Shelf(folder), Workers())

    @asynccontextmanager
    async def running(_: Starlette) -> AsyncIterator[None]:
        await stand.workers.start()
        yield
        await stand.workers.stop()

    app = Starlette(
        routes=[
            Route("/", page("shelf.html")),
            Route("/part", page("part.html")),
            Route("/api/shelf", shelf),
            Route("/api/scores", add_score, methods=["POST"]),
            Route("/api/players", players),
            Route("/api/part", part),
            Route("/api/place", place),
            Route("/font/notes.woff2", note_typeface),
            Mount("/static", StaticFiles(directory=STATIC)),
        ],
        middleware=[Middleware(Door, keys=keys, hosts=hosts)],
        exception_handlers={DrillsError: told, TooLargeError: told},
        lifespan=running,
    )
    app.state.stand = stand
    return app


async def told(_: Request, error: Exception) -> Response:
    """A problem in the words of the error."""
    return JSONResponse({"problem": str(error)}, 413 if isinstance(error, TooLargeError) else 422)


# --- pages ---------------------------------------------------------------------


@cache
def _templates() -> Environment:
    loader = FileSystemLoader(templates_folder() / "stand")
    return Environment(loader=loader, autoescape=True, undefined=StrictUndefined)


def page(name: str) -> Answer:
    """What answers with a page; its script asks for the rest."""

    async def answer(request: Request) -> Response:
        html = _templates().get_template(name).render(folder=_stand(request).shelf.folder.name)
        return HTMLResponse(html)

    return answer


async def note_typeface(_: Request) -> Response:
    """The typeface of notes among words."""
    return Response(
        note_font(), media_type="font/woff2", headers={"Cache-Control": "max-age=86400"}
    )


# --- the shelf -------------------------------------------------------------------


async def shelf(request: Request) -> Response:
    """The scores of the folder; what is in each is asked for by itself."""
    found = _stand(request).shelf.scores()
    return JSONResponse({"scores": [{"id": one.id, "name": one.name} for one in found]})


async def add_score(request: Request) -> Response:
    """Put the file of the body on the shelf, once it could be read."""
    stand = _stand(request)
    score = stand.shelf.add(_query(request, "name"), await request.body())
    return JSONResponse({"id": score.id, "name": score.name})


async def players(request: Request) -> Response:
    """Title and players of one score."""
    stand = _stand(request)
    score = stand.shelf.score(_query(request, "score"))
    return JSONResponse(await stand.workers.run(tasks.players_of, score.path))


# --- the part --------------------------------------------------------------------


async def part(request: Request) -> Response:
    """A part drawn for a window, with its hard passages."""
    width = _number(request, "width", _NARROWEST, _WIDEST)
    scale = _number(request, "scale", 20, 100)
    return JSONResponse(await _of_part(request, tasks.part_view, width, scale))


async def place(request: Request) -> Response:
    """A stretch that was pointed at (first and last note) or typed."""
    typed = request.query_params.get("at")
    if typed is not None:
        return JSONResponse(await _of_part(request, tasks.place_typed, typed))
    ends = (_query(request, "first"), _query(request, "last"))
    return JSONResponse(await _of_part(request, tasks.place_between, *ends))


async def _of_part(request: Request, task: Callable[..., Any], *given: object) -> Any:  # noqa: ANN401
    stand = _stand(request)
    score = stand.shelf.score(_query(request, "score"))
    number = _number(request, "part", 1, 10_000)
    return await stand.workers.run(task, score.path, number, *given)


# --- what a request says ---------------------------------------------------------


def _stand(request: Request) -> Stand:
    stand: Stand = request.app.state.stand
    return stand


def _query(request: Request, name: str) -> str:
    """A word of the address; raises UsageError where it is missing or far too long."""
    value = request.query_params.get(name, "")
    if not 0 < len(value) <= 1000:
        raise UsageError(f"the page asked without saying {name!r}; load it again")
    return value


def _number(request: Request, name: str, least: int, most: int) -> int:
    text = _query(request, name)
    if not (text.isascii() and text.isdigit() and len(text) < 8):
        raise UsageError(f"{name!r} is a whole number")
    return min(max(int(text), least), most)
