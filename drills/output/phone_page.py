"""One HTML file that holds all a student needs: pages, sound, boxes to tick.

It works from a phone's folder with no network and no server.  Everything is inside as data
addresses; a content policy (W3C Content Security Policy Level 3) allows nothing else, and of
scripts and styles only those of this file, by their hashes.  Pages are pictures, so nothing
in them can run.  Every text is escaped by the template engine.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from drills.resources import templates_folder

TYPES: Final = {"ogg": "audio/ogg", "opus": "audio/ogg", "mp3": "audio/mpeg"}


@dataclass(frozen=True, slots=True)
class PhoneBlock:
    """A heading of a sheet: its sound, and its ladder to tick."""

    number: int
    words: str
    key: str
    """Its own in the file."""
    rungs: tuple[str, ...]
    counts: str
    """What its numbers count: "quarter"."""
    sound: bytes = b""
    """Empty for none in the page."""
    file: str = ""
    """The sound file in the folder."""
    kind: str = "ogg"

    @property
    def audio(self) -> str:
        """The sound as a data address; empty for none."""
        return data_address(self.sound, TYPES[self.kind]) if self.sound else ""


@dataclass(frozen=True, slots=True)
class PhoneSheet:
    """A sheet with its blocks."""

    piece: str
    part: str
    words: str
    tempo: str
    note: str
    blocks: tuple[PhoneBlock, ...]


def phone_page(
    title: str,
    student: str,
    sheets: Sequence[PhoneSheet],
    pages: Sequence[bytes],
    *,
    cautions: Sequence[str],
    mark: str,
) -> bytes:
    """The whole file; ``pages`` are SVG documents."""
    style, script = _raw("hand-out.css"), _raw("hand-out.js")
    text = (
        _environment()
        .get_template("hand-out.html")
        .render(
            title=title,
            student=student,
            sheets=sheets,
            pages=[data_address(page, "image/svg+xml") for page in pages],
            cautions=cautions,
            mark=mark,
            style=Markup(style),
            script=Markup(script),
            policy=policy(style, script),
        )
    )
    return text.encode("utf-8", "replace")


def policy(style: str, script: str) -> str:
    """What the page may load: what it carries, and nothing else."""
    return (
        "default-src 'none'; img-src data:; media-src data:; "
        f"style-src '{_hash(style)}'; script-src '{_hash(script)}'; "
        "base-uri 'none'; form-action 'none'"
    )


def data_address(content: bytes, kind: str) -> str:
    """Content as a data address (RFC 2397)."""
    return f"data:{kind};base64,{base64.b64encode(content).decode()}"


def _hash(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


def _raw(name: str) -> str:
    return templates_folder().joinpath(name).read_text(encoding="utf-8")


@cache
def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(templates_folder()),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
