"""The even note of a passage: which length it is levelled to, and how a cell writes it.

Problem.  Cells and even lines need one length for all their notes, and a length that
can be read.  Method.  The commonest length that can be written; a cell writes it as
the music does, a tuplet as the plain value of its kind, and nothing shorter than a
sixteenth or longer than a quarter.

Conventions.  The pace of a drill is the length of its quick notes over that of the
music's: at the performing speed its beat goes that much faster.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Final

from drills.errors import NotationError
from drills.music.pitch import Pitch
from drills.music.time import NOTE_KINDS, Length, NoteValue
from drills.notation.bars import Setting, Stroke, write_bars
from drills.places.spots import Attack, Run
from drills.sheets.rhythms import most_common

_SHORTEST, _LONGEST = NOTE_KINDS["16th"], NOTE_KINDS["quarter"]


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


def own_length(attacks: Sequence[Attack]) -> Length:
    """What most notes of a cell last in the music, its last one left aside; of equals the
    shortest."""
    lengths = [attack.length for attack in attacks[:-1] if attack.length]
    return most_common(lengths) if lengths else NOTE_KINDS["eighth"]


def cell_length(own: Length) -> Length:
    """The plain length in which a cell writes notes of a length in the music.

    A triplet eighth is written as an eighth, a sixteenth of seven as a sixteenth, a
    thirty-second as a sixteenth, a half note as a quarter.
    """
    plain = next(size for size in _PLAIN if size >= own) if own <= _PLAIN[-1] else _PLAIN[-1]
    return min(max(plain, _SHORTEST), _LONGEST)


_PLAIN: Final = tuple(sorted(NOTE_KINDS.values()))
