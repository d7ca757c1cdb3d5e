"""What answers with pages on paper and with finished files.

Long work tells its stages while it runs: the answer is a stream of events (HTML Living Standard,
server-sent events), ``stage`` with words, then ``done`` or ``problem``.  When the page goes away
or asks for something newer, the work is ended.
"""

from __future__ import annotations

import asyncio
import json
import secrets
from collections.abc import AsyncIterator
from typing import Final

from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse

from drills.errors import DrillsError, ReadError
from drills.instruments.table import instrument_facts
from drills.jobs.asked.choice import Kind
from drills.jobs.asked.table import CHOICES
from drills.stand.asking import body, table, text, texts, whole
from drills.stand.keeping import TYPES, Made, key_of
from drills.stand.shelf import Score
from drills.stand.standing import Stand, stand_of

LONG: Final = 120.0
"""Seconds that engraving may take."""
_NAME: Final = 100
"""Characters of a name."""
INSTRUMENTS: Final = tuple(one.name for one in instrument_facts())
OFFERED: Final = (
    *("practice_minutes", "pages", "staff_size", "paper", "for_instrument", "for_pitch"),
    *("rhythm", "sizes", "order", "approach", "landing", "student", "teacher", "functions"),
    *("fingerings", "all"),
)
"""Choices of a sheet that a page offers, as far as the program has them."""


async def choices(_: Request) -> Response:
    """The choices that a page offers, out of the table of what can be asked for."""
    rows = {one.name: one for one in CHOICES if "sheet" in one.commands}
    return JSONResponse(
        {
            "choices": [
                {
                    "name": row.name,
                    "says": row.told,
                    "kind": "yes" if row.kind in (Kind.FLAG, Kind.SWITCH) else row.kind.value,
                    "words": list(row.words),
                    "usual": row.usual if isinstance(row.usual, str | bool) else "",
                }
                for name in OFFERED
                if (row := rows.get(name)) is not None
            ]
        }
    )


async def sheet(request: Request) -> Response:
    """The sheet of some places, in one format."""
    stand, data = stand_of(request), await body(request)
    score = stand.shelf.score(text(data, "score"))
    number = str(whole(data, "part", 1, 10_000))
    places, words, kind = texts(data, "at"), table(data, "choices"), text(data, "kind", 20)
    asked = (places, words, kind)
    given = ((score.name, number), *asked)
    return _stream(stand, score, "sheet_tasks.sheet", given, ("sheet", number, *asked))


async def book(request: Request) -> Response:
    """The whole list as one file."""
    stand, data = stand_of(request), await body(request)
    found = stand.shelf.book_file()
    words, kind = table(data, "choices"), text(data, "kind", 20)
    state = [(one.name, one.path.stat().st_mtime_ns) for one in stand.shelf.scores()]
    asked = (words, kind)
    return _stream(stand, found, "sheet_tasks.book", (found.name, *asked), ("book", *asked, state))


async def section(request: Request) -> Response:
    """A section's pages, and its chords."""
    stand, data = stand_of(request), await body(request)
    score = stand.shelf.score(text(data, "score"))
    asked = (texts(data, "at"), texts(data, "parts"), table(data, "choices"))
    return _stream(stand, score, "sheet_tasks.section", (score.name, *asked), ("section", *asked))


async def hand_out(request: Request) -> Response:
    """What a student takes home, as one file."""
    stand, data = stand_of(request), await body(request)
    score = stand.shelf.score(text(data, "score"))
    who = text(data, "student", _NAME, empty=True).strip()
    instrument = text(data, "instrument", _NAME, empty=True).strip()
    asked = (texts(data, "at"), who, instrument)
    given = ((score.name, str(whole(data, "part", 1, 10_000))), *asked)
    return _stream(stand, score, "lesson_tasks.hand", given, None)


async def students(request: Request) -> Response:
    """Those who took something home, and the instruments that there are."""
    names = await stand_of(request).workers.run("lesson_tasks.students")
    return JSONResponse({"students": names, "instruments": list(INSTRUMENTS)})


async def climb(request: Request) -> Response:
    """The sound of a place that climbs by itself, as WAV."""
    stand, data = stand_of(request), await body(request)
    score = stand.shelf.score(text(data, "score"))
    asked = (str(whole(data, "part", 1, 10_000)), text(data, "at", 200))
    return _stream(stand, score, "sheet_tasks.climb", (score.name, *asked), ("climb", *asked))


async def file(request: Request) -> Response:
    """One of the files that were made; a picture is only ever shown as an image."""
    made = stand_of(request).kept.get(request.path_params["key"])
    number = request.path_params["number"]
    if made is None or not 0 <= number < len(made.files):
        raise ReadError("this file is no longer kept; make it again")
    name, content = made.files[number]
    ending = name[name.rfind(".") :]
    headers = {"Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; sandbox"}
    if "save" in request.query_params:
        plain = "".join(c if c.isascii() and (c.isalnum() or c in "-_.+") else "_" for c in name)
        headers["Content-Disposition"] = f'attachment; filename="{plain}"'
    if ending == ".pdf":
        headers.pop("Content-Security-Policy")  # a browser's own viewer of PDF needs its scripts
    return Response(content, media_type=TYPES.get(ending, "text/plain"), headers=headers)


def _stream(
    stand: Stand,
    source: Score,
    task: str,
    given: tuple[object, ...],
    depends: tuple[object, ...] | None,
) -> Response:
    """``depends``: on what it does besides the source; None for what is made each time."""
    try:
        key = key_of(source.path, *(depends or (secrets.token_hex(8),)))
    except OSError as error:
        raise ReadError("this score is no longer in the folder; go back to the shelf") from error
    return StreamingResponse(_events(stand, key, task, given), media_type="text/event-stream")


async def _events(
    stand: Stand, key: str, task: str, given: tuple[object, ...]
) -> AsyncIterator[str]:
    made = stand.kept.get(key)
    if made is None:
        stages: asyncio.Queue[str | None] = asyncio.Queue()
        working = asyncio.ensure_future(
            stand.workers.run(task, *given, seconds=LONG, tell=stages.put_nowait)
        )
        working.add_done_callback(lambda _: stages.put_nowait(None))
        try:
            while (words := await stages.get()) is not None:
                yield _event("stage", words)
            found = dict(await working)
        except DrillsError as error:
            yield _event("problem", str(error))
            return
        finally:
            working.cancel()
        made = Made(tuple(found.pop("files")), found)
        stand.kept.put(key, made)
    files = [{"name": name, "at": f"/file/{key}/{n}"} for n, (name, _) in enumerate(made.files)]
    yield _event("done", {**made.told, "files": files})


def _event(kind: str, value: object) -> str:
    return f"event: {kind}\ndata: {json.dumps(value)}\n\n"
