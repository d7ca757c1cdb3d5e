"""Reads the notation that source/README.md describes.

A source is our own text, so a fault in it stops the program with its place:
SourceError names the file, the line or bar, and the part.
"""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path
from typing import Final

from maker.bars import BarReader
from maker.music import Chord, Frame, PartLine, Piece, Tempo
from maker.pitches import INSTRUMENTS


class SourceError(Exception):
    """A source file does not say what it must."""


_CHORD: Final = re.compile(r"([A-G][#b]?)([^/@]*)(?:/([A-G][#b]?))?(?:@(\d+))?")
_TEMPO: Final = re.compile(r'tempo(?: "([^"]*)")?(?: ([whqe])(\.?)=(\d+))?')
_LINES: Final = {"double": "light-light", "final": "light-heavy"}


def read_piece(path: Path) -> Piece:
    """Read one source file; raises SourceError."""
    piece = Piece()
    reader = _Reader(piece)
    for line in _joined(path.read_text(encoding="utf-8")):
        try:
            reader.take(line)
        except (ValueError, KeyError, IndexError) as error:
            raise SourceError(f"{path.name}: {line[:60]!r}: {error}") from error
    try:
        reader.close()
    except ValueError as error:
        raise SourceError(f"{path.name}: {error}") from error
    return piece


def _joined(text: str) -> list[str]:
    """Logical lines: comments gone, continuation lines joined."""
    lines: list[str] = []
    for raw in text.splitlines():
        line = re.sub(r"(^|\s)# .*|^#$", "", raw).rstrip()
        if not line:
            continue
        if line[0] == " " and lines:
            lines[-1] += line
        else:
            lines.append(line)
    return lines


class _Reader:
    """Fills a piece line by line."""

    def __init__(self, piece: Piece) -> None:
        self._piece = piece
        self._block: list[Frame] = []
        self._readers: dict[str, BarReader] = {}

    def take(self, line: str) -> None:
        """One logical line."""
        if found := re.fullmatch(r"bars (\d+)(?:-(\d+))?", line):
            self.finish()
            self._begin(int(found[1]), int(found[2] or found[1]))
            return
        name, _, value = line.partition(":")
        value = value.strip()
        if name.startswith("at "):
            frame = self._block[int(name[3:]) - self._block[0].number]
            for sign in re.split(r";\s*", value):
                _sign(frame, sign, self._block)
        elif name == "chords" and self._block:
            self._chords(value)
        elif name.startswith("part "):
            self._part(name[5:], value)
        elif name in self._readers:
            self._notes(name, value)
        elif name in ("marks", "chords"):
            setattr(self._piece, f"{name}_in_all", {"all": True, "first": False}[value])
        elif name in ("title", "composer", "rights"):
            setattr(self._piece, name, value)
        else:
            raise ValueError("a line of no known kind")

    def finish(self) -> None:
        """Make sure that each part has all bars of the block."""
        for part in self._piece.parts:
            missing = len(self._piece.frames) - len(part.bars)
            if missing:
                last = self._piece.frames[-1].number
                raise ValueError(f"{part.code} lacks {missing} bars in the block to bar {last}")

    def close(self) -> None:
        """Make sure that the piece is complete."""
        self.finish()
        for code, reader in self._readers.items():
            if reader.is_open:
                raise ValueError(f"{code} ends with an open tie or sign")

    def _begin(self, first: int, last: int) -> None:
        frames = self._piece.frames
        expected = frames[-1].number + 1 if frames else first
        if first != expected:
            raise ValueError(f"bar {expected} should come next")
        old = frames[-1] if frames else Frame(0, Fraction(4), 4, 4, "C")
        full = Fraction(old.beats * 4, old.unit)
        self._block = [
            Frame(number, full, old.beats, old.unit, old.key) for number in range(first, last + 1)
        ]
        frames.extend(self._block)

    def _part(self, code: str, value: str) -> None:
        kind, name, *short = re.split(r",\s*", value)
        instrument = INSTRUMENTS[kind]
        abbreviation = short[0] if short else instrument.abbreviation
        self._piece.parts.append(PartLine(code, name, abbreviation, instrument))
        self._readers[code] = BarReader()

    def _notes(self, code: str, value: str) -> None:
        part = next(part for part in self._piece.parts if part.code == code)
        cells = _cells(value)
        if len(cells) != len(self._block):
            raise ValueError(f"{len(cells)} bars instead of {len(self._block)}")
        for frame, cell in zip(self._block, cells, strict=True):
            try:
                part.bars.append(self._readers[code].read(cell, frame.length))
            except (ValueError, KeyError) as error:
                raise ValueError(f"bar {frame.number}: {error}") from error

    def _chords(self, value: str) -> None:
        cells = _cells(value)
        if len(cells) != len(self._block):
            raise ValueError(f"{len(cells)} bars of chords instead of {len(self._block)}")
        for frame, cell in zip(self._block, cells, strict=True):
            frame.chords = _chords_of(frame, cell.split())


def _cells(value: str) -> list[str]:
    """The bars of a line; ``R*4`` stands for four of them."""
    cells: list[str] = []
    for cell in value.strip().strip("|").split("|"):
        found = re.fullmatch(r"\s*R\*(\d+)\s*", cell)
        cells.extend(["R"] * int(found[1]) if found else [cell.strip()])
    return cells


def _chords_of(frame: Frame, words: list[str]) -> list[Chord]:
    found = []
    beats = int(frame.length / frame.beat)
    for index, word in enumerate(words):
        if word in (".", "-"):
            continue
        match = _CHORD.fullmatch(word)
        if match is None:
            raise ValueError(f"{word!r} is not a chord")
        place = int(match[4]) - 1 if match[4] else Fraction(index * beats, len(words))
        found.append(Chord(place * frame.beat, match[1], match[2], match[3] or ""))
    return found


def _sign(frame: Frame, sign: str, block: list[Frame]) -> None:
    """Apply one sign of an ``at`` line."""
    word, _, rest = sign.partition(" ")
    later = [other for other in block if other.number >= frame.number]
    if word == "key":
        _new_key(frame, rest, later)
    elif word == "time":
        _new_time(frame, rest, later)
    elif word == "tempo":
        frame.tempo = _tempo(sign)
    elif word == "pickup":
        frame.length = Fraction(rest)
    elif word == "words":
        frame.words.append(rest.strip('"'))
    elif word in ("mark", "ending"):
        setattr(frame, word, rest)
    elif word in _LINES:
        frame.line = _LINES[word]
    elif sign in ("repeat", "end repeat", "segno", "swing"):
        setattr(frame, sign.replace(" ", "_"), True)
    else:
        raise ValueError(f"{sign!r} is not a sign")


def _new_key(frame: Frame, key: str, later: list[Frame]) -> None:
    """A key holds to the end of the block and on."""
    frame.new_key = True
    for other in later:
        other.key = key


def _new_time(frame: Frame, time: str, later: list[Frame]) -> None:
    """A time signature likewise."""
    frame.new_time = True
    beats, unit = (int(number) for number in time.split("/"))
    for other in later:
        other.beats, other.unit = beats, unit
        other.length = Fraction(beats * 4, unit)


def _tempo(sign: str) -> Tempo:
    found = _TEMPO.fullmatch(sign)
    if found is None:
        raise ValueError(f"{sign!r} is not a tempo")
    words, value, dot, number = found.groups(default="")
    return Tempo(words, value, len(dot), int(number or 0))
