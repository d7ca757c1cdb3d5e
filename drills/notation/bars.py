"""From attacks with exact lengths to full written bars.

Problem.  A rhythm gives lengths such as 2/3 or 9/8 of a quarter; a page needs
note values, dots, ties, tuplets and beams, and every bar exactly full.

Method, in this order.
  1. Lay the strokes end to end from the start of a bar; fill the last bar with
     rests; cut everything at bar lines.
  2. Find the tuplets of each bar (tuplets.py).
  3. Split what lies outside tuplets by the metre (metre.py), and what lies
     inside a tuplet as if its bracket were a beat of its own.
  4. Tie the pieces and beam by the beat.  So far only the rhythm counts, and a
     bar that was written once is not written again.
  5. Put in the notes, with grace notes, articulations and slurs where they
     belong.

Conventions.  Exact Fractions of a quarter throughout.  Ties made here are ties,
never slurs.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Final

from drills.errors import NotationError
from drills.music.metre import SHORTEST, Metre
from drills.music.notes import SHORT, Articulation, Event, Note, Rest, TupletBracket, Voice
from drills.music.pitch import NO_KEY, KeySignature, Pitch
from drills.music.score import TREBLE, UNNAMED, Bar, Clef, Instrument
from drills.music.time import NOTE_KINDS, Length, NoteValue, Position, TimeSignature
from drills.notation.beams import beamed
from drills.notation.tuplets import Bracket, Sound, find_brackets
from drills.places.spots import Attack, Slur


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
    silent: bool
    first: bool
    """The stroke begins with this piece."""
    last: bool
    """The stroke ends with this piece."""


_SOME_TONE: Final = (Pitch("C", Fraction(0), 4),)
"""What stands in a written rhythm until the notes are put in."""


def write_bars(
    strokes: Sequence[Stroke], setting: Setting, slurs: Iterable[Slur] = ()
) -> tuple[Bar, ...]:
    """Full bars of one voice that hold the strokes from the first beat on.

    ``slurs`` count the attacks among the strokes from 1.  Raises NotationError
    for a length that cannot be written with values down to a 64th and tuplets
    of 3, 5, 6 and 7 (2 and 4 in compound time), and for a stroke of no length.
    """
    time = setting.time
    bars = _cut_at_bar_lines(_filled(strokes, time.bar_length.quarters), time.bar_length.quarters)
    rhythms = [_rhythm_of_bar(tuple(pieces), time) for pieces in bars]
    filled = _with_notes(rhythms, [s for s in strokes if s.attack is not None], tuple(slurs))
    return tuple(
        Bar(
            index=index,
            number=str(index + 1),
            length=time.bar_length,
            time=time,
            key=setting.key,
            clef=setting.clef,
            instrument=setting.instrument,
            voices=(Voice("1", events),),
        )
        for index, events in enumerate(filled)
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
            base = bar * bar_length
            stop = min(end, base + bar_length)
            while len(bars) <= bar:
                bars.append([])
            silent = stroke.attack is None
            bars[bar].append(_Piece(start - base, stop - base, silent, start == at, stop == end))
            start = stop
        at = end
    return bars


# --- values ----------------------------------------------------------------


@lru_cache(maxsize=4096)
def _rhythm_of_bar(pieces: tuple[_Piece, ...], time: TimeSignature) -> tuple[Event, ...]:
    """One bar written out with values, tuplets, ties and beams, still without its notes.

    Kept, because a sheet writes few rhythms over many notes: all cells of one
    size, and most bars of an even line, are written alike.
    """
    metre = Metre(time)
    if len(pieces) == 1 and pieces[0].silent:
        return (Rest(Position(Fraction(0)), Length(metre.bar), None),)
    brackets = find_brackets([Sound(p.start, p.end, p.silent) for p in pieces], metre)
    events: list[Event] = []
    for piece in pieces:
        spans = _spans_of(piece, brackets)
        for number, (start, end, bracket) in enumerate(spans):
            part = _Piece(
                start,
                end,
                piece.silent,
                piece.first and number == 0,
                piece.last and number == len(spans) - 1,
            )
            events += _written(part, bracket, metre)
    return beamed(events, time)


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
    if bracket is None:
        factor = Fraction(1)
        values = metre.split(piece.start, piece.end, rest=piece.silent)
    else:
        factor = bracket.ratio.factor
        low = (piece.start - bracket.start) / factor
        values = tuple(_split_in_tuplet(low, low + (piece.end - piece.start) / factor))
    events: list[Event] = []
    at = piece.start
    for number, value in enumerate(values):
        size = value.length.quarters * factor
        marks: tuple[TupletBracket, ...] = ()
        if bracket is not None:
            marks = (TupletBracket(bracket.ratio, at == bracket.start, at + size == bracket.end),)
        start, lasts = Position(at), Length(size)
        if piece.silent:
            events.append(Rest(start, lasts, value, marks))
        else:
            begun = not (piece.first and number == 0)
            goes_on = not (piece.last and number == len(values) - 1)
            events.append(
                Note(start, lasts, _SOME_TONE, value, marks, tie_start=goes_on, tie_stop=begun)
            )
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


# --- notes -----------------------------------------------------------------


def _with_notes(
    rhythms: Sequence[Sequence[Event]], strokes: Sequence[Stroke], slurs: Sequence[Slur]
) -> list[tuple[Event, ...]]:
    """The strokes' notes put into a written rhythm, with signs and slurs where they belong."""
    count = 0
    bars: list[tuple[Event, ...]] = []
    for events in rhythms:
        row: list[Event] = []
        for event in events:
            if isinstance(event, Note):
                count += not event.tie_stop
                row.append(_note(event, count, strokes[count - 1], slurs))
            else:
                row.append(event)
        bars.append(tuple(row))
    return bars


def _note(written: Note, number: int, stroke: Stroke, slurs: Sequence[Slur]) -> Note:
    """One note of the attack with that number, which may be written as several tied ones.

    Slurs stand on the first and the last written note of the attacks that they
    span, numbered from 1 as given; a slur from grace notes into their main note
    comes after them, numbered by its attack.
    """
    attack = stroke.attack
    if attack is None:
        raise ValueError("a note cannot be written for silence")
    first, last = not written.tie_stop, not written.tie_start
    starts = [i for i, slur in enumerate(slurs, 1) if first and slur.first == number]
    stops = [i for i, slur in enumerate(slurs, 1) if last and slur.last == number]
    graces = attack.graces if first else ()
    if graces and attack.grace_slurred:
        own = len(slurs) + number
        graces = (replace(graces[0], slur_starts=(own,)), *graces[1:])
        stops.append(own)
    return Note(
        written.start,
        written.length,
        attack.tones,
        written.value,
        written.tuplets,
        tie_start=written.tie_start,
        tie_stop=written.tie_stop,
        graces=graces,
        graces_after=attack.graces_after if last else (),
        articulations=_signs(stroke, attack, first=first, last=last),
        slur_starts=tuple(starts),
        slur_stops=tuple(stops),
        beam=written.beam,
        origin=attack.origin,
    )


def _signs(stroke: Stroke, attack: Attack, *, first: bool, last: bool) -> tuple[Articulation, ...]:
    """The signs of an attack on one of its written notes: a held one is not short."""
    signs = attack.articulations if first else ()
    if not last:
        signs = tuple(sign for sign in signs if sign not in SHORT)
    if first and stroke.accent and Articulation.ACCENT not in signs:
        signs = (*signs, Articulation.ACCENT)
    return signs
