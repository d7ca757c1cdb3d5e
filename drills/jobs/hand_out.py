"""What a student takes home: a folder and a .zip with pages, sound, MusicXML and a phone page.

spots = spots_to_hand_out(Path("spring.toml"), ...)
made = hand_out(spots, HandOut(...), tell)
"""

from __future__ import annotations

import io
import tempfile
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Final

from drills.errors import UsageError
from drills.jobs.project import Spot, spots_of
from drills.jobs.request import Settings, Tell, say_nothing
from drills.jobs.sheet_files import SheetSet, Style, render
from drills.jobs.sheets import file_name
from drills.output.audio import FORMATS, AudioSettings, Tags, audio_writer
from drills.output.cues import cue_sheet
from drills.output.files import OutputFile, made_from, new_folder, safe_name, write_files
from drills.output.phone_page import PhoneBlock, PhoneSheet, phone_page
from drills.project.book import Book, BookPart, BookSpot, is_book, read_book
from drills.sheets.ladder import Ladder, beat_words, shown, tempo_words
from drills.sheets.sheet import CAUTIONS
from drills.sound.practice.choices import Material, PracticeChoices
from drills.sound.practice.climb import Climb
from drills.sound.practice.headings import Heading, headings_of
from drills.sound.practice.material import Source
from drills.sound.practice.practice import Practice, make_practice

RUNGS: Final = 4
TIMES: Final = 2
"""Tempos of a sound, and times through on each: short, for a phone."""
_ZIP_TIME: Final = (1980, 1, 1, 0, 0, 0)
"""So that the same files give the same archive."""


@dataclass(frozen=True, slots=True)
class HandOut:
    """What is to be handed out, and how."""

    folder: Path | None = None
    """Named after part, place and student unless given."""
    student: str = ""
    """Stands on the pages, on that for the phone, and in the names of the files."""
    kind: str = "ogg"
    """A key of phone_page.TYPES."""
    megabytes: int = 5
    """The phone page is not larger."""
    force: bool = False
    style: Style = field(default_factory=Style)

    def name_for(self, spots: str) -> str:
        """What folder and pages are called, from the name for the spots."""
        return f"{spots}-{safe_name(self.student)}" if self.student else spots


@dataclass(frozen=True, slots=True)
class HandedOut:
    """What was written."""

    folder: Path
    archive: Path
    page_bytes: int
    files: int
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Sound:
    """One sound file of the folder."""

    sheet: int
    heading: Heading
    practice: Practice
    name: str
    content: bytes


def spots_to_hand_out(
    path: Path,
    places: Sequence[str],
    part: str | None,
    settings: Settings,
    tell: Tell = say_nothing,
) -> tuple[str, tuple[Spot, ...]]:
    """The spots of a book, or of places in a score, and what all of it is called.

    Their pages have room for a name.  Raises UsageError where a book is given together
    with places or a part.
    """
    settings = replace(settings, choices=replace(settings.choices, student=True))
    if is_book(path):
        if places or part:
            raise UsageError("a book names its places itself; --at and --part go with a score")
        book = read_book(path)
        return book.title or path.stem, spots_of(book, settings, tell)
    spots = tuple(BookSpot(place) for place in places)
    entry = BookPart(path.name, path, part, None, spots, f"{path}", given=settings.given)
    found = spots_of(Book(path, "", (entry,)), settings, tell)
    sheet = found[0].sheet
    asked = [spot.sheet.spot.span.asked for spot in found]
    return sheet.credits.title or path.stem, tuple(found) if asked else ()


def hand_out(
    title: str, spots: Sequence[Spot], wanted: HandOut, tell: Tell = say_nothing
) -> HandedOut:
    """Write the folder and the archive: all files, or none.

    Raises WriteError, EngraveError and UsageError.
    """
    sheets = tuple(replace(spot.sheet, name=wanted.student) for spot in spots)
    asked = [sheet.spot.span.asked for sheet in sheets]
    name = wanted.name_for(file_name(sheets[0].part, asked))
    folder = wanted.folder or Path(name)
    mark = made_from(title, f"hand-out {wanted.student}", asked)
    made = SheetSet(sheets, name, mark)
    rendered = render(made, ("pdf", "svg", "musicxml"), wanted.style, tell)
    sounds = list(_sounds(spots, wanted.kind, mark, tell))
    tell("putting the page for the phone together")
    page, remarks = _page(title, spots, sounds, rendered.contents["svg"], wanted, mark=mark)
    contents = {
        f"{name}.pdf": rendered.contents["pdf"][0],
        f"{name}.musicxml": rendered.contents["musicxml"][0],
        **{sound.name: sound.content for sound in sounds},
        "open-me.html": page,
    }
    archive = folder.with_name(f"{folder.name}.zip")
    with new_folder(folder):
        files = [OutputFile(folder / file, content, mark) for file, content in contents.items()]
        zipped = _zipped(folder.name, contents, mark)
        write_files([*files, OutputFile(archive, zipped, mark)], wanted.force)
    return HandedOut(folder, archive, len(page), len(contents), (*rendered.remarks, *remarks))


def _sounds(spots: Sequence[Spot], kind: str, mark: str, tell: Tell) -> Iterator[_Sound]:
    """A sound for every heading of every sheet."""
    every = [(n, spot, one) for n, spot in enumerate(spots) for one in headings_of(spot.sheet)]
    every = [row for row in every if row[2].material is not Material.CHORDS]
    for done, (number, spot, heading) in enumerate(every):
        tell(f"making the sound ({100 * done // len(every)} %)")
        practice = block_practice(spot, heading)
        words = safe_name(heading.words.lower().replace(",", ""))
        name = f"{number + 1:02}-{heading.number:02}-{words}{FORMATS[kind].ending}"
        yield _Sound(number, heading, practice, name, _encoded(practice, spot, kind, mark))


def block_practice(spot: Spot, heading: Heading) -> Practice:
    """The short climb of a heading."""
    climb = Climb(rungs=RUNGS, repetitions=TIMES)
    source = Source(heading.alone(spot.sheet), spot.part)
    return make_practice(source, PracticeChoices(material=(heading.material,), climb=climb))


def _encoded(practice: Practice, spot: Spot, kind: str, mark: str) -> bytes:
    tags = Tags(
        title=spot.sheet.credits.title,
        part=spot.sheet.part,
        words=spot.sheet.words,
        rights=spot.sheet.credits.rights,
        mark=mark,
        cues=cue_sheet(practice.cues),
    )
    with tempfile.TemporaryDirectory(prefix="drills-") as place:
        path = Path(place) / f"sound{FORMATS[kind].ending}"
        path.touch()
        audio_writer(practice, tags, AudioSettings(kind))(path)
        return path.read_bytes()


def _page(
    title: str,
    spots: Sequence[Spot],
    sounds: Sequence[_Sound],
    pages: Sequence[bytes],
    wanted: HandOut,
    *,
    mark: str,
) -> tuple[bytes, tuple[str, ...]]:
    """The phone page; the largest sounds stay in the folder where it would be too large."""
    limit = wanted.megabytes * 1_000_000
    left_out: set[str] = set()
    by_size = sorted(sounds, key=lambda sound: -len(sound.content))
    while True:
        sheets = [
            _phone_sheet(number, spot, sounds, left_out, wanted.kind)
            for number, spot in enumerate(spots)
        ]
        page = phone_page(title, wanted.student, sheets, pages, cautions=CAUTIONS, mark=mark)
        over = len(page) - limit
        if over <= 0:
            break
        if len(left_out) == len(sounds):
            raise UsageError(
                f"the pages alone make {len(page) / 1e6:.1f} MB; give --megabytes "
                f"{len(page) // 1_000_000 + 1}, or hand out fewer spots"
            )
        for sound in by_size:
            if over > 0 and sound.name not in left_out:
                left_out.add(sound.name)
                over -= len(sound.content) * 4 // 3
    if not left_out:
        return page, ()
    return page, (
        f"{len(left_out)} of {len(sounds)} sounds are in the folder only, so that the page for "
        f"the phone stays under {wanted.megabytes} MB",
    )


def _phone_sheet(
    number: int, spot: Spot, sounds: Sequence[_Sound], left_out: set[str], kind: str
) -> PhoneSheet:
    sheet = spot.sheet
    own = [sound for sound in sounds if sound.sheet == number]
    return PhoneSheet(
        piece=sheet.credits.title or sheet.part,
        part=sheet.part,
        words=sheet.words,
        tempo=tempo_words(sheet.tempo),
        note=sheet.spot.note,
        blocks=tuple(
            PhoneBlock(
                number=sound.heading.number,
                words="as it stands" if not sound.heading.blocks else sound.heading.words,
                key=f"{spot.passage.id}-{sound.heading.number}",
                counts=beat_words(ladder.beat.length),
                rungs=tuple(shown(rung) for rung in ladder.rungs),
                sound=b"" if sound.name in left_out else sound.content,
                file=sound.name,
                kind=kind,
            )
            for sound in own
            for ladder in (_ladder(spot, sound.heading),)
        ),
    )


def _ladder(spot: Spot, heading: Heading) -> Ladder:
    """The ladder of a heading, as it stands on the page."""
    return heading.blocks[0].ladder if heading.blocks else spot.sheet.ladder


def _zipped(folder: str, contents: dict[str, bytes], mark: str) -> bytes:
    """The folder as an archive; the mark is its comment."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.comment = mark.encode()
        for name, content in contents.items():
            info = zipfile.ZipInfo(f"{folder}/{name}", _ZIP_TIME)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o644 << 16
            archive.writestr(info, content)
    return out.getvalue()
