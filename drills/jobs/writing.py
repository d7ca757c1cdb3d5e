"""Sheets -> the files that a player asked for, whole or not at all."""

from __future__ import annotations

from drills.jobs.request import Outputs, Tell, Written, say_nothing
from drills.jobs.sheet_files import Rendered, SheetSet, render
from drills.output.files import (
    OutputFile,
    check_place,
    write_files,
)


def write_outputs(made: SheetSet, outputs: Outputs, tell: Tell = say_nothing) -> Written:
    """Write the sheets in every format asked for: all files, or none.

    Raises WriteError, before any long work, where a file cannot be written or is
    not ours to replace; EngraveError where LilyPond fails.
    """
    for kind in outputs.formats:
        check_place(outputs.place(made.name, kind), made.mark, outputs.force)
    files, rendered = files_of(made, outputs, tell)
    write_files(files, outputs.force)
    return Written(tuple(file.path for file in files), rendered.pages, rendered.remarks)


def files_of(
    made: SheetSet, outputs: Outputs, tell: Tell = say_nothing
) -> tuple[tuple[OutputFile, ...], Rendered]:
    """Every file that ``outputs`` asks for, with its content, not yet written."""
    rendered = render(made, outputs.formats, outputs.style, tell)
    files = tuple(
        OutputFile(outputs.place(made.name, kind, _page(number, len(contents))), content, made.mark)
        for kind in outputs.formats
        for contents in (rendered.contents[kind],)
        for number, content in enumerate(contents, 1)
    )
    return files, rendered


def _page(number: int, count: int) -> str:
    """What a picture's name says of its page: nothing, "-2", "-02"."""
    return f"-{number:0{len(str(count))}}" if count > 1 else ""
