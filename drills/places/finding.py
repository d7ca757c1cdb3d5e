"""Places in a part, as a player says them.

    12  12@3  E  E:5  E:-1  [12]  bar12  E#2  12-14  12@3-13@1  E:2-E:4@1

A bare word is a rehearsal mark if one reads so, otherwise a printed bar
number; ``[12]`` is the mark that reads 12 and ``bar12`` the bar, where both
exist.  ``E:5`` is the fifth bar of E, its own bar counted as the first, and
``E:-1`` the bar before it.  ``@3`` is beat 3 of the time signature (dotted
quarters in 6/8), ``@3#2`` the second printed note of that beat (words.py says how
they are counted), ``@2.5`` the offbeat after beat 2, ``@2+1/3`` a triplet later.
``#2`` picks the second of several that read alike.  A place with a beat stands
for that beat; at the end of a stretch it stands for what is attacked there.

A bar that only completes the one before it (a bar split by a repeat or a double
bar) is not counted and belongs to the bar whose number is printed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from drills.errors import PlaceError
from drills.music.score import Direction, Part
from drills.music.time import START, Position
from drills.places.asking import Asked, marked, numbered, second_half, several, unknown
from drills.places.bar_names import (
    bar_name,
    completes_previous,
    spoken_beat,
    told_name,
)
from drills.places.spoken import short_form
from drills.places.words import first_half, notes_of_beat, place_words, stretch_words, typed_beat

START_WORDS: Final = "drill"
END_WORDS: Final = "end drill"
"""Words in a score, on a note, that mark a spot (any case)."""

_PLACE: Final = (
    r"(?:\[(?P<mark{n}>[^\]]*)\]|(?P<word{n}>[^#:@\[\]\-]+))"
    r"(?:#(?P<nth{n}>\d+))?(?::(?P<bars{n}>-?\d+))?"
    r"(?:@(?P<beat{n}>\d+(?:\.\d+)?(?:\+\d+/0*[1-9]\d*)?)(?:#(?P<note{n}>\d+))?)?"
)
_SPAN: Final = re.compile(_PLACE.format(n=1) + r"(?:-" + _PLACE.format(n=2) + ")?")
_LONGEST: Final = 300
"""Characters of a place: the longest names of rehearsal marks with everything around them."""
_HOW: Final = "write a place such as 12, 12@3, E:5 or 12@3-13@1"


@dataclass(frozen=True, slots=True)
class Place:
    """A point in a part."""

    bar: int
    """Index of the bar in the part."""
    start: Position
    """Position in the bar."""


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a part: from ``first`` on, up to ``end``."""

    first: Place
    end: Place
    """Where the stretch ends."""
    includes_end: bool
    """True: what is attacked at ``end`` belongs to it ("to beat 1 of bar 34").
    False: the stretch ends just before (the end of a bar or of a beat)."""
    asked: str
    """What the player typed, such as "E:3-E:4@1"."""
    words: str
    """The same for reading: "bar 33, the first bar of E, to beat 1 of bar 34"."""


_COMMAS_BETWEEN: Final = re.compile(r",(?![^\[]*\])")
"""A comma in brackets belongs to a rehearsal mark."""


def split_places(text: str) -> tuple[str, ...]:
    """``"12, E:3"`` is two places: the texts between the commas, without those that are empty.

    A place in words may hold a comma: "bar 33, the fourth bar of D".
    """
    text = short_form(text)
    return tuple(place for found in _COMMAS_BETWEEN.split(text) if (place := found.strip()))


def find_span(part: Part, text: str) -> Span:
    """The stretch of ``part`` that ``text`` names.

    Raises PlaceError when it cannot be read, does not exist (with the nearest
    that does) or fits several bars (with the way to write each).
    """
    if len(text) > _LONGEST:
        raise PlaceError(f"{text[:20]!r}... is too long for a place; {_HOW}")
    text = short_form(text)
    found = _SPAN.fullmatch(text.strip())
    if found is None:
        raise PlaceError(f"{text!r} is not a place; {_HOW}")
    first = _asked(found.groupdict(), 1)
    last = _asked(found.groupdict(), 2) if found["mark2"] or found["word2"] else None
    begin = _bar_of(part, first)
    start = Place(begin, START) if first.beat is None else _at_note(part, begin, first)
    if last is None:
        return _single(part, text.strip(), begin, start, first)
    stop = _bar_of(part, last)
    if last.beat is None:
        end, includes = _end_of_bar(part, stop), False
    else:
        end, includes = _at_note(part, stop, last), True
    if (end.bar, end.start) < (start.bar, start.start):
        raise PlaceError(f"{text!r} ends before it begins; write the earlier place first")
    words = stretch_words(
        part,
        (start.bar, None if first.beat is None else start.start),
        (stop, None) if last.beat is None else (end.bar, end.start),
    )
    return Span(start, end, includes, text.strip(), words)


def _single(part: Part, text: str, bar: int, start: Place, asked: Asked) -> Span:
    words = place_words(part, start.bar, None if asked.beat is None else start.start)
    if asked.beat is None:
        return Span(start, _end_of_bar(part, bar), False, text, words)
    beat = part.bars[bar].time.beat
    end = start.start + beat
    if end.quarters >= part.bars[start.bar].length.quarters:
        return Span(start, _end_of_bar(part, start.bar), False, text, words)
    return Span(start, Place(start.bar, end), False, text, words)


def spot_words(direction: Direction) -> str:
    """START_WORDS or END_WORDS where a direction marks a spot, else empty."""
    words = " ".join(direction.text.lower().split())
    return words if direction.kind == "words" and words in (START_WORDS, END_WORDS) else ""


def marked_spans(part: Part) -> tuple[Span, ...]:
    """The spots that the score itself marks with the words "drill" and "end drill"."""
    marks = [
        (Place(bar.index, direction.start), words)
        for bar in part.bars
        for direction in bar.directions
        if (words := spot_words(direction))
    ]
    spans = []
    for number, (place, words) in enumerate(marks):
        if words != START_WORDS:
            continue
        following = marks[number + 1] if number + 1 < len(marks) else None
        if following is not None and following[1] == END_WORDS:
            last = written_place(part, following[0], always_beat=True)
            text = f"{written_place(part, place)}-{last}"
        else:
            end = _end_of_bar(part, place.bar)
            text = written_place(part, place)
            if place.start != START:
                text += f"-{written_place(part, Place(end.bar, START))}"
        spans.append(find_span(part, text))
    return tuple(spans)


# --- reading -----------------------------------------------------------------


def _asked(groups: dict[str, str | None], n: int) -> Asked:
    mark, word = groups[f"mark{n}"], groups[f"word{n}"]
    nth, bars, beat = groups[f"nth{n}"], groups[f"bars{n}"], groups[f"beat{n}"]
    note = groups[f"note{n}"]
    name = (mark if mark is not None else word or "").strip()
    explicit = re.fullmatch(r"bar\s*(\S+)", name) if mark is None else None
    tail = "".join(
        sign + value
        for sign, value in (("#", nth), (":", bars), ("@", beat), ("#", note))
        if value is not None
    )
    return Asked(
        word=explicit[1] if explicit else name,
        only_mark=mark is not None,
        only_bar=explicit is not None,
        nth=None if nth is None else int(nth),
        bars=1 if bars is None else int(bars),
        beat=None if beat is None else sum(map(Fraction, beat.split("+")), Fraction(0)),
        note=None if note is None else int(note),
        text=(f"[{name}]" if mark is not None else name) + tail,
    )


def _bar_of(part: Part, asked: Asked) -> int:
    marks = [] if asked.only_bar else marked(part, asked.word)
    bars = [] if asked.only_mark else numbered(part, asked.word)
    if marks and bars and set(marks) != set(bars):
        raise PlaceError(
            f"{asked.word} is a rehearsal mark (in bar {told_name(part, marks[0])}) and a bar "
            f"number; write [{asked.word}] for the mark or bar{asked.word} for the bar"
        )
    candidates = marks or bars
    if not candidates:
        raise PlaceError(second_half(part, asked) or unknown(part, asked))
    if asked.nth is None and len(candidates) > 1:
        raise PlaceError(several(part, asked, candidates))
    nth = asked.nth or 1
    if asked.nth is not None and not 1 <= nth <= len(candidates):
        raise PlaceError(
            f"{asked.text}: {asked.word} stands {len(candidates)} times in the part; "
            f"write {asked.word}#1 to {asked.word}#{len(candidates)}"
        )
    return _counted(part, candidates[nth - 1], asked)


def _counted(part: Part, index: int, asked: Asked) -> int:
    if asked.bars == 0:
        raise PlaceError(f"{asked.text}: bars of a mark count from 1, and :-1 is the bar before it")
    while index and completes_previous(part, index):
        index -= 1
    if asked.bars == 1:
        return index
    own = [i for i in range(len(part.bars)) if not completes_previous(part, i)]
    target = own.index(index) + (asked.bars - 1 if asked.bars > 0 else asked.bars)
    if not 0 <= target < len(own):
        raise PlaceError(
            f"{asked.text} lies outside the part, whose bars are "
            f"{told_name(part, own[0])} to {told_name(part, own[-1])}"
        )
    return own[target]


def _at_note(part: Part, index: int, asked: Asked) -> Place:
    """The place of a beat, or of one of its notes."""
    beat, note = Fraction(1) if asked.beat is None else asked.beat, asked.note
    if note is None:
        return _at_beat(part, index, beat)
    if beat.denominator != 1:
        raise PlaceError(f"{asked.text}: notes are counted within a whole beat, such as 12@3#2")
    notes = notes_of_beat(part, index, int(beat))
    if not 1 <= note <= len(notes):
        count = f"{len(notes)} printed note{'' if len(notes) == 1 else 's'}"
        raise PlaceError(f"{asked.text}: beat {beat} of bar {bar_name(part, index)} has {count}")
    return Place(*notes[note - 1])


def _at_beat(part: Part, index: int, beat: Fraction) -> Place:
    """The place of a beat in a bar, or in the bar that completes it."""
    bar = part.bars[index]
    at = (beat - 1) * bar.time.beat.quarters
    place = index
    while True:
        inside = at - part.bars[place].offset.quarters
        if 0 <= inside < part.bars[place].length.quarters:
            return Place(place, Position(inside))
        if place + 1 < len(part.bars) and completes_previous(part, place + 1):
            place += 1
            continue
        first = spoken_beat(bar, START)
        last = 1 + (bar.offset.quarters + bar.length.quarters) / bar.time.beat.quarters
        raise PlaceError(
            f"bar {told_name(part, index)} has no beat {beat}; it goes from beat {first} up to "
            f"beat {-(-last // 1) - 1}"
        )


def _end_of_bar(part: Part, index: int) -> Place:
    while index + 1 < len(part.bars) and completes_previous(part, index + 1):
        index += 1
    return Place(index, START + part.bars[index].length)


# --- words and messages ------------------------------------------------------


def written_place(part: Part, place: Place, *, always_beat: bool = False) -> str:
    """A place in the form that find_span reads; a whole bar without a beat unless wanted."""
    index = place.bar
    start = place.start
    number = bar_name(part, index)
    same = numbered(part, number)
    home = first_half(part, index)
    nth = f"#{same.index(home) + 1}" if len(same) > 1 else ""
    prefix = "bar" if marked(part, number) else ""
    whole_bar = start == START and home == index and not always_beat
    at = "" if whole_bar else f"@{typed_beat(part, index, start)}"
    return f"{prefix}{number}{nth}{at}"
