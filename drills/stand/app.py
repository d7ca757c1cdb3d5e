"""The addresses of the stand, and what answers each.

Pages are HTML from templates/stand/, made with autoescape; everything else is small JSON,
pictures and sound.  A problem is a DrillsError and becomes ``{"problem": "..."}`` with status
422: the same line that the command line would print, without a path.
"""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Final

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from drills.errors import DrillsError
from drills.stand import on_days, on_list, on_pages, on_paper, on_part, on_play, on_takes
from drills.stand.door import Door, Keys, TooLargeError
from drills.stand.keeping import Kept
from drills.stand.pairing import PAIR, Pairing
from drills.stand.shelf import Shelf
from drills.stand.standing import Stand
from drills.stand.work import Workers

STATIC: Final = Path(__file__).parent / "static"
_CHANGE: Final = ["POST"]

ROUTES: Final = (
    *(Route(path, on_pages.page(name)) for path, name in on_pages.PAGES.items()),
    Route(PAIR, on_pages.pair, methods=["GET", "POST"]),
    Route("/api/tablets", on_pages.tablets, methods=["GET", "DELETE"]),
    Route("/font/notes.woff2", on_pages.note_typeface),
    Route("/api/shelf", on_part.shelf),
    Route("/api/scores", on_part.add_score, methods=_CHANGE),
    Route("/api/players", on_part.players),
    Route("/api/part", on_part.part),
    Route("/api/place", on_part.place),
    Route("/api/list", on_list.listed),
    Route("/api/list/{what}", on_list.change, methods=_CHANGE),
    Route("/api/sheet", on_paper.sheet, methods=_CHANGE),
    Route("/api/book", on_paper.book, methods=_CHANGE),
    Route("/api/section", on_paper.section, methods=_CHANGE),
    Route("/api/hand-out", on_paper.hand_out, methods=_CHANGE),
    Route("/api/students", on_paper.students),
    Route("/api/climb", on_paper.climb, methods=_CHANGE),
    Route("/file/{key}/{number:int}", on_paper.file),
    Route("/api/choices", on_paper.choices),
    Route("/api/blocks", on_play.blocks),
    Route("/api/music", on_play.music),
    Route("/api/loop", on_play.loop, methods=_CHANGE),
    Route("/api/right", on_play.right, methods=_CHANGE),
    Route("/api/tonight", on_days.tonight),
    Route("/api/days", on_days.days),
    Route("/api/tick", on_days.tick, methods=_CHANGE),
    Route("/api/ready", on_days.ready),
    Route("/sound/{name}", on_play.sound),
    Route("/api/takes", on_takes.listed, methods=["GET"]),
    Route("/api/takes", on_takes.add, methods=_CHANGE),
    Route("/api/verdict", on_takes.verdict),
    Route("/api/latency", on_takes.latency, methods=_CHANGE),
    Route("/take/{key}", on_takes.sound),
    Mount("/static", StaticFiles(directory=STATIC)),
)


def make_app(
    folder: Path, keys: Keys, hosts: frozenset[str], pairing: Pairing | None = None
) -> Starlette:
    """The whole program for a browser, serving one folder to those who have the key."""
    stand = Stand(Shelf(folder), Workers(folder), Kept(), pairing)

    @asynccontextmanager
    async def running(_: Starlette) -> AsyncIterator[None]:
        await stand.workers.start()
        yield
        await stand.workers.stop()

    app = Starlette(
        routes=list(ROUTES),
        middleware=[Middleware(Door, keys=keys, hosts=hosts, pairing=pairing)],
        exception_handlers={DrillsError: told, TooLargeError: told, 500: failed},
        lifespan=running,
    )
    app.state.stand = stand
    return app


async def told(_: Request, error: Exception) -> Response:
    """A problem in the words of the error."""
    problem = {"problem": str(error)}
    if isinstance(error, TooLargeError):  # and what is still on its way is not waited for
        return JSONResponse(problem, 413, {"Connection": "close"})
    return JSONResponse(problem, 422)


async def failed(_: Request, __: Exception) -> Response:
    """A fault of the program, without its inside."""
    return JSONResponse({"problem": "this went wrong inside the program"}, 500)
