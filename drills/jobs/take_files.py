"""What may be written of judged takes: data, a picture, and what was heard as MIDI."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from drills.errors import UsageError
from drills.jobs.judged_take import JudgedTake, changes
from drills.jobs.request import Tell, say_nothing
from drills.jobs.sheet_files import Style
from drills.output.data import TakeRow, json_text, takes_data
from drills.output.engrave import engrave
from drills.output.files import OutputFile, made_from
from drills.output.lilypond.document import TakeText, take_text
from drills.output.lilypond.take_view import systems_of, take_view
from drills.output.midi import heard_midi_bytes
from drills.output.pictures import marked_png, marked_svg

PICTURES: Final = {".svg": "svg", ".png": "png", ".pdf": "pdf"}
"""Endings of a picture -> what LilyPond makes."""
FEW: Final = 3
"""Systems with their strips that are one picture, however high a page is."""


def take_files(
    take: JudgedTake,
    picture: Path | None,
    *,
    midi: bool = False,
    style: Style | None = None,
    tell: Tell = say_nothing,
) -> Iterator[OutputFile]:
    """What is asked for; raises UsageError for an ending that no picture has, EngraveError."""
    if picture is not None:
        tell(f"drawing {take.path.name}")
        yield from _picture(take, picture, style or Style())
    if midi:
        notes = [(one.at, one.end, one.key) for one in take.played.notes]
        yield OutputFile(take.path.with_suffix(".mid"), heard_midi_bytes(notes, take.path.name))


def check_picture(path: Path) -> None:
    """Raises UsageError for an ending that no picture has."""
    if path.suffix.lower() not in PICTURES:
        raise UsageError(f"--picture {path}: end the name in {', '.join(PICTURES)}")


def _picture(take: JudgedTake, path: Path, style: Style) -> Iterator[OutputFile]:
    """A file for each page of pictures, one for all of a PDF."""
    check_picture(path)
    kind = PICTURES[path.suffix.lower()]
    mark = made_from(take.path.name, take.sheet.part, (take.sheet.spot.span.asked,), "", ())
    text = picture_text(take, style, mark, paged=kind == "pdf")
    engraved = engrave([text], (kind,), style.engraving)
    if kind == "pdf":
        from drills.output.pdf import join_pdf  # noqa: PLC0415 - only for a PDF

        title = take.sheet.credits.title or take.sheet.part
        content = join_pdf(engraved.pdfs, title, f"{take.sheet.words}: a take", mark, [])
        yield OutputFile(path, content, mark)
        return
    pages = (
        [marked_svg(page, mark) for page in engraved.svgs]
        if kind == "svg"
        else [marked_png(page, mark) for page in engraved.pngs]
    )
    for number, page in enumerate(pages, 1):
        own = path if len(pages) == 1 else path.with_name(f"{path.stem}-{number}{path.suffix}")
        yield OutputFile(own, page, mark)


def picture_text(take: JudgedTake, style: Style, mark: str = "", *, paged: bool = True) -> str:
    """The picture of the best time through as LilyPond text.

    Unless ``paged``, music of a few systems has a page as high as it needs.
    """
    best = take.best
    others = [one for one in take.verdicts if one is not best and not one.refused]
    music = take.material.drill or take.sheet
    view = take_view(
        music, best, others, take.paper, thresholds=take.asked.thresholds, page=style.page
    )
    title = take.sheet.credits.title
    when = "" if take.recorded is None else f", {take.recorded:%Y-%m-%d %H:%M}"
    words = TakeText(
        title or take.sheet.part,
        take.sheet.part if title else "",
        f"{take.sheet.words}. {take.material.what}: {take.path.name}{when}",
        take.sentence,
        tuple(_legend(take, several=bool(others))),
    )
    as_one = not paged and systems_of(music, style.page) <= FEW
    return take_text(words, view, style.page, mark, as_one=as_one)


def _legend(take: JudgedTake, *, several: bool) -> Iterator[str]:
    """How the marks are read."""
    thresholds = take.asked.thresholds
    pure = any(note.pure_cents is not None for note in take.best.notes)
    yield (
        "On the staff: crossed, another note was heard (its name stands over it); in brackets, "
        "missed or not played; grey with ?, could not be heard; +, added after this note."
    )
    rings = " Small rings are the other times through." if several else ""
    yield (
        "ms: after (up) or before (down) your own beat; triangles are late or early by more than "
        f"{thresholds('late'):g} ms (the inner lines) and than the attack is known to.{rings}"
    )
    yield (
        f"cents: high (up) or low (down){' for its chord' * pure}; diamonds are over the inner "
        f"lines, {thresholds('mistuned'):g} cents; a bar is how far a tone wavered. "
        f"tempo: {take.paper.beat_words}s a minute."
    )


def takes_text(takes: Sequence[JudgedTake]) -> str:
    """Takes as JSON, in the form of docs/schema/take.json."""
    rows = [
        TakeRow(
            file=str(take.path),
            recorded=None if take.recorded is None else take.recorded.isoformat(),
            part=take.sheet.part,
            place=take.sheet.spot.span.asked,
            what=take.material.what,
            sentence=take.sentence,
            rung=take.rung,
            paper=take.paper,
            verdicts=take.verdicts,
            habits=take.habits,
            slips=take.slips,
            rungs=tuple((r.words, r.what, r.clean, r.verdicts) for r in take.rungs),
            transposed=take.transposed,
            swing=take.asked.ratio(take.sheet),
        )
        for take in takes
    ]
    return json_text(takes_data(rows, changes(takes)))
