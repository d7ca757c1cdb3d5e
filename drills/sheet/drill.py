"""One thing to play: a cell or a line in one rhythm, written out in full bars.

Conventions.  A line starts at the beginning of a bar in the spot's own time
signature.  A cell has a bar of its own, as many beats of the music as it needs,
and all cells of one size have the same: written in even notes it is the
smallest number of whole beats that leaves time after the last note, which is
then held (or followed by silence); written round it has no gap, and a cell of
two notes goes round at least twice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from math import lcm

from drills.errors import NotationError
from drills.music.pitch import Pitch
from drills.music.score import LOUD, SHORT, Articulation, Bar
from drills.music.time import ZERO, Length, NoteValue, Position, TimeSignature
from drills.notation.bars import Setting, Stroke, write_bars
from drills.places.spots import Attack, Run, Slur, slurs_within
from drills.sheet.cells import Cell
from drills.sheet.rhythms import RHYTHMS, Laid, Rhythm, fitted, lay, most_common, played_turned


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
    """Words under a note of a drill."""

    bar: int
    """Index into Drill.bars."""
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


EVEN = RHYTHMS["even"]


def cell_drill(
    cell: Cell,
    setting: Setting,
    value: NoteValue,
    ending: Ending,
    *,
    slurs: Sequence[Slur] = (),
    rhythm: Rhythm = EVEN,
) -> Drill:
    """A cell as a repeated bar.

    ``setting`` is what is in force at the cell in the music; ``value`` the
    length of its even notes.
    """
    laid, length = _cell_strokes(cell.size, setting.time, value.length, ending, rhythm)
    first, last = cell.ranges[0]
    attacks = _accents_of(rhythm, cell.attacks)
    if ending is Ending.HOLD:
        attacks = (*attacks[:-1], without(attacks[-1], SHORT))
    strokes = _strokes(attacks, laid)
    inside = slurs_within(slurs, first, last)
    rounds = sum(stroke.attack is not None for stroke in strokes) // cell.size
    inside = tuple(
        Slur(slur.first + cell.size * n, slur.last + cell.size * n)
        for n in range(rounds)
        for slur in inside
    )
    own_bar = Setting(_time_of(length, setting.time), setting.key, setting.clef, setting.instrument)
    return Drill(
        DrillKind.CELL,
        ", ".join(number_range(*found) for found in cell.ranges),
        rhythm.key,
        cell.size,
        cell.ranges,
        write_bars(strokes, own_bar, inside),
        repeated=True,
    )


def line_drills(
    run: Run,
    setting: Setting,
    rhythm: Rhythm,
    slurs: Sequence[Slur],
    *,
    value: NoteValue | None = None,
    turn: int = 0,
    named: bool = False,
    places: Sequence[Position] = (),
) -> tuple[Drill, ...]:
    """A run in a rhythm; two drills where the rhythm regroups what is in threes already.

    ``named`` adds the run's note numbers to the label, for a line of several runs.
    ``places`` says where each note stands in its (full) bar, so that a line in the
    music's own value keeps its beats; without it the line starts on a beat.
    """
    attacks = run.attacks
    first, last = attacks[0].number, attacks[-1].number
    level = levelled(run, setting) if value is None else value.length
    drills = []
    for one in fitted(rhythm, setting.time, level):
        lead = _lead(attacks, places, setting.time.beat, level)
        laid = lay(len(attacks), one, setting.time, level, turn, lead=lead)
        label = played_turned(one, turn).name
        drills.append(
            Drill(
                DrillKind.LINE,
                f"{label}, notes {number_range(first, last)}" if named else label,
                one.key,
                len(attacks),
                ((first, last),),
                write_bars(
                    _strokes(_accents_of(one, attacks), laid),
                    setting,
                    slurs_within(slurs, first, last),
                ),
                repeated=False,
            )
        )
    return tuple(drills)


def _lead(
    attacks: Sequence[Attack], places: Sequence[Position], beat: Length, level: Length
) -> Length:
    """The rest before an even line that leaves most notes of the level where they stand.

    None where no rest does so for more than half of them: then the line starts
    on a beat.
    """
    wanted = Counter(
        (place.quarters - index * level.quarters) % beat.quarters
        for index, (attack, place) in enumerate(zip(attacks, places, strict=False))
        if attack.length == level
    )
    if not wanted:
        return ZERO
    lead, votes = wanted.most_common(1)[0]
    return Length(lead) if 2 * votes > wanted.total() else ZERO


def _accents_of(rhythm: Rhythm, attacks: Sequence[Attack]) -> Sequence[Attack]:
    """The attacks without the music's accents where the rhythm sets its own."""
    return [without(attack, LOUD) for attack in attacks] if rhythm.accents else attacks


def without(attack: Attack, signs: Collection[Articulation]) -> Attack:
    """The attack without some of its signs."""
    return replace(attack, articulations=tuple(a for a in attack.articulations if a not in signs))


def levelled(run: Run, setting: Setting) -> Length:
    """The commonest length of a run that an even line can be written in.

    Lengths that divide the beat, or that the beat divides, come first: a lilt of
    quarters and eighths in 6/8 is levelled to eighths.  One that needs a tuplet
    of another kind than 3, 5, 6 or 7 is passed over; an eighth where nothing
    else is left.
    """
    beat = setting.time.beat
    lengths = [attack.length for attack in run.attacks if attack.length]
    fitting = [
        size for size in lengths if 1 in ((beat / size).denominator, (size / beat).denominator)
    ]
    for candidates in (fitting, lengths):
        left = candidates
        while left:
            level = most_common(left)
            if _can_be_written(level, setting):
                return level
            left = [size for size in left if size != level]
    return NoteValue("eighth").length


@lru_cache(maxsize=256)
def _can_be_written(level: Length, setting: Setting) -> bool:
    """Tried on enough notes to fill a bar."""
    count = min(int(setting.time.bar_length / level) + 2, 64)
    probe = Attack((Pitch("C", Fraction(0), 4),), level)
    try:
        write_bars([Stroke(probe, level)] * count, setting)
    except NotationError:
        return False
    return True


def number_range(first: int, last: int) -> str:
    """ "4-6", or "4" for a single note."""
    return str(first) if first == last else f"{first}-{last}"


def _strokes(attacks: Sequence[Attack], laid: Sequence[Laid]) -> list[Stroke]:
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
        return _rounds(once, played, time.beat)
    bar = time.beat * (played.quarters // time.beat.quarters + 1)
    spare = bar - played
    if ending is Ending.HOLD:
        last = once[-1]
        return (*once[:-1], Laid(last.attack, last.length + spare, last.accent)), bar
    return (*once, Laid(None, spare)), bar


def _rounds(
    once: tuple[Laid, ...], played: Length, beat: Length
) -> tuple[tuple[Laid, ...], Length]:
    """The cell as often as it takes to fill whole beats; of two notes at least twice."""
    parts = lcm(played.quarters.denominator, beat.quarters.denominator)
    own, whole = int(played.quarters * parts), int(beat.quarters * parts)
    rounds = lcm(own, whole) // own
    if len(once) == 2 and rounds == 1:
        rounds = 2
    return once * rounds, played * rounds


def _time_of(bar: Length, music: TimeSignature) -> TimeSignature:
    """A time signature for a cell's bar, counted as the music is."""
    unit = music.unit_length
    while unit > _QUARTER.length:
        unit = Length(unit.quarters / 2)
    return TimeSignature((int(bar / unit),), int(4 / unit.quarters))


_QUARTER = NoteValue("quarter")
