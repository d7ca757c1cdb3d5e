"""Bars typed by hand, or a part of any score, kept as MusicXML: the job of ``drills write``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from drills.errors import UsageError
from drills.jobs.request import say_nothing
from drills.jobs.sheet_files import SheetSet, Style, render
from drills.music.score import Part
from drills.music.time import START
from drills.output.files import ENDINGS, OutputFile, made_from
from drills.output.musicxml.part import part_bytes
from drills.output.pictures import trimmed_png
from drills.places.finding import Place, find_span, written_place
from drills.reading.given import NOTHING_GIVEN, Given
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_part
from drills.reading.source import ScoreSource
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from drills.sheets.sheet import bars_alone

PICTURES: Final = ("png", "svg", "pdf")
"""In what the written bars can be drawn too."""
_NAMES: Final = (".musicxml", ".xml")


@dataclass(frozen=True, slots=True)
class WrittenPart:
    """A part, and the files that hold it."""

    part: Part
    files: tuple[OutputFile, ...]


def check_name(path: Path) -> None:
    """Raise UsageError for a file that would not be called MusicXML."""
    if path.suffix.lower() not in _NAMES:
        raise UsageError(f"{path}: the part is written as MusicXML; end the name in .musicxml")


def check_drawn(formats: Sequence[str]) -> None:
    """Raise UsageError for a format that is no picture of the bars."""
    for kind in formats:
        if kind not in PICTURES:
            raise UsageError(f"--also {kind}: the bars are drawn as {', '.join(PICTURES)}")


def read_source(
    source: ScoreSource, part: str | None, limits: Limits, given: Given = NOTHING_GIVEN
) -> Part:
    """The part that is meant; raises ReadError and UsageError."""
    return read_part(open_score(source, limits, given), part)


def write_part(
    source: ScoreSource,
    choice: str | None,
    path: Path,
    *,
    formats: Sequence[str],
    limits: Limits,
    style: Style,
    given: Given = NOTHING_GIVEN,
) -> WrittenPart:
    """The part as MusicXML and, in the ``formats`` asked for, as it looks.

    Nothing is on disk yet.  Raises ReadError, UsageError, EngraveError.
    """
    part = read_source(source, choice, limits, given)
    files = [OutputFile(path, part_bytes(part))]
    if formats:
        pictures = _drawn(part, source.name, formats=formats, style=style)
        files += [
            OutputFile(path.with_name(f"{path.stem}{page}{ENDINGS[kind]}"), content)
            for kind, page, content in pictures
        ]
    return WrittenPart(part, tuple(files))


def _drawn(
    part: Part, name: str, *, formats: Sequence[str], style: Style
) -> Iterator[tuple[str, str, bytes]]:
    """The bars as a sheet prints its spot, and nothing else: format, page and content."""
    first, last = (written_place(part, Place(at, START)) for at in (0, len(part.bars) - 1))
    whole = first if first == last else f"{first}-{last}"
    plain = replace(Choices(), sizes=(), rhythms=("even",))
    sheet = bars_alone(make_sheet(part, find_span(part, whole), plain))
    mark = made_from(name, part.name, [whole], part.credits.title)
    made = SheetSet((sheet,), name, mark)
    found = render(made, tuple(formats), style, say_nothing).contents
    for kind in formats:
        for number, content in enumerate(found[kind], start=1):
            picture = trimmed_png(content, mark) if kind == "png" else content
            yield kind, f"-{number}" if number > 1 else "", picture
