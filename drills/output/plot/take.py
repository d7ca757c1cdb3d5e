"""A judged take as a picture: the notes on a staff, and under each what was made of it.

Rows of music from left to right by written time.  On the staff black heads are right, a
crossed head is wrong (the hollow one is what was heard), a missed note stands in brackets, a
note that could not be heard has a question mark.  Under it three strips: before or behind
the player's own beat in ms, cents, and the tempo as a line.  Black and grey only.

Conventions.  Pitches as the player reads them; treble clef from G3 on as an average, bass
clef below.  What was heard for a wrong note stands as many steps away as its semitones make.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from drills.listening.verdict import NoteVerdict, Verdict
from drills.listening.wanted import Wanted
from drills.music.pitch import Pitch
from drills.output.plot.shapes import Anchor, Box, Ink, Line, Picture, Shape, Text

WIDTH: Final = 1200
LEFT: Final = 90
RIGHT: Final = 30
TOP: Final = 80
ROW: Final = 330
QUARTERS: Final = 8.0
"""In a row."""
GAP: Final = 9.0
"""Between two staff lines."""
STAFF: Final = 70.0
"""From the top of a row to the top line."""
LATE: Final = 175.0
"""From the top of a row to the middle of the strip of ms ..."""
CENTS: Final = 240.0
TEMPO: Final = 295.0
MOST_LATE: Final = 60.0
"""Milliseconds at the edge of the strip."""
MOST_CENTS: Final = 40.0
HIGH: Final = 26.0
"""Half a strip."""
_LETTERS: Final = "CDEFGAB"
_SIGNS: Final = {1: "#", 2: "x", -1: "b", -2: "bb"}


def plot_take(
    verdict: Verdict, wanted: Wanted, read: Sequence[Pitch], title: str, sentence: str
) -> Picture:
    """The picture of one time through; ``read`` are the notes as the player reads them."""
    end = max(note.at + note.length for note in wanted.notes)
    rows = max(1, -(-int(end * 1000) // int(QUARTERS * 1000)))
    treble = float(sum(pitch.midi for pitch in read)) / len(read) >= 55
    shapes = (
        Text(LEFT, 26, title, 16),
        Text(LEFT, 48, sentence[:170], 12),
        *(shape for row in range(rows) for shape in _frame(row, treble=treble)),
        *_notes(verdict, wanted, read, treble=treble),
        *_tempo(verdict, wanted),
    )
    return Picture(WIDTH, TOP + ROW * rows, shapes)


def _place(at: float) -> tuple[int, float]:
    """Row and x of a place in quarters."""
    row = int(at // QUARTERS)
    inside = (at - row * QUARTERS) / QUARTERS
    return row, LEFT + 14 + inside * (WIDTH - LEFT - RIGHT - 28)


def _frame(row: int, *, treble: bool) -> Iterator[Shape]:
    top = TOP + ROW * row
    for line in range(5):
        y = top + STAFF + GAP * line
        yield Line(LEFT, y, WIDTH - RIGHT, y, 1, Ink.GREY)
    yield Text(LEFT - 10, top + STAFF + 2.5 * GAP, "treble" if treble else "bass", 11, Anchor.END)
    for middle, words, edge in (
        (LATE, "late ms", MOST_LATE),
        (CENTS, "cents", MOST_CENTS),
    ):
        y = top + middle
        yield Line(LEFT, y, WIDTH - RIGHT, y, 1, Ink.GREY)
        for side in (-1, 1):
            yield Line(LEFT - 4, y - side * HIGH, LEFT, y - side * HIGH)
            yield Text(LEFT - 8, y - side * HIGH + 4, f"{side * edge:+.0f}", 9, Anchor.END)
        yield Text(LEFT - 8, y + 4, words, 11, Anchor.END)
    yield Text(LEFT - 8, top + TEMPO + 4, "tempo", 11, Anchor.END)


def _height(pitch: Pitch, *, treble: bool) -> float:
    """Pixels under the top line: treble F5 is on it, bass A3."""
    step = 7 * pitch.octave + _LETTERS.index(str(pitch.step))
    top = 7 * 5 + 3 if treble else 7 * 3 + 5
    return (top - step) * GAP / 2


def _notes(
    verdict: Verdict, wanted: Wanted, read: Sequence[Pitch], *, treble: bool
) -> Iterator[Shape]:
    for note, written, pitch in zip(verdict.notes, wanted.notes, read, strict=True):
        row, x = _place(written.at)
        top = TOP + ROW * row
        y = top + STAFF + _height(pitch, treble=treble)
        yield from _ledgers(x, y, top + STAFF)
        yield from _head(note, pitch, x, y)
        if note.call == "wrong" and note.heard is not None:
            heard = y - (note.heard - note.key) * 7 / 12 * GAP / 2
            yield Box(x + 8, heard - 4, 10, 8, filled=False)
        yield Text(x, top + STAFF + 9 * GAP, str(note.number), 10, Anchor.MIDDLE)
        yield from _mark(x, top + LATE, note.late, MOST_LATE)
        yield from _mark(x, top + CENTS, note.cents, MOST_CENTS)


def _head(note: NoteVerdict, pitch: Pitch, x: float, y: float) -> Iterator[Shape]:
    sign = _SIGNS.get(int(pitch.alter), "")
    if sign:
        yield Text(x - 8, y + 5, sign, 13, Anchor.END)
    if note.call == "right":
        yield Box(x - 5, y - 4, 10, 8)
    elif note.call == "wrong":
        yield Box(x - 5, y - 4, 10, 8, Ink.GREY)
        yield Text(x, y + 5, "x", 14, Anchor.MIDDLE)
    elif note.call == "missed":
        yield Text(x, y + 5, "(  )", 14, Anchor.MIDDLE)
    else:
        yield Text(x, y + 5, "?", 14, Anchor.MIDDLE)


def _ledgers(x: float, y: float, top: float) -> Iterator[Shape]:
    above = top - GAP
    while above >= y - 1:
        yield Line(x - 9, above, x + 9, above, 1, Ink.GREY)
        above -= GAP
    below = top + 5 * GAP
    while below <= y + 1:
        yield Line(x - 9, below, x + 9, below, 1, Ink.GREY)
        below += GAP


def _mark(x: float, middle: float, value: float | None, most: float) -> Iterator[Shape]:
    """Behind is up."""
    if value is None:
        return
    y = middle - max(-1.0, min(1.0, value / most)) * HIGH
    yield Line(x, middle, x, y, 1, Ink.GREY)
    yield Box(x - 3, y - 2, 6, 4)


def _tempo(verdict: Verdict, wanted: Wanted) -> Iterator[Shape]:
    """A line from note to note, and the number wherever a row begins."""
    told = [
        (written.at, note.tempo)
        for note, written in zip(verdict.notes, wanted.notes, strict=True)
        if note.tempo is not None
    ]
    if not told:
        return
    usual = sorted(tempo for _, tempo in told)[len(told) // 2]
    before: tuple[int, float, float] | None = None
    for at, tempo in told:
        row, x = _place(at)
        y = TOP + ROW * row + TEMPO - max(-1.0, min(1.0, (tempo / usual - 1) / 0.1)) * 16
        if before is None or before[0] != row:
            yield Text(x, y - 6, f"{tempo:.0f}", 10)
        else:
            # level, then upright: the pictures have no slanting lines
            yield Line(before[1], before[2], x, before[2])
            yield Line(x, before[2], x, y)
        before = (row, x, y)
