"""What a part prints over and under its notes: tempo marks, dynamic signs, words."""

from __future__ import annotations

import re
from typing import Final

from drills.music.score import Bar, Direction, TempoMark
from drills.music.time import Position
from drills.output.lilypond import words as ly

DYNAMICS: Final = re.compile("p{1,5}|f{1,5}|mp|mf|fp|sff?|spp?|sfz|rfz|n")
"""Dynamic signs that LilyPond has a command for."""

LONGEST: Final = 40
"""Characters of words over the notes; the rest would run off the page."""


def signs_of(bar: Bar, late_from: Position | None) -> list[tuple[Position, str]]:
    """The signs of a bar in order, each with its place.

    From ``late_from`` on, words end at their note and do not begin there.
    """
    signs = [(tempo.start, _tempo(tempo)) for tempo in bar.tempos]
    said = {_plain(tempo.text) for tempo in bar.tempos}
    for sign in bar.directions:
        if sign.kind == "words" and _plain(sign.text) in said:
            continue  # the tempo mark says so already
        late = late_from is not None and sign.start >= late_from
        signs.append((sign.start, f"<>{_direction(sign, late)}"))
    return sorted((sign for sign in signs if sign[1]), key=lambda sign: sign[0])


def _plain(text: str) -> str:
    """Words without regard to case, blanks and a full stop."""
    return " ".join(text.lower().split()).rstrip(".")


def _tempo(tempo: TempoMark) -> str:
    """A tempo mark as the score prints it, to the nearest whole number."""
    text = ly.shortened(tempo.text, LONGEST)
    words = f"{ly.ly_string(text)} " if text else ""
    if tempo.beat is None or tempo.number is None:
        return rf"\tempo {words}" if words else ""
    return rf"\tempo {words}{ly.value(tempo.beat)} = {max(1, round(tempo.number))}"


def _direction(direction: Direction, late: bool) -> str:
    """A dynamic sign under the staff or words over it, as a post-event."""
    text = ly.shortened(direction.text, LONGEST)
    if direction.kind == "dynamic" and DYNAMICS.fullmatch(text):
        return f"\\{text}"
    if direction.kind == "dynamic":
        return rf"_\markup \dynamic {ly.ly_string(text)}"
    side = r"-\tweak self-alignment-X #RIGHT " if late else ""
    return rf"{side}^\markup {ly.ly_string(text)}"
