"""The cue sheet: at what time of a sound file what begins, as plain text.

Times are minutes, seconds and thousandths, as a player's display counts them.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import floor

from drills.sound.practice.events import Cue


def clock(seconds: Fraction) -> str:
    """``75.5`` s is ``1:15.500``, rounded to the nearest thousandth; hours stay minutes."""
    thousandths = floor(seconds * 1000 + Fraction(1, 2))
    minutes, rest = divmod(thousandths, 60_000)
    return f"{minutes}:{rest // 1000:02}.{rest % 1000:03}"


def cue_sheet(cues: Iterable[Cue], heading: str = "", mark: str = "") -> str:
    """One line for each cue, the times under each other; ends with a line break.

    ``heading`` comes first, ``mark`` (by which a later run knows its own file) last,
    each with an empty line between.
    """
    told = [(clock(cue.at), " ".join(cue.text.split())) for cue in cues]
    width = max((len(time) for time, _ in told), default=0)
    lines = "\n".join(f"{time:>{width}}  {text}".rstrip() for time, text in told)
    return "\n\n".join(part for part in (heading, lines, mark) if part) + "\n"
