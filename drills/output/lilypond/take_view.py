r"""A judged take as LilyPond prints it: the music as on the sheet, strips of marks under it.

Problem.  The picture must look like the sheet and have a mark exactly under each note.
Method.  The music is written as for the sheet; a strip is a staff of its own whose lines are
the lines of a scale and whose note heads are the marks, moved to their values, so that
LilyPond's own spacing puts each under its note and breaks all of them into systems and pages
together.  Marks differ in shape, not in colour.

Conventions.  Strips are drawn in staff spaces, ``HALF`` to either side of their middle line;
late, sharp and fast are up.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final

from drills.listening.paper import OnPaper
from drills.listening.stretch import stretch_of
from drills.listening.thresholds import Thresholds
from drills.listening.verdict import NoteVerdict, Verdict
from drills.music.notes import Note
from drills.music.score import Bar
from drills.music.time import START, Position
from drills.output.lilypond import rows, spacing
from drills.output.lilypond import words as ly
from drills.output.lilypond.extents import number_level
from drills.output.lilypond.music import write_excerpt, write_passages
from drills.output.lilypond.page import Page
from drills.output.lilypond.passage import Passage
from drills.output.lilypond.sheet_view import printed_number
from drills.output.lilypond.words import LilyPond
from drills.sheets.drill import Drill
from drills.sheets.sheet import Sheet

INDENT: Final = 15.0
"""Millimetres for the names of the strips."""
FULL_ENOUGH: Final = 0.2
"""Music that fills less of its line is not stretched to the margin."""
HALF: Final = 3.0
"""Staff spaces from the middle of a strip to its edge."""
LATE_SCALES: Final = (60.0, 120.0, 240.0)
"""Milliseconds at the edge: the first that holds nearly all, or the last."""
CENTS_SCALES: Final = (50.0, 100.0)
TEMPO_SCALES: Final = (0.1, 0.2, 0.4, 0.8)
"""Shares of the tempo."""
WITHIN: Final = 0.97
"""Share of the notes that a scale holds; a mark beyond it stands at its edge."""


@dataclass(frozen=True, slots=True)
class Strip:
    """A staff of marks."""

    music: LilyPond
    lines: tuple[float, ...]
    """Heights of its lines."""
    name: str
    """Printed at its left: what it tells ..."""
    top: str
    """... and the values at its edges."""
    bottom: str


def printed_bars(music: Sheet | Drill) -> tuple[Bar, ...]:
    """The bars that are drawn: of a sheet its spot."""
    return music.excerpt.bars if isinstance(music, Sheet) else music.bars


def systems_of(music: Sheet | Drill, page: Page) -> int:
    """About how many systems the music takes."""
    bars = printed_bars(music)
    room = page.line_width - page.spaces(INDENT) - spacing.staff_start_width(bars[0])
    return ceil(spacing.AIRY * spacing.bars_width(bars) / room)


def take_view(
    music: Sheet | Drill,
    verdict: Verdict,
    others: Sequence[Verdict],
    paper: OnPaper,
    *,
    thresholds: Thresholds,
    page: Page,
) -> dict[str, object]:
    """What the template prints of one time through; ``others`` are told by small marks.

    ``music``: the sheet whose spot was played, or a drill.
    """
    bars = printed_bars(music)
    room = page.line_width - page.spaces(INDENT)
    if isinstance(music, Sheet):
        text = write_excerpt(bars, music.excerpt.open_ended, room)
        starts = rows.bar_starts(bars)
        at = [starts[n.bar] + (n.start - START) for n in music.excerpt.numbers]
        bar_numbers = [printed_number(bar) for bar in bars]
    else:
        text = write_passages([Passage(bars, music.repeated)], room)
        at = [place for place, _ in _attacks(bars)]
        bar_numbers = []
    end = START + rows.lasts(bars)
    places = list(zip(at, verdict.notes, strict=True))
    hard = paper.hard
    return {
        "music": text,
        "heads": _heads(places, end),
        "over": rows.syllables(list(_over(verdict, places, paper)), end),
        "numbers": rows.syllables(
            [
                (place, f'"{rows.HARD_SIGN if n.number in hard else ""}{n.number}"')
                for place, n in places
            ],
            end,
        ),
        "strips": [
            strip
            for strip in (
                _late(places, others, end, thresholds),
                _cents(places, end, thresholds),
                _tempo(places, end, paper),
            )
            if strip is not None
        ],
        "half": HALF,
        "ragged": spacing.bars_width(bars) < FULL_ENOUGH * room,
        "bar_numbers": bar_numbers,
        "level": number_level(bars),
    }


def _attacks(bars: Sequence[Bar]) -> Iterator[tuple[Position, Note]]:
    for start, bar in zip(rows.bar_starts(bars), bars, strict=True):
        notes = [e for voice in bar.voices for e in voice.events if isinstance(e, Note)]
        for note in sorted(notes, key=lambda one: one.start):
            if note.is_attack:
                yield start + (note.start - START), note


def _spaced(placed: Sequence[tuple[Position, str]], end: Position) -> LilyPond:
    """LilyPond music of things at their places, skips between; an empty text is a skip."""
    texts: list[str] = []
    at = START
    ends = [*(place for place, _ in placed), end][1:]
    for (place, text), following in zip(placed, ends, strict=True):
        if place > at:
            texts.append(f"s{ly.scaled(place - at)}")
        if following > place:
            texts.append(text.replace("@", ly.scaled(following - place)))
        at = max(place, following)
    return LilyPond(" ".join(texts))


def _heads(places: Sequence[tuple[Position, NoteVerdict]], end: Position) -> LilyPond:
    """Skips that change the heads of notes which were not right."""
    marks = {"wrong": r"\markWrong ", "missed": r"\markMissed ", "unclear": r"\markUnclear "}
    return _spaced([(place, f"{marks.get(note.call, '')}s@") for place, note in places], end)


def _over(
    verdict: Verdict, places: Sequence[tuple[Position, NoteVerdict]], paper: OnPaper
) -> Iterator[tuple[Position, str]]:
    """What stands over a note: what was heard in its place, what was added, where one went back."""
    added: dict[int, list[str]] = {}
    for extra in verdict.extras:
        name = "twice" if extra.call == "twice" else f"+{paper.added(extra, verdict.notes)}"
        added.setdefault(max(extra.after, 1), []).append(name)
    for one in verdict.restarts:
        added.setdefault(one.stopped, []).append(f"back to {one.back_to}")
    first, last = stretch_of(verdict) or (1, len(verdict.notes))
    for place, note in places:
        said = {"wrong": paper.heard(note), "missed": "missed", "unclear": "?"}.get(note.call, "")
        if not first <= note.number <= last:  # once for each end is enough
            said = "not played" if note.number in (1, last + 1) else ""
        words = " ".join(filter(None, (said, *added.get(note.number, ()))))
        if words:
            yield place, rows.chord_text(words, "")


def _late(
    places: Sequence[tuple[Position, NoteVerdict]],
    others: Sequence[Verdict],
    end: Position,
    thresholds: Thresholds,
) -> Strip | None:
    told = [abs(note.late) for _, note in places if note.late is not None]
    if not told:
        return None
    most = _scale(told, LATE_SCALES)
    placed = []
    for place, note in places:
        marks = [
            ("take-other", late / most)
            for other in others
            if (late := other.notes[note.number - 1].late) is not None
        ]
        if note.late is not None:
            shape = {"late": "take-late", "early": "take-early"}.get(note.timed, "take-dot")
            marks.append((shape, note.late / most))
        placed.append((place, _marks(marks)))
    within = HALF * thresholds("late") / most
    lines = (-HALF, -within, 0.0, within, HALF)
    return Strip(_spaced(placed, end), lines, "ms", f"{most:.0f} late", f"{most:.0f} early")


def _cents(
    places: Sequence[tuple[Position, NoteVerdict]], end: Position, thresholds: Thresholds
) -> Strip | None:
    pure = any(note.pure_cents is not None for _, note in places)
    values = [(place, note, note.pure_cents if pure else note.cents) for place, note in places]
    told = [abs(value) for _, _, value in values if value is not None]
    if not told:
        return None
    most = _scale(told, CENTS_SCALES)
    placed = []
    for place, note, value in values:
        marks = []
        if value is not None:
            shape = "take-off" if note.tuned else "take-dot"
            if note.wavers:
                shape = f"take-wavering {HALF * min((note.unsteady or 0.0) / most, 1.0):.2f}"
            marks.append((shape, value / most))
        placed.append((place, _marks(marks)))
    within = HALF * thresholds("mistuned") / most
    lines = (-HALF, -within, 0.0, within, HALF)
    return Strip(_spaced(placed, end), lines, "cents", f"{most:.0f} high", f"{most:.0f} low")


def _tempo(
    places: Sequence[tuple[Position, NoteVerdict]], end: Position, paper: OnPaper
) -> Strip | None:
    """A line from note to note."""
    told = [(place, paper.tempo(note.tempo)) for place, note in places if note.tempo is not None]
    if len(told) < 2:
        return None
    usual = sorted(tempo for _, tempo in told)[len(told) // 2]
    most = _scale([abs(tempo / usual - 1) for _, tempo in told], TEMPO_SCALES)
    placed = [(place, _point((tempo / usual - 1) / most) + r"\glissando") for place, tempo in told]
    placed[-1] = (placed[-1][0], placed[-1][1].removesuffix(r"\glissando"))
    top, bottom = usual * (1 + most), usual * (1 - most)
    return Strip(
        _spaced(placed, end),
        (-HALF, 0.0, HALF),
        f"tempo {usual:.0f}",
        f"{top:.0f}",
        f"{bottom:.0f}",
    )


def _scale(values: Sequence[float], scales: Sequence[float]) -> float:
    """The first scale that holds nearly all of some distances; what lies beyond is cut."""
    usual = sorted(values)[int(WITHIN * (len(values) - 1))]
    return next((one for one in scales if one >= usual), scales[-1])


def _height(share: float) -> float:
    """Staff spaces over the middle of a strip, at a share of its scale."""
    return HALF * max(-1.0, min(1.0, share))


def _point(share: float) -> str:
    """A head that is not seen, for a line to go through."""
    return rf"<\tweak Y-offset #{_height(share):.2f} \tweak stencil #(take-nothing) c'>@"


def _marks(marks: Sequence[tuple[str, float]]) -> str:
    """Marks at one place, each with its share of the scale; a skip where there is none."""
    if not marks:
        return "s@"
    drawn = " ".join(f"(take-at {_height(share):.2f} ({shape}))" for shape, share in marks)
    return rf"<\tweak stencil #(ly:stencil-add {drawn}) c'>@"
