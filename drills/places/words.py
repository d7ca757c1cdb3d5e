"""A place in the words that players use among themselves: never a fraction.

    bar 33                            whole bars
    beat 3 of bar 33                  beats of the time signature
    from the third note of beat 3     anything finer: notes are pointed at and counted

Problem.  "Beat 3.75" is arithmetic; a player points at a note.  Method.  A place
between beats is told by the printed notes of its beat, counted as they stand on the
page: a note that a tie leads into is printed, and counts; grace notes, cues, hidden
notes and rests do not; notes of several voices that begin together count once.

Conventions.  The same count has a short form that can be typed, ``33@3#3``
(finding.py), and a form for file names, ``33-beat-3-note-3``.  A place where no note
begins is told by the note before it in its beat.
"""

from __future__ import annotations

from collections.abc import Iterator

from drills.music.notes import Note
from drills.music.score import Part
from drills.music.time import Position
from drills.places.bar_names import (
    bar_name,
    bar_words,
    completes_previous,
    mark_words,
    ordinal,
    spoken_count,
)


def notes_of_beat(part: Part, index: int, beat: int) -> tuple[tuple[int, Position], ...]:
    """Where the printed notes of a beat begin, in order: index of the bar, and position.

    ``beat`` counts from 1 in the whole bar that the bar ``index`` belongs to, the
    halves of a split bar together.
    """
    home = first_half(part, index)
    length = part.bars[home].time.beat.quarters
    found = set()
    for at in _halves(part, home):
        bar = part.bars[at]
        low = (beat - 1) * length - bar.offset.quarters
        for voice in bar.voices:
            for event in voice.events:
                shown = isinstance(event, Note) and not (event.cue or event.hidden)
                if shown and low <= event.start.quarters < low + length:
                    found.add((at, event.start))
    return tuple(sorted(found, key=lambda place: (place[0], place[1].quarters)))


def counted(part: Part, index: int, start: Position) -> tuple[int, int | None]:
    """The beat a place lies in, and which printed note of it begins there, both from 1.

    The note is None on the beat itself and where no note begins.
    """
    bar = part.bars[index]
    beats = (bar.offset.quarters + start.quarters) / bar.time.beat.quarters
    beat = int(beats // 1) + 1
    if beats.denominator == 1:
        return beat, None
    notes = notes_of_beat(part, index, beat)
    place = (index, start)
    return beat, notes.index(place) + 1 if place in notes else None


def first_half(part: Part, index: int) -> int:
    """The bar that carries the number of one that may only complete it."""
    while index > 0 and completes_previous(part, index):
        index -= 1
    return index


def beat_words(part: Part, index: int, start: Position) -> str:
    """ "beat 3", "the third note of beat 3", "just after the second note of beat 3"."""
    beat, note = counted(part, index, start)
    if note is not None:
        return f"the {ordinal(note)} note of beat {beat}"
    bar = part.bars[index]
    if not (bar.offset.quarters + start.quarters) % bar.time.beat.quarters:
        return f"beat {beat}"
    here = (index, start.quarters)
    before = sum((at, s.quarters) < here for at, s in notes_of_beat(part, index, beat))
    if before:
        return f"just after the {ordinal(before)} note of beat {beat}"
    return f"within beat {beat}"


def place_words(
    part: Part, index: int, start: Position | None, *, marks: bool = True, begins: bool = True
) -> str:
    """ "beat 3 of bar 33, the first bar of E"; the bar alone without ``start``.

    Without ``marks`` the rehearsal mark is left out.  A place between beats reads
    "from the third note of beat 3 of bar 33" where something ``begins`` there.
    """
    mark = mark_words(part, index) if marks else ""
    head = bar_words(part, index)
    if start is not None:
        beat = beat_words(part, index, start)
        if begins and not beat.startswith("beat"):
            beat = f"from {beat}"
        head = f"{beat} of {head}"
    return f"{head}, {mark}" if mark else head


def stretch_words(
    part: Part,
    first: tuple[int, Position | None],
    last: tuple[int, Position | None],
    *,
    marks: bool = True,
) -> str:
    """ "bar 33, the first bar of E, to beat 1 of bar 34": bars with a position each, or whole.

    Whole bars without a mark are "bars 33 to 35".
    """
    begins = place_words(part, *first, marks=marks)
    comma = "," if "," in begins else ""
    index, start = last
    same_bar = first_half(part, index) == first_half(part, first[0])
    if start is None and first[1] is None and not comma and not same_bar:
        both = bar_words(part, first[0]), bar_words(part, index)
        if all(words.startswith("bar ") for words in both):
            return f"bars {bar_name(part, first[0])} to {bar_name(part, index)}"
        return " to ".join(both)
    if start is None:
        bar = "the bar" if same_bar else bar_words(part, index)
        ends = bar if first[1] is None else f"the end of {bar}"
    elif same_bar and first[1] is not None:
        ends = beat_words(part, index, start)
    else:
        ends = place_words(part, index, start, marks=False, begins=False)
    return f"{begins}{comma} to {ends}"


def short_words(bar: str, beat: int, note: int | None) -> str:
    """ "33, beat 2, note 3": over a few notes, where there is no room for a sentence."""
    return f"{bar}, beat {beat}" + (f", note {note}" if note else "")


def file_words(
    part: Part, first: tuple[int, Position | None], last: tuple[int, Position | None] | None
) -> str:
    """The same for a file's name: "33", "33-to-35", "33-beat-3-note-3-to-34-beat-1".

    ``last`` is None for a single bar or beat.
    """
    begins = "-".join(_file_place(part, *first))
    if last is None:
        return begins
    ends = list(_file_place(part, *last))
    same_bar = bar_name(part, last[0]) == bar_name(part, first[0]) and len(ends) > 1
    return "-".join((begins, "to", *ends[same_bar:]))


def _file_place(part: Part, index: int, start: Position | None) -> Iterator[str]:
    yield bar_name(part, index).replace(" ", "-")
    if start is None:
        return
    beat, note = counted(part, index, start)
    yield f"beat-{beat}"
    if note is not None:
        yield f"note-{note}"


def _halves(part: Part, home: int) -> Iterator[int]:
    yield home
    index = home + 1
    while index < len(part.bars) and completes_previous(part, index):
        yield index
        index += 1


def typed_beat(part: Part, index: int, start: Position) -> str:
    """A place in its bar in the form that places.py reads: "3", "3#3"; where no note
    begins between two beats, the count itself: "3.5"."""
    beat, note = counted(part, index, start)
    if note is not None:
        return f"{beat}#{note}"
    bar = part.bars[index]
    return spoken_count(1 + (bar.offset.quarters + start.quarters) / bar.time.beat.quarters)
