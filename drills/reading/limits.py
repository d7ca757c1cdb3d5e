"""How large a score from a stranger may be.

A hostile or broken file of a kilobyte can ask for gigabytes of memory or hours
of work: a compressed file that unpacks to a thousand times its size, a bar of
ten million beats, a hundred thousand bars.  Every such quantity has a limit
here.  The defaults stand far above what printed music needs (a full score of a
symphony has about 2,000 bars and 40 parts of up to 10,000 notes) and can be
raised one by one: ``Limits().with_values({"bars": "20000"})``, or
``--limit bars=20000`` on the command line.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Final

from drills.errors import LimitError, UsageError

MEGABYTE: Final = 1_000_000
HIGHEST_DEPTH: Final = 2_000
"""libxml2 refuses deeper nesting even where it is told that a file is trusted."""
_HIGHEST: Final = 10**12


@dataclass(frozen=True, slots=True)
class Limits:
    """The largest values that are read; one field for each thing that is counted."""

    file_size: int = 64 * MEGABYTE
    """Bytes of the file on disk."""
    unpacked_size: int = 64 * MEGABYTE
    """Bytes of the score inside a compressed file (.mxl)."""
    ratio: int = 200
    """How many times larger a compressed score may be when unpacked."""
    members: int = 1_000
    """Files inside a compressed file."""
    depth: int = 64
    """Elements inside each other."""
    elements: int = 3_000_000
    """Elements and attributes of the whole file."""
    parts: int = 250
    bars: int = 10_000
    """Bars of one part."""
    notes: int = 200_000
    """Notes and rests of one part."""
    bar_notes: int = 10_000
    """Notes, jumps and signs of one bar."""
    beats: int = 256
    """Upper number of a time signature."""
    divisions: int = 1_000_000
    """Parts of a quarter note: MusicXML divisions, and the shortest note or jump."""
    fineness: int = 40
    """Digits of the number of equal parts of a quarter note that all notes of a part
    together need: where divisions and tuplets have nothing in common it grows with each."""
    transposition: int = 60
    """Semitones, steps or octaves between what is written and what sounds."""
    staves: int = 16
    """Staves of one part."""
    dots: int = 4
    """Dots of one note."""
    tuplet: int = 1_000
    """Notes in the time of others, either number of a tuplet."""
    bar_quarters: int = 1_024
    """Length of one bar in quarter notes."""
    number_text: int = 32
    """Characters of a bar's number."""
    ending_text: int = 64
    """Characters over a first or second ending."""
    ending_number: int = 100
    """A number over an ending, and how often a passage is repeated."""
    text: int = 2_000
    """Characters of a title, a name or words over the staff that are kept."""
    seconds: int = 60
    """Processor time for a file that is no MusicXML: a process of its own reads it."""
    megabytes: int = 1_500
    """Memory for the same."""

    def with_values(self, values: Mapping[str, str]) -> Limits:
        """These limits with some of them set anew, as ``NAME=VALUE`` on a command line.

        Raises UsageError for a name that is no limit, and for a value that is
        not a whole number from 1 up.
        """
        names = [field.name for field in fields(self)]
        wanted: dict[str, int] = {}
        for name, text in values.items():
            key = name.strip().replace("-", "_")
            if key not in names:
                raise UsageError(f"--limit {name}: no such limit; there are {', '.join(names)}")
            wanted[key] = _whole_number(key, text)
        return replace(self, **wanted)

    def check(self, name: str, value: float, where: object) -> None:
        """Raise LimitError where ``value`` is above the limit ``name``.

        ``where``, as text, says which file (and bar) it is about.
        """
        if value > getattr(self, name):
            raise self.exceeded(name, f"{value:,}", where, value)

    def exceeded(self, name: str, found: str, where: object, value: float = 0) -> LimitError:
        """The error for a quantity ``found`` (in words) that is above the limit ``name``.

        The limit that it advises is a double of this one that lets ``value`` through.
        """
        limit: int = getattr(self, name)
        enough = 2 * limit
        while enough < min(value, _HIGHEST):
            enough = min(2 * enough, _HIGHEST)
        return LimitError(
            f"{where}: {_WORDS[name].format(found=found, limit=f'{limit:,}')}; "
            f"if the file is to be trusted, raise the limit with --limit {name}={enough}"
        )


def _whole_number(name: str, text: str) -> int:
    try:
        value = int(text.strip().replace("_", ""))
    except ValueError:
        raise UsageError(f"--limit {name}={text}: give a whole number") from None
    highest = HIGHEST_DEPTH if name == "depth" else _HIGHEST
    if not 1 <= value <= highest:
        raise UsageError(f"--limit {name}={text}: give a number from 1 to {highest}")
    return value


def place_of(path: Path, bar: str = "") -> str:
    """``reel.musicxml, bar 12``: how every message of this layer begins."""
    return f"{path}, bar {bar}" if bar else str(path)


_WORDS: Final = {
    "file_size": "the file has {found} bytes, more than the limit of {limit}",
    "unpacked_size": "the score inside unpacks to {found} bytes, more than the limit of {limit}",
    "ratio": "the score inside is {found} times larger unpacked, more than the limit of {limit}",
    "members": "the compressed file holds {found} files, more than the limit of {limit}",
    "depth": "elements are nested {found} deep, deeper than the limit of {limit}",
    "elements": "the file has {found} elements and attributes, more than the limit of {limit}",
    "parts": "the score has {found} parts, more than the limit of {limit}",
    "bars": "a part has {found} bars, more than the limit of {limit}",
    "notes": "a part has {found} notes and rests, more than the limit of {limit}",
    "bar_notes": "one bar has {found} notes and signs, more than the limit of {limit}",
    "beats": "a time signature of {found} beats is above the limit of {limit}",
    "divisions": "a quarter has {found} divisions, more than the limit of {limit}",
    "fineness": "notes divide a quarter into a number of parts of {found} digits, more than the "
    "limit of {limit}",
    "transposition": "a transposition by {found} is above the limit of {limit}",
    "staves": "a part has {found} staves, more than the limit of {limit}",
    "dots": "a note has {found} dots, more than the limit of {limit}",
    "tuplet": "a tuplet of {found} notes is above the limit of {limit}",
    "bar_quarters": "the bar lasts {found} quarters, more than the limit of {limit}",
    "number_text": "a bar's number has {found} characters, more than the limit of {limit}",
    "ending_text": "the text of an ending has {found} characters, more than the limit of {limit}",
    "ending_number": "an ending or repeat of number {found} is above the limit of {limit}",
    "text": "a text has {found} characters, more than the limit of {limit}",
    "seconds": "reading it takes {found} seconds, and the limit is {limit}",
    "megabytes": "reading it takes {found} megabytes, and the limit is {limit}",
}
"""What a message says of each limit; the keys are the fields of Limits."""
