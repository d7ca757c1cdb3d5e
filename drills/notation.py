"""From attacks with exact lengths to full written bars.

Problem.  A rhythm gives lengths such as 2/3 or 9/8 of a quarter; a page needs
note values, dots, ties, tuplets and beams, and every bar exactly full.

Method, in this order.
  1. Lay the strokes end to end from the start of a bar; fill the last bar with
     rests; cut everything at bar lines.
  2. Find the tuplets of each bar (tuplets.py).
  3. Split what lies outside tuplets by the metre (metre.py), and what lies
     inside a tuplet as if its bracket were a beat of its own.
  4. Tie the pieces, put grace notes, articulations and slurs where they
     belong, and beam by the beat.

Conventions.  Exact Fractions of a quarter throughout.  Ties made here are ties,
never slurs.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from drills.beams import beamed
from drills.errors import NotationError
from drills.metre import SHORTEST, Metre
from drills.music.pitch import NO_KEY, KeySignature
from drills.music.score import (
    SHORT,
    TREBLE,
    UNNAMED,
    Articulation,
    Bar,
    Clef,
    Event,
    Instrument,
    Note,
    Rest,
    TupletBracket,
    Voice,
)
from drills.music.time import NOTE_KINDS, Length, NoteValue, Position, TimeSignature
from drills.spots import Attack, Slur
from drills.tuplets import Bracket, Sound, find_brackets


@dataclass(frozen=True, slots=True)
class Stroke:
    """One thing to play for an exact length: an attack, or silence."""

    attack: Attack | None
    """None for a rest."""
    length: Length
    accent: bool = False


@dataclass(frozen=True, slots=True)
class Setting:
    """What is in force in every bar of a drill."""

    time: TimeSignature
    key: KeySignature = NO_KEY
    clef: Clef = TREBLE
    instrument: Instrument = UNNAMED


@dataclass(frozen=True, slots=True)
class _Piece:
    """A stroke, or the part of one that lies in one bar (quarters from the bar's start)."""

    start: Fraction
    end: Fraction
    stroke: Stroke
    first: bool
    """The stroke begins with this piece."""
    last: bool
    """The stroke ends with this piece."""


def write_bars(
    strokes: Sequence[Stroke], setting: Setting, slurs: Iterable[Slur] = ()
) -> tuple[Bar, ...]:
    """Full bars of one voice that hold the strokes from the first beat on.

    ``slurs`` count the attacks among the strokes from 1.  Raises NotationError
    for a length that cannot be written with values down to a 64th and tuplets
    of 3, 5, 6 and 7 (2 and 4 in compound time), and for a stroke of no length.
    """
    bar_length = setting.time.bar_length.quarters
    pieces = _cut_at_bar_lines(_filled(strokes, bar_length), bar_length)
    events = [_bar_events(in_bar, Metre(setting.time)) for in_bar in pieces]
    attacks = [stroke.attack for stroke in strokes if stroke.attack is not None]
    slurred = _with_slurs(events, attacks, tuple(slurs))
    return tuple(
        Bar(
            index=index,
            number=str(index + 1),
            length=setting.time.bar_length,
            time=setting.time,
            key=setting.key,
            clef=setting.clef,
            instrument=setting.instrument,
            voices=(Voice("1", beamed(in_bar, setting.time)),),
        )
        for index, in_bar in enumerate(slurred)
    )


def _filled(strokes: Sequence[Stroke], bar_length: Fraction) -> list[Stroke]:
    if any(not stroke.length for stroke in strokes):
        raise NotationError("a note of no length cannot be written in a drill")
    total = sum((stroke.length.quarters for stroke in strokes), Fraction(0))
    missing = -total % bar_length
    rest = [Stroke(None, Length(missing))] if missing else []
    return [*strokes, *rest]


def _cut_at_bar_lines(strokes: Sequence[Stroke], bar_length: Fraction) -> list[list[_Piece]]:
    bars: list[list[_Piece]] = []
    at = Fraction(0)
    for stroke in strokes:
        end = at + stroke.length.quarters
        start = at
        while start < end:
            bar = int(start // bar_length)
            stop = min(end, (bar + 1) * bar_length)
            while len(bars) <= bar:
                bars.append([])
            base = bar * bar_length
            bars[bar].append(_Piece(start - base, stop - base, stroke, start == at, stop == end))
            start = stop
        at = end
    return bars


# --- values ----------------------------------------------------------------


def _bar_events(pieces: Sequence[_Piece], metre: Metre) -> list[Event]:
    if len(pieces) == 1 and pieces[0].stroke.attack is None:
        return [Rest(Position(Fraction(0)), Length(metre.bar), None)]
    sounds = [Sound(p.start, p.end, p.stroke.attack is None) for p in pieces]
    brackets = find_brackets(sounds, metre)
    events: list[Event] = []
    for piece in pieces:
        spans = _spans_of(piece, brackets)
        for number, (start, end, bracket) in enumerate(spans):
            part = _Piece(
                start,
                end,
                piece.stroke,
                piece.first and number == 0,
                piece.last and number == len(spans) - 1,
            )
            events += _written(part, bracket, metre)
    return events


def _spans_of(
    piece: _Piece, brackets: Sequence[Bracket]
) -> list[tuple[Fraction, Fraction, Bracket | None]]:
    """The piece cut wherever a tuplet begins or ends."""
    edges = {piece.start, piece.end}
    for bracket in brackets:
        edges |= {at for at in (bracket.start, bracket.end) if piece.start < at < piece.end}
    ordered = sorted(edges)
    return [
        (low, high, next((b for b in brackets if b.start <= low and high <= b.end), None))
        for low, high in pairwise(ordered)
    ]


def _written(piece: _Piece, bracket: Bracket | None, metre: Metre) -> list[Event]:
    """The tied notes (or the rests) that write one piece."""
    rest = piece.stroke.attack is None
    if bracket is None:
        factor = Fraction(1)
        values = metre.split(piece.start, piece.end, rest=rest)
    else:
        factor = bracket.ratio.factor
        low = (piece.start - bracket.start) / factor
        values = tuple(_split_in_tuplet(low, low + (piece.end - piece.start) / factor))
    events: list[Event] = []
    at = piece.start
    for number, value in enumerate(values):
        size = value.length.quarters * factor
        first = piece.first and number == 0
        last = piece.last and number == len(values) - 1
        marks: tuple[TupletBracket, ...] = ()
        if bracket is not None:
            marks = (TupletBracket(bracket.ratio, at == bracket.start, at + size == bracket.end),)
        events.append(_event(piece.stroke, (at, size), value, marks, (first, last)))
        at += size
    return events


def _split_in_tuplet(start: Fraction, end: Fraction) -> list[NoteValue]:
    """Values inside a bracket, in written time from the bracket's start.

    One value where there is one; else the largest that ends on a boundary as
    strong as the place allows.
    """
    values = []
    at = start
    while at < end:
        single = NoteValue.of(Length(end - at))
        if single is None or single.length < SHORTEST:
            single = next(
                (
                    NoteValue(kind)
                    for kind, value in NOTE_KINDS.items()
                    if SHORTEST <= value <= Length(end - at)
                ),
                None,
            )
        if single is None:
            raise NotationError(
                f"a length of {end - at} quarters in a tuplet is shorter than a 64th"
            )
        values.append(single)
        at += single.length.quarters
    return values


def _event(
    stroke: Stroke,
    place: tuple[Fraction, Fraction],
    value: NoteValue,
    tuplets: tuple[TupletBracket, ...],
    edges: tuple[bool, bool],
) -> Event:
    start, size = Position(place[0]), Length(place[1])
    attack = stroke.attack
    if attack is None:
        return Rest(start, size, value, tuplets)
    first, last = edges
    signs = attack.articulations if first else ()
    if not last:
        signs = tuple(sign for sign in signs if sign not in SHORT)
    if first and stroke.accent and Articulation.ACCENT not in signs:
        signs = (*signs, Articulation.ACCENT)
    return Note(
        start,
        size,
        attack.tones,
        value,
        tuplets,
        tie_start=not last,
        tie_stop=not first,
        graces=attack.graces if first else (),
        graces_after=attack.graces_after if last else (),
        articulations=signs,
        origin=attack.origin,
    )


# --- slurs -----------------------------------------------------------------


def _with_slurs(
    bars: Sequence[Sequence[Event]], attacks: Sequence[Attack], slurs: Sequence[Slur]
) -> list[list[Event]]:
    """Slurs set on the first and the last written note of the attacks that they span.

    They are numbered from 1 as given; a slur from grace notes into their main
    note comes after them, numbered by its attack.
    """
    count = 0
    out: list[list[Event]] = []
    for events in bars:
        row: list[Event] = []
        for event in events:
            if isinstance(event, Note):
                count += not event.tie_stop
                event = _slurred(event, count, attacks[count - 1], slurs)  # noqa: PLW2901
            row.append(event)
        out.append(row)
    return out


def _slurred(note: Note, number: int, attack: Attack, slurs: Sequence[Slur]) -> Note:
    first, last = not note.tie_stop, not note.tie_start
    starts = [i for i, slur in enumerate(slurs, 1) if first and slur.first == number]
    stops = [i for i, slur in enumerate(slurs, 1) if last and slur.last == number]
    graces = note.graces
    if graces and attack.grace_slurred:
        own = len(slurs) + number
        graces = (replace(graces[0], slur_starts=(own,)), *graces[1:])
        stops.append(own)
    return replace(note, slur_starts=tuple(starts), slur_stops=tuple(stops), graces=graces)
