"""From music to what a recording is compared with.

Conventions.  A grace note belongs to its main note: it is listened for, may be left out, and
is not judged.  Of a chord the highest tone is listened for.  Keys are sounding pitch.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction

from drills.errors import UsageError
from drills.listening.wanted import Wanted, WantedNote
from drills.music.tempo import Tempo
from drills.sheets.sheet import Sheet
from drills.sound.timeline import Passage, Struck

MOST_NOTES = 1500
"""A longer stretch is cut by the player, not by the program."""


def wanted_of(passage: Passage, tempo: Tempo, slurred: Sequence[bool] = ()) -> Wanted:
    """What a passage asks to be played, at about a tempo.

    ``slurred``: for each main note in order, whether a slur leads to it.  Raises UsageError
    for unpitched music and for too much of it.
    """
    sounds = passage.sounds()
    if not sounds:
        raise UsageError("nothing is to be played there")
    if len(sounds) > MOST_NOTES:
        raise UsageError(f"at most {MOST_NOTES} notes are judged at once; name a shorter place")
    pace = 60 / tempo.quarters_per_minute
    bars = [bar.start for bar in passage.bars]
    mains = 0
    notes: list[WantedNote] = []
    for one in sounds:
        joined = bool(slurred[mains]) if not one.grace and mains < len(slurred) else False
        notes.append(
            WantedNote(
                float(one.at.quarters),
                float((one.end - one.at).quarters),
                _key(one),
                slurred=joined,
                grace=one.grace,
                bar=max(bisect_right(bars, one.main.quarters) - 1, 0),
                beat=_on_beat(one, bars, passage),
            )
        )
        mains += not one.grace
    return Wanted(tuple(notes), float(pace), tuple(bar.number for bar in passage.music))


def slurs_of(sheet: Sheet) -> tuple[bool, ...]:
    """For each note of a spot's line, whether a slur leads to it."""
    inside = {n for slur in sheet.spot.slurs for n in range(slur.first + 1, slur.last + 1)}
    return tuple(attack.number in inside for attack in sheet.spot.line)


def _key(one: Struck) -> int:
    pitched = [key for key in one.keys if isinstance(key, Fraction | int)]
    if not pitched:
        raise UsageError("this part has no pitches; only pitched parts can be judged")
    return round(max(pitched))


def _on_beat(one: Struck, bars: Sequence[Fraction], passage: Passage) -> bool:
    before = [bar for bar in passage.bars if bar.start <= one.at.quarters]
    if not before or not bars:
        return False
    bar = before[-1]
    return (one.at.quarters - bar.start) % bar.time.beat.quarters == 0
