"""What answers about recordings."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any, Final

from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response

from drills.errors import ReadError, UsageError
from drills.stand.asking import LONGEST, number, query
from drills.stand.bounds import LONGEST_TAKE, MOST_TAKES, TAKES
from drills.stand.keeping import Made, key_of
from drills.stand.shelf import id_of
from drills.stand.standing import Stand, stand_of

_TYPES: Final = {
    ".wav": "audio/wav",
    ".flac": "audio/flac",
    ".ogg": "audio/ogg",
    ".mp3": "audio/mpeg",
    ".m4a": "audio/mp4",
    ".webm": "audio/webm",
}
_MOST_CLICKS: Final = 64
_LISTENING: Final = 120.0
"""Seconds that judging a take may take."""


async def listed(request: Request) -> Response:
    """The takes of a place, the last one first."""
    stand = stand_of(request)
    score = stand.shelf.score(query(request, "score"))
    part, at = number(request, "part", 1, 10_000), query(request, "at")
    own = [
        {**told, "key": id_of(str(told.get("sound")))}
        for told in _told(stand)
        if (told.get("score"), told.get("number"), told.get("at")) == (score.name, part, at)
    ]
    own.sort(key=lambda told: str(told.get("recorded")), reverse=True)
    return JSONResponse({"takes": own})


def _told(stand: Stand) -> list[dict[str, Any]]:
    """What lies beside the takes of the folder; what cannot be read is passed over."""
    found = []
    for path in sorted((stand.shelf.folder / TAKES).glob("*.json")):
        try:
            told = json.loads(path.read_text("utf-8"))
        except (OSError, ValueError):
            continue
        if isinstance(told, dict):
            found.append(told)
    return found[:MOST_TAKES]


async def add(request: Request) -> Response:
    """A recording of a place: the body, as it came from the microphone or a phone."""
    stand = stand_of(request)
    score = stand.shelf.score(query(request, "score"))
    about = {
        "score": score.name,
        "number": number(request, "part", 1, 10_000),
        "part": request.query_params.get("name", "")[:100],
        "at": query(request, "at"),
        "tempo": request.query_params.get("tempo", "")[:60],
        "begins": _seconds(request, "begins"),
        "quarter": _seconds(request, "quarter"),
        "latency": _seconds(request, "latency"),
    }
    content = await request.body()
    return JSONResponse(await stand.workers.run("take_tasks.add", content, about))


def _seconds(request: Request, name: str) -> float | None:
    """Seconds of the address; None where they are not known."""
    if not (text := request.query_params.get(name, "")):
        return None
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not -10 <= value <= 3600:
        raise UsageError(f"{name!r} is a number of seconds")
    return value


async def latency(request: Request) -> Response:
    """How late clicks come back, from a recording of them."""
    text = query(request, "clicks")
    try:
        clicks = [float(one) for one in text[:LONGEST].split(",")][:_MOST_CLICKS]
    except ValueError as error:
        raise UsageError("'clicks' are seconds with commas") from error
    if not all(0 <= at < LONGEST_TAKE for at in clicks):
        raise UsageError("'clicks' are seconds with commas")
    stand = stand_of(request)
    return JSONResponse(await stand.workers.run("take_tasks.latency", await request.body(), clicks))


async def verdict(request: Request) -> Response:
    """What the program heard in a take; made once, the picture is shown as an image."""
    stand = stand_of(request)
    score = stand.shelf.score(query(request, "score"))
    part, at = str(number(request, "part", 1, 10_000)), query(request, "at")
    path = _take(stand, query(request, "key"))
    before = request.query_params.get("before", "")
    earlier = _take(stand, before).name if before else ""
    key = key_of(path, score.name, part, at, earlier, score.path.stat().st_mtime_ns)
    made = stand.kept.get(key)
    if made is None:
        given = (path.name, (score.name, part), at, earlier)
        found = dict(await stand.workers.run("take_tasks.verdict", *given, seconds=_LISTENING))
        made = Made(tuple(found.pop("files")), found)
        stand.kept.put(key, made)
    data, *pictures = (f"/file/{key}/{number}" for number in range(len(made.files)))
    return JSONResponse({**made.told, "data": data, "pictures": pictures})


def _take(stand: Stand, key: str) -> Path:
    """A take by its key, looked up among the files that are there; raises ReadError."""
    folder: Path = stand.shelf.folder / TAKES
    for path in folder.glob("*.*") if folder.is_dir() else ():
        if path.suffix in _TYPES and id_of(path.name) == key:
            return path
    raise ReadError("this take is no longer in the folder")


async def sound(request: Request) -> Response:
    """A take to be heard; it is looked up among the files that are there."""
    path = _take(stand_of(request), request.path_params["key"])
    return FileResponse(path, media_type=_TYPES[path.suffix])
