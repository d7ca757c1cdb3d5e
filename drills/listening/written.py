"""From music to what a recording is compared with.

Conventions.  A grace note belongs to its main note: it is listened for, may be left out, and
is not judged.  What swings is the half of a quarter that is a beat.  Of a chord the highest
tone is listened for.  Keys are sounding pitch.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction

from drills.errors import UsageError
from drills.listening.swung import swung_share
from drills.listening.wanted import Wanted, WantedNote
from drills.music.grid import GridBar
from drills.music.notes import SHORT, Note, Origin
from drills.music.tempo import Tempo
from drills.sheets.sheet import Sheet
from drills.sound.timeline import Passage, Struck

MOST_NOTES = 1500
"""A longer stretch is cut by the player, not by the program."""


def wanted_of(
    passage: Passage, tempo: Tempo, slurred: Sequence[bool] | None = None, swing: float = 1.0
) -> Wanted:
    """What a passage asks to be played, at about a tempo.

    ``slurred``: for each main note in order, whether a slur leads to it; read from the
    passage unless given.  ``swing``: how many times as long an eighth on the beat is meant to
    be as the one off it, where a quarter is the beat.  Raises UsageError for unpitched music
    and for too much of it.
    """
    sounds = passage.sounds()
    if not sounds:
        raise UsageError("nothing is to be played there")
    if len(sounds) > MOST_NOTES:
        raise UsageError(f"at most {MOST_NOTES} notes are judged at once; name a shorter place")
    pace = 60 / tempo.quarters_per_minute
    bars = [bar.start for bar in passage.bars]
    signs = _signs(passage)
    mains = 0
    notes: list[WantedNote] = []
    for one in sounds:
        own = signs.get(one.main.quarters, (False, False))
        joined = own[0] if slurred is None else mains < len(slurred) and bool(slurred[mains])
        bar = max(bisect_right(bars, one.main.quarters) - 1, 0)
        at, end = (_swung(passage.bars[bar], p.quarters, swing) for p in (one.at, one.end))
        share = _share(passage.bars[bar], one.main.quarters)
        notes.append(
            WantedNote(
                at,
                end - at,
                _key(one),
                slurred=joined and not one.grace,
                grace=one.grace,
                bar=bar,
                beat=share == 0 and not one.grace,
                share=float(share),
                short=own[1] and not one.grace,
            )
        )
        mains += not one.grace
    words = tuple(bar.number for bar in passage.music)
    beat = float(passage.bars[0].time.beat.quarters)
    return Wanted(tuple(notes), float(pace), words, beat, swing)


def _signs(passage: Passage) -> dict[Fraction, tuple[bool, bool]]:
    """Place of each note -> whether a slur leads to it, and whether a sign shortens it."""
    found: dict[Fraction, tuple[bool, bool]] = {}
    open_slurs: set[int] = set()
    for at, note in _written(passage):
        found[at] = (bool(open_slurs), not SHORT.isdisjoint(note.articulations))
        open_slurs -= set(note.slur_stops)
        open_slurs |= set(note.slur_starts)
    return found


def _written(passage: Passage) -> Iterator[tuple[Fraction, Note]]:
    """Every written note with its place, in quarters from the start."""
    for bar, grid in zip(passage.music, passage.bars, strict=True):
        for event in (event for voice in bar.voices for event in voice.events):
            if isinstance(event, Note):
                yield grid.start + event.start.quarters, event


def origins_of(passage: Passage) -> dict[Fraction, Origin]:
    """Place of each note of a drill -> where in the part it comes from, as far as that is told."""
    return {at: note.origin for at, note in _written(passage) if note.origin is not None}


def _share(bar: GridBar, at: Fraction) -> Fraction:
    """How far into its beat a place stands, from 0."""
    beat = bar.time.beat.quarters
    return ((at - bar.start + bar.offset.quarters) % beat) / beat


def _swung(bar: GridBar, at: Fraction, swing: float) -> float:
    """Where a place comes when the two halves of each quarter are long and short."""
    if swing == 1.0 or bar.time.beat.quarters != 1:
        return float(at)
    inside = float(_share(bar, at))
    return float(at) - inside + swung_share(inside, swing)


def slurs_of(sheet: Sheet) -> tuple[bool, ...]:
    """For each note of a spot's line, whether a slur leads to it."""
    inside = {n for slur in sheet.spot.slurs for n in range(slur.first + 1, slur.last + 1)}
    return tuple(attack.number in inside for attack in sheet.spot.line)


def _key(one: Struck) -> int:
    pitched = [key for key in one.keys if isinstance(key, Fraction | int)]
    if not pitched:
        raise UsageError("this part has no pitches; only pitched parts can be judged")
    return round(max(pitched))
