"""One way in for every source: the reader is chosen by content, the result is a score tree.

Bytes are counted before they are read and while they are unpacked; what is not MusicXML is
translated (other/) and then checked against the limits like any other MusicXML.
"""

from __future__ import annotations

import errno
import re
import shlex
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from drills.errors import NotMusicXMLError, ReadError
from drills.reading.bounded import first_bytes
from drills.reading.container import is_zip, unpack
from drills.reading.encoding import to_utf8
from drills.reading.given import ALL_SAID, NOTHING_GIVEN, Given, Silence
from drills.reading.guard import ScoreTree, tree_of
from drills.reading.limits import Limits, place_of
from drills.reading.other.foreign import Foreign, Translation
from drills.reading.other.kinds import Kind, kind_of, refusal
from drills.reading.source import ScoreSource, Typed

_BOOK_ENTRY: Final = re.compile(rb"^\s*\[\[part\]\]", re.MULTILINE)
_BOOK_ENDING: Final = ".toml"
_LOOKED_AT: Final = 1 << 16
_GZIP: Final = b"\x1f\x8b"
_TUNE: Final = re.compile(r"(.+)#([^#/\\]+)")


@dataclass(frozen=True, slots=True)
class Opened:
    """A source that was opened within limits."""

    tree: ScoreTree
    remarks: tuple[str, ...] = ()
    """What its format does not say, and what its reader left out."""
    given: Given = NOTHING_GIVEN
    """What a player said of it, as far as it counts."""


def opened(source: ScoreSource, limits: Limits, given: Given = NOTHING_GIVEN) -> Opened:
    """The score in a file, or in what was typed.

    ``given`` holds where the file is silent.  Raises ReadError, LimitError, NotMusicXMLError;
    UsageError for typed notes.
    """
    if isinstance(source, Typed):
        from drills.reading.other.typed import from_typed  # noqa: PLC0415 - only for typed bars

        return _checked(from_typed(source, limits), limits, str(source))
    where = place_of(source)
    path, tune = _with_tune(source)
    data = _unpacked(_bytes_of(path, limits, where), limits, where)
    if told := refusal(data):
        raise NotMusicXMLError(f"{where}: this is {told}")
    if kind_of(data) is not Kind.MIDI:
        data = to_utf8(data, where)
    kind = kind_of(data)
    if kind is None:
        raise NotMusicXMLError(f"{where}: this is {_kind_in_words(data, path)}")
    if kind is Kind.MUSICXML:
        return Opened(tree_of(data, limits, where), tuple(_not_used(kind, ALL_SAID, given)))
    return _translated(kind, Foreign(data, limits, where, tune, given))


def _translated(kind: Kind, foreign: Foreign) -> Opened:
    """The score of another format; what it does not say may be asked for in between."""
    from drills.reading.other.apart import translated_apart  # noqa: PLC0415 - not for MusicXML

    found = translated_apart(kind, foreign)
    given = foreign.given.completed(found.silence, foreign.where)
    if given != foreign.given:
        found = translated_apart(kind, replace(foreign, given=given))
    told = tuple(_not_used(kind, found.silence, given))
    checked = _checked(found, foreign.limits, foreign.where)
    return replace(checked, remarks=(*told, *checked.remarks), given=replace(given, ask=None))


def _not_used(kind: Kind, silence: Silence, given: Given) -> Iterator[str]:
    """What was given of a file that says it by itself: a MIDI file's word counts less."""
    if kind is Kind.MIDI:
        return
    for what, missing, value in (
        ("metre", silence.metre, given.metre),
        ("key", silence.key, given.key),
    ):
        if value is not None and not missing:
            yield f"The {kind} file says its {what} itself, so the {what} asked for is not used."


def _checked(translation: Translation, limits: Limits, where: str) -> Opened:
    return Opened(tree_of(translation.text, limits, where), translation.remarks)


def _with_tune(path: Path) -> tuple[Path, str]:
    """``airs.abc#12`` is the tune that reads X:12, unless a file has that very name."""
    found = _TUNE.fullmatch(str(path))
    if found is None or path.exists():
        return path, ""
    return Path(found[1]), found[2]


def _unpacked(data: bytes, limits: Limits, where: str) -> bytes:
    """The score inside a compressed file; any other as it is."""
    if is_zip(data):
        return unpack(data, limits, where)
    if not data.startswith(_GZIP):
        return data
    unpacker = zlib.decompressobj(wbits=zlib.MAX_WBITS | 16)
    try:
        found = unpacker.decompress(data, limits.unpacked_size + 1)
    except zlib.error as error:
        raise ReadError(f"{where}: the compressed file is damaged ({error})") from error
    limits.check("unpacked_size", len(found), where)
    limits.check("ratio", len(found) // max(1, len(data)), where)
    return found


def _bytes_of(path: Path, limits: Limits, where: str) -> bytes:
    """The whole file, of which no more is read than the limit."""
    try:
        data = first_bytes(path, limits.file_size + 1)
        if len(data) > limits.file_size:
            size = max(len(data), path.stat().st_size)
            raise limits.exceeded("file_size", f"{size:,}", where, size)
        return data
    except OSError as error:
        if error.errno == errno.EISDIR or (error.errno == errno.EACCES and path.is_dir()):
            raise ReadError(f"{where}: a folder, not a file; name the score inside it") from error
        reason = error.strerror or "unreadable"
        raise ReadError(f"{where}: {reason.lower()}; check the name and the rights") from error


def _kind_in_words(text: bytes, path: Path) -> str:
    """What a file that is no score is instead, and what to do about it."""
    if path.suffix.lower() == _BOOK_ENDING or _BOOK_ENTRY.search(text, 0, _LOOKED_AT):
        return (
            f"a book, not a score; drills book {shlex.quote(str(path))} makes its pages, and "
            "every other command takes a score that the book names"
        )
    kind = "LilyPond text" if text.startswith(b"\\version") else "no format that is read"
    return f"{kind}; export the score as MusicXML, or type the bar: drills sheet --notes"
