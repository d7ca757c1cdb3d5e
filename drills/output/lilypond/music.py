r"""Bars -> LilyPond music, for one staff with one voice.

Problem.  The same ``Bar`` serves a strange score's excerpt and our own drills.
Excerpts are cut out of their surroundings: they may begin in a tie or inside a
tuplet, start with a pickup, hold too few or too many beats.  LilyPond must
neither warn nor shift anything.  Method.  Every bar tells LilyPond its own
length (``measureLength``), gaps become skips, and what is in force is repeated
only where it changes.  Beams are ours, so LilyPond's automatic ones are off.

Conventions.  Pitches absolute as in ``words``; slurs carry their number as
LilyPond's spanner id (``\=3(``).  Accidentals, tuplet numbers and stems are
LilyPond's business.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import accumulate
from typing import Final

from drills.errors import NotationError
from drills.music.notes import Beam, Event, Note, TupletBracket
from drills.music.pitch import KeySignature
from drills.music.score import Bar, Clef
from drills.music.time import START, ZERO, Length, Position, TimeSignature, Tuplet
from drills.output.lilypond import words as ly
from drills.output.lilypond.notes import write_graces, write_note, write_rest
from drills.output.lilypond.passage import Passage, labels_at
from drills.output.lilypond.signs import signs_of
from drills.output.lilypond.spacing import bars_width
from drills.output.lilypond.words import LilyPond

LATE: Final = 0.6
"""Where the last part of an excerpt begins, in its length."""

WIDE: Final = 0.6
"""A bar whose least width is more of the line may not fit on it at LilyPond's spacing."""


@dataclass(slots=True)
class _InForce:
    """What the staff says at the moment; None where nothing has been said yet."""

    room: float
    clef: Clef | None = None
    key: KeySignature | None = None
    time: TimeSignature | None = None
    time_shown: bool = True
    measure: Length | None = None
    octave_line: int = 0
    small: bool = False
    tuplets: list[Tuplet] = field(default_factory=list)
    tied: bool = False
    ending: str = ""
    late_from: Position | None = None
    """Where in the bar the last part of the excerpt begins, if it is reached."""


def write_passages(passages: Sequence[Passage], room: float) -> LilyPond:
    """LilyPond music for passages that follow one another, one bar to a line of text.

    ``room`` is the width of a system in staff spaces: a bar that is wider may
    be broken at its beats, and a last bar never stands alone on a system.
    Raises NotationError where two notes of the voice overlap.
    """
    now = _InForce(room=room)
    lines = [r'\bar ".|:"'] if passages and passages[0].repeated else []
    for passage in passages:
        inner = []
        ends = set(accumulate(passage.rows))
        for place, bar in enumerate(passage.bars, 1):
            inner += [*labels_at(passage, place), *_bar_lines(bar, now)]
            if place < len(passage.bars) and ends:
                inner.append(r"\break" if place in ends else r"\noBreak")
            else:
                inner += _kept_together(passage.bars[place - 1 :], now)
        if passage.repeated:
            lines += [r"\repeat volta 2 {", *inner, "}"]
        else:
            lines += inner
        if passage.double:
            lines.append(r'\bar "||"')
        if passage.line_ends:
            lines.append(r"\break")
    if now.octave_line:
        lines.append(r"\ottava #0")
    return LilyPond("\n".join(lines))


def write_excerpt(bars: Sequence[Bar], open_ended: bool, room: float) -> LilyPond:
    """LilyPond music for a printed spot with its marks, repeats and endings.

    Words over its last part end at their note, so that they stay on the page.
    """
    now = _InForce(room=room)
    lines = []
    late = LATE * float(sum((ly.real_length(bar) for bar in bars), ZERO).quarters)
    for place, bar in enumerate(bars):
        end = float(ly.real_length(bar).quarters)
        now.late_from = Position(Fraction(max(late, 0.0))) if late < end else None
        late -= end
        lines += [*_marks(bar, now), *_bar_lines(bar, now)]
        lines += [
            _bar_line(bars[place : place + 2], open_ended),
            *_kept_together(bars[place:], now),
        ]
    if now.ending:
        lines.append(r"\set Score.repeatCommands = #'((volta #f))")
    if now.octave_line:
        lines.append(r"\ottava #0")
    return LilyPond("\n".join(line for line in lines if line))


def _marks(bar: Bar, now: _InForce) -> Iterator[str]:
    """What stands at the bar's left edge: repeat sign, ending bracket, rehearsal marks."""
    if bar.starts_repeat and now.clef is None:
        yield r'\bar ".|:"'
    if bar.ending != now.ending:
        commands = ["(list 'volta #f)"] if now.ending else []
        if bar.ending:
            commands.append(f"(list 'volta (markup #:normal-text {ly.ly_string(bar.ending)}))")
        now.ending = bar.ending
        yield rf"\set Score.repeatCommands = #(list {' '.join(commands)})"
    if bar.marks:
        boxes = " ".join(rf"\box {ly.ly_string(mark.text)}" for mark in bar.marks)
        yield rf"\mark \markup {{ {boxes} }}"


def _kept_together(bars: Sequence[Bar], now: _InForce) -> list[str]:
    """Forbids a new system between the last two bars, unless they would not fit on one."""
    fits = len(bars) == 2 and bars_width(bars) < WIDE * now.room
    return [r"\noBreak"] if fits else []


def _bar_line(bars: Sequence[Bar], open_ended: bool) -> str:
    """The command for the bar line after the first of two bars, empty for an ordinary one."""
    bar = bars[0]
    if len(bars) == 1 and open_ended:
        return r'\bar ""'
    starts = len(bars) == 2 and bars[1].starts_repeat
    if bar.ends_repeat:
        return r'\bar ":..:"' if starts else r'\bar ":|."'
    if starts:
        return r'\bar ".|:"'
    return r'\bar "||"' if bar.final else ""


def _bar_lines(bar: Bar, now: _InForce) -> list[str]:
    """One bar: what changes at its start, then its events and a bar check."""
    head = " ".join(_changes(bar, now))
    body = " ".join(word for word in _events(bar, now) if word)
    return [*([head] if head else []), f"{body} |"]


def _changes(bar: Bar, now: _InForce) -> Iterator[str]:
    """Clef, key and time where they differ from what is in force."""
    if bar.clef != now.clef:
        now.clef = bar.clef
        yield ly.clef(bar.clef)
    if bar.key != now.key:
        now.key = bar.key
        yield ly.key(bar.key)
    if (bar.time, bar.time_shown) != (now.time, now.time_shown):
        if not bar.time_shown:
            yield r"\once \omit Staff.TimeSignature"
        now.time, now.time_shown, now.measure = bar.time, bar.time_shown, bar.time.bar_length
        yield ly.time(bar.time)
    lasts = ly.real_length(bar)
    if lasts != now.measure:
        now.measure = lasts
        yield rf"\set Timing.measureLength = {ly.moment(lasts)}"


# Events of one bar


def _events(bar: Bar, now: _InForce) -> Iterator[str]:
    """The bar's events in order, gaps filled, with what is printed over and under them."""
    changes = _changes_within(bar)
    signs = signs_of(bar, now.late_from)
    wide = bars_width([bar]) > WIDE * now.room
    at = START
    for event in bar.voices[0].events if bar.voices else ():
        yield from _gap(at, event.start, bar, now)
        if wide and _is_breakable(event, bar):
            yield r'\bar ""'
        while changes and changes[0][0] <= event.start:
            yield _change(changes.pop(0)[1], now)
        while signs and signs[0][0] < event.start + event.length:
            yield signs.pop(0)[1]
        yield from _event(event, bar, now)
        at = event.start + event.length
    yield from _gap(at, max(at, START + bar.length), bar, now)
    yield _braces(len(now.tuplets))
    now.tuplets.clear()
    yield from (_change(new, now) for _, new in changes)


def _is_breakable(event: Event, bar: Bar) -> bool:
    """True where a system may begin inside a bar: on a beat, not under a beam or a tie."""
    if event.start == START or any(not bracket.starts for bracket in event.tuplets):
        return False
    if isinstance(event, Note) and (event.tie_stop or event.beam not in (None, Beam.START)):
        return False
    return (event.start.quarters / bar.time.beat.quarters).denominator == 1


def _gap(at: Position, to: Position, bar: Bar, now: _InForce) -> Iterator[str]:
    """A skip over a gap, outside any tuplet."""
    if to < at:
        raise NotationError(
            f"bar {bar.number}: two notes of one voice overlap at {to} quarters; "
            "choose another voice"
        )
    if to > at:
        yield _braces(len(now.tuplets))
        yield f"s{ly.scaled(to - at)}"
        now.tuplets.clear()


def _braces(count: int) -> str:
    """The end of that many tuplets."""
    return " ".join("}" * count)


def _changes_within(bar: Bar) -> list[tuple[Position, Clef | KeySignature]]:
    """Clefs and keys that come after the start of the bar, in order."""
    both: list[tuple[Position, Clef | KeySignature]] = [*bar.clef_changes, *bar.key_changes]
    return sorted(both, key=lambda change: change[0])


def _change(new: Clef | KeySignature, now: _InForce) -> str:
    """A change of clef or key within a bar."""
    if isinstance(new, Clef):
        now.clef = new
        return ly.clef(new)
    now.key = new
    return ly.key(new)


def _event(event: Event, bar: Bar, now: _InForce) -> Iterator[str]:
    """A note or rest with the tuplets that begin and end at it."""
    if isinstance(event, Note):
        yield from _before_note(event, now)
    yield from _open_tuplets(event.tuplets, now)
    if isinstance(event, Note):
        yield write_note(event, from_before=event.tie_stop and not now.tied)
        now.tied = event.tie_start
    else:
        yield write_rest(event, bar)
    ends = next((i for i, bracket in enumerate(event.tuplets) if bracket.stops), None)
    if ends is not None:
        yield _braces(len(now.tuplets) - ends)
        del now.tuplets[ends:]


def _before_note(note: Note, now: _InForce) -> Iterator[str]:
    """What is switched before a note, and its grace notes."""
    if note.octave_line != now.octave_line:
        now.octave_line = note.octave_line
        yield rf"\ottava #{note.octave_line}"
    if note.cue != now.small:
        now.small = note.cue
        yield r"\teeny" if note.cue else r"\normalsize"
    if note.graces and not note.hidden:
        yield write_graces(note.graces)


def _open_tuplets(brackets: Sequence[TupletBracket], now: _InForce) -> Iterator[str]:
    """Close what does not go on at this event, then open what is not open yet.

    The flags decide; where a cut lost them, the ratios do.
    """
    kept = 0
    for bracket, ratio in zip(brackets, now.tuplets, strict=False):
        if bracket.starts or bracket.ratio != ratio:
            break
        kept += 1
    yield _braces(len(now.tuplets) - kept)
    opening = [bracket.ratio for bracket in brackets[kept:]]
    yield from (rf"\tuplet {ratio.actual}/{ratio.normal} {{" for ratio in opening)
    now.tuplets[kept:] = opening
