"""The pages themselves, the typeface, and the door for tablets."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from functools import cache
from typing import Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, Response

from drills.project.book import SCORE_ENDINGS
from drills.resources import templates_folder
from drills.stand.asking import body, text
from drills.stand.door import give_key
from drills.stand.drawing import note_font
from drills.stand.standing import stand_of

ENDINGS: Final = ",".join(SCORE_ENDINGS)
Answer = Callable[[Request], Awaitable[Response]]

PAGES: Final = {
    "/": "shelf.html",
    "/part": "part.html",
    "/sheet": "sheet.html",
    "/play": "play.html",
    "/take": "take.html",
    "/section": "section.html",
    "/tonight": "tonight.html",
}


@cache
def _templates() -> Environment:
    loader = FileSystemLoader(templates_folder() / "stand")
    return Environment(loader=loader, autoescape=True, undefined=StrictUndefined)


def _html(request: Request, name: str) -> Response:
    folder = stand_of(request).shelf.folder.name
    return HTMLResponse(
        _templates().get_template(name).render(folder=folder, page=name, endings=ENDINGS)
    )


def page(name: str) -> Answer:
    """What answers with a page; its script asks for the rest."""

    async def answer(request: Request) -> Response:
        return _html(request, name)

    return answer


async def note_typeface(_: Request) -> Response:
    """The typeface of notes among words."""
    return Response(
        note_font(), media_type="font/woff2", headers={"Cache-Control": "max-age=86400"}
    )


async def pair(request: Request) -> Response:
    """The page for a tablet's code, and the code itself."""
    pairing = stand_of(request).pairing
    if pairing is None:
        return PlainTextResponse("tablets are not let in; start with --lan\n", 404)
    if request.method == "GET":
        return HTMLResponse(_templates().get_template("pair.html").render(page="pair.html"))
    key = pairing.let_in(text(await body(request), "code", 20))
    if key is None:
        problem = "this is not the code that the terminal shows now; wait a minute and try again"
        return JSONResponse({"problem": problem}, 403)
    response = JSONResponse({})
    give_key(response, key)
    return response


async def tablets(request: Request) -> Response:
    """How many tablets were let in; DELETE sends them away."""
    pairing = stand_of(request).pairing
    if pairing is not None and request.method == "DELETE":
        pairing.send_away()
    return JSONResponse({"tablets": None if pairing is None else len(pairing.devices)})
