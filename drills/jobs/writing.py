"""Sheets -> the files that a player asked for, whole or not at all."""

from __future__ import annotations

from dataclasses import replace

from drills.jobs.request import Outputs, Tell, Written, say_nothing
from drills.jobs.sheet_files import Rendered, SheetSet, render
from drills.output.files import (
    OutputFile,
    check_place,
    chosen_too,
    write_files,
)


def write_outputs(made: SheetSet, outputs: Outputs, tell: Tell = say_nothing) -> Written:
    """Write the sheets in every format asked for: all files, or none.

    Raises WriteError, before any long work, where a file cannot be written or is
    not ours to replace; EngraveError where LilyPond fails.
    """
    mark = chosen_too(made.mark, outputs.chosen)
    for kind in outputs.formats:
        place = outputs.place(made.name, kind)
        check_place(place, mark, outputs.force, made.inputs, careful=made.careful)
    files, rendered = files_of(made, outputs, tell)
    write_files(files, outputs.force, made.inputs)
    return Written(tuple(file.path for file in files), rendered.pages, rendered.remarks)


def files_of(
    made: SheetSet, outputs: Outputs, tell: Tell = say_nothing
) -> tuple[tuple[OutputFile, ...], Rendered]:
    """Every file that ``outputs`` asks for, with its content, not yet written."""
    made = replace(made, mark=chosen_too(made.mark, outputs.chosen))
    rendered = render(made, outputs.formats, outputs.style, tell)
    files = tuple(
        OutputFile(
            outputs.place(made.name, kind, _page(number, len(contents))),
            content,
            made.mark,
            made.careful,
        )
        for kind in outputs.formats
        for contents in (rendered.contents[kind],)
        for number, content in enumerate(contents, 1)
    )
    return files, rendered


def _page(number: int, count: int) -> str:
    """What a picture's name says of its page: nothing, "-2", "-02"."""
    return f"-{number:0{len(str(count))}}" if count > 1 else ""
