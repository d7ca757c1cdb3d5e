"""What may be written of judged takes: data, a picture, and what was heard as MIDI."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from io import BytesIO
from pathlib import Path
from typing import Final

from drills.errors import UsageError
from drills.jobs.takes import JudgedTake
from drills.output.data import json_text, takes_data
from drills.output.files import OutputFile
from drills.output.midi import heard_midi_bytes
from drills.output.plot import plot_take, png_bytes, svg_bytes

PICTURES: Final = (".svg", ".png", ".pdf")


def take_files(
    take: JudgedTake, picture: Path | None, *, midi: bool = False
) -> Iterator[OutputFile]:
    """What is asked for; raises UsageError for an ending that no picture has."""
    if picture is not None:
        yield _picture(take, picture)
    if midi:
        notes = [(one.at, one.end, one.key) for one in take.played.notes]
        yield OutputFile(take.path.with_suffix(".mid"), heard_midi_bytes(notes, take.path.name))


def _picture(take: JudgedTake, path: Path) -> OutputFile:
    kind = path.suffix.lower()
    if kind not in PICTURES:
        raise UsageError(f"--picture {path}: end the name in {', '.join(PICTURES)}")
    title = f"{take.sheet.words}, {take.material.what}"
    drawn = plot_take(take.best, take.material.wanted, take.material.written, title, take.sentence)
    if kind == ".svg":
        return OutputFile(path, svg_bytes(drawn))
    if kind == ".png":
        return OutputFile(path, png_bytes(drawn))
    from PIL import Image  # noqa: PLC0415 - only for a PDF

    stream = BytesIO()
    Image.open(BytesIO(png_bytes(drawn))).save(stream, "PDF", resolution=150)
    return OutputFile(path, stream.getvalue())


def takes_text(takes: Sequence[JudgedTake]) -> str:
    """Takes as JSON, in the form of docs/schema/take.json."""
    return json_text(
        takes_data(
            [
                (
                    str(take.path),
                    take.sheet.part,
                    take.sheet.spot.span.asked,
                    take.material.what,
                    take.sentence,
                    take.verdicts,
                    take.habits,
                    [(rung.words, rung.verdicts) for rung in take.rungs],
                    take.transposed,
                )
                for take in takes
            ]
        )
    )
