"""LilyPond's warnings by kind: those that mean nothing on a page of drills, and the rest.

Problem: a warning may be about a sign that the cut of an excerpt leaves open, or about a
head that no font has.  Method: every kind that was seen (LilyPond 2.24) has a row; one
that has none is told word for word, so that nothing is lost in silence.
"""

from __future__ import annotations

import re
from typing import Final

_KINDS: Final = (
    # What the edge of an excerpt leaves open, and beams of strangers.
    (r"unterminated (tie|slur|phrasing slur|beam|\(de\)crescendo|ottava|tuplet)", ""),
    (r"unattached|cannot end (slur|phrasing slur)|already have (slur|phrasing slur|a beam)", ""),
    (r"stem does not fit in beam|beam was started here|stem already has beam", ""),
    (r"(no|could not find) viable .*(beam|initial configuration)|beam quanting", ""),
    (r"weird stem size|note heads? .*stem|cannot find (slur|ties) that fit", ""),
    (r"cyclic dependency|this may lead to|ignoring too many clashing note columns", ""),
    (r"too many colliding rests|bar ?check failed|no tremolo to end", ""),
    (r"cannot find (start|end) of spanner|two simultaneous .* events, junking", ""),
    # Told in a player's words.
    (r"none of note heads", "a note is so long that LilyPond has no head for it"),
    (r"font .* not found|cannot find font|fallback font", "a font is missing; another is used"),
    (r"glyph .* not found|no glyph found", "LilyPond's music font lacks a sign of this music"),
)
"""How a warning reads, and what a player is told; "" for nothing."""


def words(warning: str) -> str:
    """What to tell of a warning; "" where it means nothing, the warning itself where unknown."""
    said = warning.partition("warning: ")[2] or warning
    for pattern, told in _KINDS:
        if re.search(pattern, said, re.IGNORECASE):
            return told
    return f"LilyPond warns: {said[:120]}"
