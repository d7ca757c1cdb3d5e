"""A run of a line in a rhythm, written out in full bars.

Conventions.  A rhythm starts at the beginning of a bar in the time signature of the spot's
first note.  The even line keeps the music's own bars where it can (own_rhythm.py), and else
starts with a rest where that leaves most of its notes on their part of the beat.  A change of
clef or key stands before the note that has it in the music.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from drills.music.notes import Note
from drills.music.pitch import KeySignature
from drills.music.score import Bar, Clef, Part
from drills.music.time import START, ZERO, Length, NoteValue, Position
from drills.notation.bars import Setting, write_bars
from drills.places.spots import Attack, Run, Slur, slurs_within
from drills.sheets.drill import EVEN, Drill, DrillKind, accents_of, number_range, strokes_of
from drills.sheets.excerpt import setting_at
from drills.sheets.levels import levelled
from drills.sheets.own_rhythm import even_line
from drills.sheets.rhythms import Laid, Rhythm, fitted, lay, played_turned


def line_drills(
    part: Part,
    run: Run,
    rhythm: Rhythm,
    slurs: Sequence[Slur],
    *,
    value: NoteValue | None = None,
    turn: int = 0,
    named: bool = False,
) -> tuple[Drill, ...]:
    """A run in a rhythm; two drills where the rhythm regroups what is in threes already.

    ``value`` levels every note of the run to one length; ``named`` adds the run's note
    numbers to the label, for a line of several runs.
    """
    settings = [setting_at(part, attack) for attack in run.attacks]
    level = levelled(run, settings[0]) if value is None else value.length
    own = levelled(run, settings[0])
    kept = even_line(part, run, slurs) if rhythm == EVEN and value is None else None
    drills = []
    for one in fitted(rhythm, settings[0].time, level):
        laid = lay(
            len(run.attacks),
            one,
            settings[0].time,
            level,
            turn,
            lead=_lead(run.attacks, _places_in_bars(part, run), settings[0].time.beat, level),
        )
        bars = kept or _written(run, one, laid, settings[0], slurs)
        first, last = run.attacks[0].number, run.attacks[-1].number
        label = played_turned(one, turn).name
        quick = min(one.weights) * _unit(one, settings[0], level)
        drills.append(
            Drill(
                DrillKind.LINE,
                f"{label}, notes {number_range(first, last)}" if named else label,
                one.key,
                len(run.attacks),
                ((first, last),),
                _with_changes(bars, settings),
                repeated=False,
                pace=quick / own.quarters if kept is None else Fraction(1),
            )
        )
    return tuple(drills)


def _unit(rhythm: Rhythm, setting: Setting, level: Length) -> Fraction:
    """Quarters of a weight of 1."""
    if rhythm.beats == 0:
        return level.quarters
    return rhythm.beats * setting.time.beat.quarters / sum(rhythm.weights)


def _written(
    run: Run, rhythm: Rhythm, laid: Sequence[Laid], setting: Setting, slurs: Sequence[Slur]
) -> tuple[Bar, ...]:
    numbers = run.attacks[0].number, run.attacks[-1].number
    strokes = strokes_of(accents_of(rhythm, run.attacks), laid)
    return write_bars(strokes, setting, slurs_within(slurs, *numbers))


def _places_in_bars(part: Part, run: Run) -> tuple[Position, ...]:
    """Where each note of a run stands in its bar, a pickup counted from its missing start."""
    places = (attack.origin for attack in run.attacks if attack.origin is not None)
    return tuple(place.start + part.bars[place.bar].offset for place in places)


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


def _with_changes(bars: Sequence[Bar], settings: Sequence[Setting]) -> tuple[Bar, ...]:
    """The bars with the clefs and keys that the notes have in the music, where they change."""
    found: list[Bar] = []
    clef, key, count = settings[0].clef, settings[0].key, 0
    for bar in bars:
        begins = (clef, key)
        clefs: list[tuple[Position, Clef]] = []
        keys: list[tuple[Position, KeySignature]] = []
        for event in bar.voices[0].events:
            if not isinstance(event, Note) or event.tie_stop:
                continue
            wanted, count = settings[min(count, len(settings) - 1)], count + 1
            if wanted.clef != clef:
                clef = wanted.clef
                clefs.append((event.start, clef))
            if wanted.key != key:
                key = wanted.key
                keys.append((event.start, key))
        if clefs and clefs[0][0] == START:
            begins = (clefs.pop(0)[1], begins[1])
        if keys and keys[0][0] == START:
            begins = (begins[0], keys.pop(0)[1])
        found.append(
            replace(
                bar,
                clef=begins[0],
                key=begins[1],
                clef_changes=tuple(clefs),
                key_changes=tuple(keys),
            )
        )
    return tuple(found)
