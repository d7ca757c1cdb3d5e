"""Small files that ask for gigabytes or hours, each within every other limit, and a run of all.

``python -m tests.reading.hostile FOLDER`` writes each file, has it read in a process of
its own and prints what became of it, one line of JSON each.
"""

from __future__ import annotations

import io
import json
import os
import sys
import zipfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Final

from drills.effort.settings import read_judgement
from drills.project.book import read_book
from drills.reading.musicxml import open_score, read_all
from tests.apart import apart
from tests.reading.made import HEAD, attributes, bar, note, scale_bar, score

SECONDS: Final = 2.0
MEGABYTES: Final = 300
_ROOM: Final = 2_000
"""Megabytes at which the system ends a reader, so that the machine stays usable."""


@dataclass(frozen=True, slots=True)
class Hostile:
    """One attack."""

    name: str
    """Of the file, too."""
    content: Callable[[], str | bytes]
    limit: str
    """What the message must say."""
    read: Callable[[Path], object] = lambda path: read_all(open_score(path))


def _primes(low: int, high: int) -> Iterator[int]:
    return (n for n in range(low, high) if all(n % d for d in range(2, int(n**0.5) + 1)))


def _tuplets(numbers: Sequence[int]) -> str:
    def modified(number: int) -> str:
        return (
            f"<time-modification><actual-notes>{number}</actual-notes>"
            "<normal-notes>2</normal-notes></time-modification>"
        )

    notes = (note("C5", 1, "1024th", inside=modified(number)) for number in numbers)
    return score(bar(attributes(divisions=1024) + "".join(notes)))


def _divisions(between: str) -> str:
    """A note under each of many divisions that have nothing in common."""
    changes = (
        f"<attributes><divisions>{prime}</divisions></attributes>{note('C5', 3, '')}"
        for prime in list(_primes(900_000, 970_000))[:4_500]
    )
    return score(bar(attributes() + note() + between + between.join(changes)))


def _timed(content: str) -> Callable[[], str]:
    return lambda: score(bar(attributes() + note() + content + note()))


def _transposed(inside: str) -> Callable[[], str]:
    extra = f"<transpose><chromatic>2</chromatic>{inside}</transpose>"
    return lambda: score(bar(attributes(extra=extra) + note()))


def _packed(text: str) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("score.xml", text)
    return buffer.getvalue()


def _crowded(count: int) -> str:
    """A bar of elements that are no notes; numbered, so as not to pack well."""
    inside = "".join(f"<print><a>{number * number}</a></print>" for number in range(count // 2))
    return score(scale_bar() + f"<measure>{inside}</measure>")


def _with_attributes(count: int) -> str:
    """One element with many attributes."""
    attributes_of_it = " ".join(f"a{number}=''" for number in range(count))
    return score(scale_bar(), head=f"<credit {attributes_of_it}/>")


def _timewise(parts: int) -> str:
    inside = "".join(f'<part id="P{n}">{attributes()}{note()}</part>' for n in range(parts))
    return (
        f'{HEAD}<score-timewise><part-list><score-part id="P1"/></part-list>'
        f'<measure number="1">{inside}</measure></score-timewise>'
    )


_LONG: Final = "999999999999999"
_SHORT: Final = "0.000000000000001"

HOSTILE: Final = (
    Hostile("elements.mxl", lambda: _packed(_crowded(3_200_000)), "--limit elements="),
    Hostile("unpacked.mxl", lambda: _packed(_crowded(600_000) * 8), "--limit unpacked_size="),
    Hostile("timewise.musicxml", lambda: _timewise(190_000), "--limit elements="),
    Hostile(
        "attributes.musicxml",
        lambda: _with_attributes(3_100_000),
        "--limit elements=",
    ),
    Hostile(
        "zero.musicxml", lambda: b"", "--limit file_size=", lambda _: open_score(Path("/dev/zero"))
    ),
    Hostile(
        "semitones.musicxml",
        _transposed("<chromatic>99999999</chromatic>"),
        "--limit transposition=",
    ),
    Hostile(
        "steps.musicxml", _transposed("<diatonic>-99999999</diatonic>"), "--limit transposition="
    ),
    Hostile(
        "octaves.musicxml",
        _transposed("<octave-change>99999999</octave-change>"),
        "--limit transposition=",
    ),
    Hostile("tuplets.musicxml", lambda: _tuplets(list(_primes(3, 1000)) * 50), "--limit fineness="),
    Hostile("divisions.musicxml", lambda: _divisions(""), "--limit fineness="),
    Hostile(
        "divisions-bars.musicxml", lambda: _divisions("</measure><measure>"), "--limit fineness="
    ),
    Hostile("long.musicxml", _timed(note("C5", _LONG)), "--limit bar_quarters="),
    Hostile(
        "long-back.musicxml",
        _timed(f"<backup><duration>{_LONG}</duration></backup>"),
        "--limit bar_quarters=",
    ),
    Hostile(
        "long-chord.musicxml", _timed(note("E5", _LONG, before="<chord/>")), "--limit bar_quarters="
    ),
    Hostile(
        "long-grace.musicxml", _timed(note("E5", _LONG, before="<grace/>")), "--limit bar_quarters="
    ),
    Hostile("short.musicxml", _timed(note("C5", _SHORT)), "--limit divisions="),
    Hostile(
        "short-forward.musicxml",
        _timed(f"<forward><duration>{_SHORT}</duration></forward>"),
        "--limit divisions=",
    ),
    Hostile("key.toml", lambda: "a." * 50_000 + "a = 1", "limit of 16 names", read_book),
    Hostile("heading.toml", lambda: f"[{'a.' * 50_000}a]", "limit of 16 names", read_book),
    Hostile(
        "quoted.toml", lambda: '"a" . ' * 12_000 + "a = 1", "limit of 16 names", read_judgement
    ),
    Hostile(
        "zero.toml",
        lambda: b"",
        "limit of 100,000 bytes",
        lambda _: read_judgement(Path("/dev/zero")),
    ),
    Hostile(
        "zero-book.toml",
        lambda: b"",
        "larger than 1000000 bytes",
        lambda _: read_book(Path("/dev/zero")),
    ),
)

NOBODY: Final = "a pipe that nobody writes into"
PIPES: Final = {
    "pipe.musicxml": lambda path: read_all(open_score(path)),
    "pipe-book.toml": read_book,
    "pipe-weights.toml": read_judgement,
}
"""Files that are pipes, each with its reader."""


def main(folder: Path) -> None:
    """Try every file."""
    for one in HOSTILE:
        path = folder / one.name
        content = one.content()
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        del content
        _try(one.name, one.read, path)
        path.unlink()
    for name, read in PIPES.items():
        os.mkfifo(folder / name)
        _try(name, read, folder / name)


def _try(name: str, read: Callable[[Path], object], path: Path) -> None:
    outcome = apart(lambda: str(read(path) and ""), SECONDS, _ROOM)
    print(json.dumps({"name": name, **asdict(outcome)}), flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
