"""One thing to play, written out in full bars; and how a cell is written.

Conventions.  A cell has a bar of its own, as many beats of the music as it needs, and
all cells of one size and value have the same: in even notes it is the smallest number
of whole beats (of half beats, where a beat would be held long) that leaves time after
the last note, which is then held or followed by silence.  Written round it has no gap:
its bar is the cell, under a beam of its own, and a cell of two notes stands twice.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from typing import Final

from drills.music.notes import LOUD, SHORT, Articulation, Beam, Event, Note, Voice
from drills.music.score import Bar
from drills.music.time import Length, NoteValue, Position, TimeSignature
from drills.notation.bars import Setting, Stroke, write_bars
from drills.notation.beams import beamed
from drills.places.spots import Attack, Slur, slurs_within
from drills.sheets.cells import Cell
from drills.sheets.rhythms import RHYTHMS, Laid, Rhythm, lay


class DrillKind(StrEnum):
    """What a drill is made of."""

    CELL = "cell"
    LINE = "line"
    CHORD = "chord"
    """The spot as slow chords, the player's note in each."""


class Ending(StrEnum):
    """How a cell goes on after its last note."""

    HOLD = "hold"
    """Held to the end of the bar, so the leap back is never practised by accident."""
    REST = "rest"
    """Silence to the end of the bar."""
    ROUND = "round"
    """No gap: round and round; of two notes a slow trill."""


@dataclass(frozen=True, slots=True)
class UnderNote:
    """Words under a note of written bars."""

    bar: int
    """Index of the bar, from 0."""
    start: Position
    text: str
    """Its function in the chord, such as "b3"."""
    cents: str = ""
    """What it is tuned by for a pure interval, such as "-14"; empty where nothing is said."""


@dataclass(frozen=True, slots=True)
class Drill:
    """One thing to play, written out in full bars."""

    kind: DrillKind
    label: str
    """Printed above: the cell's number range ("4-6") or the rhythm's name ("reversed dotted")."""
    rhythm: str
    """Key of the rhythm, such as "reversed-dotted"."""
    size: int
    """Number of attacks."""
    ranges: tuple[tuple[int, int], ...]
    """First and last note number of every place in the line where it occurs."""
    bars: tuple[Bar, ...]
    """Full bars with one voice; indices and numbers count from 1 in the drill."""
    repeated: bool
    """Printed between repeat signs."""
    under: tuple[UnderNote, ...] = ()
    """Functions and tunings, where chords are known."""
    pace: Fraction = Fraction(1)
    """Its quick notes over those of the music, as written: at the performing speed its beat
    goes that much faster than the music's."""


EVEN = RHYTHMS["even"]


def cell_drill(
    cell: Cell,
    setting: Setting,
    value: Length,
    ending: Ending,
    *,
    slurs: Sequence[Slur] = (),
    rhythm: Rhythm = EVEN,
    own: Length | None = None,
) -> Drill:
    """A cell as a repeated bar.

    ``setting`` is what is in force at the cell in the music; ``value`` the
    length of its even notes, ``own`` what they last in the music (the same unless given).
    """
    laid, length = _cell_strokes(cell.size, setting.time, value, ending, rhythm)
    quick = min(one.length for one in laid[: cell.size - 1] or laid)
    first, last = cell.ranges[0]
    attacks = accents_of(rhythm, cell.attacks)
    if ending is Ending.HOLD:
        attacks = (*attacks[:-1], without(attacks[-1], SHORT))
    strokes = strokes_of(attacks, laid)
    inside = slurs_within(slurs, first, last)
    rounds = sum(stroke.attack is not None for stroke in strokes) // cell.size
    inside = tuple(
        Slur(slur.first + cell.size * n, slur.last + cell.size * n)
        for n in range(rounds)
        for slur in inside
    )
    own_bar = Setting(
        cell_time(length, setting.time), setting.key, setting.clef, setting.instrument
    )
    bars = _beamed_by_beat(write_bars(strokes, own_bar, inside))
    return Drill(
        DrillKind.CELL,
        ", ".join(number_range(*found) for found in cell.ranges),
        rhythm.key,
        cell.size,
        cell.ranges,
        _beamed_by_cell(bars, cell.size) if ending is Ending.ROUND else bars,
        repeated=True,
        pace=quick / (own or value),
    )


def accents_of(rhythm: Rhythm, attacks: Sequence[Attack]) -> Sequence[Attack]:
    """The attacks without the music's accents where the rhythm sets its own."""
    return [without(attack, LOUD) for attack in attacks] if rhythm.accents else attacks


def without(attack: Attack, signs: Collection[Articulation]) -> Attack:
    """The attack without some of its signs."""
    return replace(attack, articulations=tuple(a for a in attack.articulations if a not in signs))


def number_range(first: int, last: int) -> str:
    """ "4-6", or "4" for a single note."""
    return str(first) if first == last else f"{first}-{last}"


def strokes_of(attacks: Sequence[Attack], laid: Sequence[Laid]) -> list[Stroke]:
    """What is played, as strokes."""
    return [
        Stroke(None if one.attack is None else attacks[one.attack], one.length, one.accent)
        for one in laid
    ]


def _cell_strokes(
    count: int, time: TimeSignature, value: Length, ending: Ending, rhythm: Rhythm
) -> tuple[tuple[Laid, ...], Length]:
    """What a cell plays, and the length of its bar."""
    if rhythm.beats:
        once = lay(count, rhythm, time, value)
    else:
        once = tuple(
            Laid(i, value, i % len(rhythm.weights) in rhythm.accents) for i in range(count)
        )
    played = Length(sum((one.length.quarters for one in once), Fraction(0)))
    if ending is Ending.ROUND:
        return (once * 2, played * 2) if count == 2 else (once, played)
    step = _hold_step(time.beat, value)
    bar = step * (played.quarters // step.quarters + 1)
    spare = bar - played
    if ending is Ending.HOLD:
        last = once[-1]
        return (*once[:-1], Laid(last.attack, last.length + spare, last.accent)), bar
    return (*once, Laid(None, spare)), bar


def _hold_step(beat: Length, value: Length) -> Length:
    """What a cell's bar is a multiple of: the beat, or half of a beat that would be held long."""
    step = beat
    while NoteValue.of(step, max_dots=0) and step.quarters / 2 >= _HELD * value.quarters:
        step = Length(step.quarters / 2)
    return step


_HELD: Final = 4
"""Notes of a cell that make a long beat."""


def cell_time(bar: Length, music: TimeSignature) -> TimeSignature:
    """A time signature for a cell's bar, counted as the music is where that goes."""
    unit = music.unit_length
    while unit > _QUARTER.length or (bar.quarters / unit.quarters).denominator > 1:
        unit = Length(unit.quarters / 2)
    return TimeSignature((int(bar / unit),), int(4 / unit.quarters))


def _beamed_by_beat(bars: Sequence[Bar]) -> tuple[Bar, ...]:
    """Bars of three quarters with beams inside the beats: two eighths and one, not three."""
    by_beat = TimeSignature((1, 1, 1), 4)
    return tuple(
        replace(bar, voices=tuple(Voice(v.name, beamed(_bare(v), by_beat)) for v in bar.voices))
        if str(bar.time) == "3/4"
        else bar
        for bar in bars
    )


def _bare(voice: Voice) -> tuple[Event, ...]:
    """Without beams."""
    return tuple(replace(e, beam=None) if isinstance(e, Note) else e for e in voice.events)


def _beamed_by_cell(bars: Sequence[Bar], size: int) -> tuple[Bar, ...]:
    """A cell that goes round under a beam of its own, so that its start is seen."""
    (bar,) = bars
    events = list(bar.voices[0].events)
    flagged = all(isinstance(e, Note) and e.value.flags for e in events)
    if flagged and len(events) % size == 0:
        marks = [Beam.START, *[Beam.CONTINUE] * (size - 2), Beam.STOP]
        events = [
            replace(e, beam=marks[n % size]) for n, e in enumerate(events) if isinstance(e, Note)
        ]
    return (replace(bar, voices=(replace(bar.voices[0], events=tuple(events)),)),)


_QUARTER = NoteValue("quarter")
