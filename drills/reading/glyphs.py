"""Signs of music fonts inside words, as text that every font and terminal shows.

Exporters put notes into words under the code points of their music font, or beside
them as ``<symbol>`` (MusicXML 4.0) with a name.  Both follow SMuFL (Standard Music
Font Layout 1.4, W3C: tables "Metronome marks", "Individual notes", "Standard
accidentals").  What has no sign in plain text is left out, and with it brackets that
then hold nothing.
"""

from __future__ import annotations

import re
from typing import Final

_WHOLE: Final = "\N{MUSICAL SYMBOL WHOLE NOTE}"
_HALF: Final = "\N{MUSICAL SYMBOL HALF NOTE}"
_QUARTER: Final = "\N{QUARTER NOTE}"
_EIGHTH: Final = "\N{EIGHTH NOTE}"
_SIXTEENTH: Final = "\N{MUSICAL SYMBOL SIXTEENTH NOTE}"

_SMUFL: Final = (
    ("Whole", (0xE1D2, 0xECA2), _WHOLE),
    ("HalfUp", (0xE1D3, 0xECA3), _HALF),
    ("HalfDown", (0xE1D4, 0xECA4), _HALF),
    ("QuarterUp", (0xE1D5, 0xECA5), _QUARTER),
    ("QuarterDown", (0xE1D6, 0xECA6), _QUARTER),
    ("8thUp", (0xE1D7, 0xECA7), _EIGHTH),
    ("8thDown", (0xE1D8, 0xECA8), _EIGHTH),
    ("16thUp", (0xE1D9, 0xECA9), _SIXTEENTH),
    ("16thDown", (0xE1DA, 0xECAA), _SIXTEENTH),
    ("Dot", (0xE1E7, 0xECB7), "."),
    ("Flat", (0xE260, 0xED60), "\N{MUSIC FLAT SIGN}"),
    ("Natural", (0xE261, 0xED61), "\N{MUSIC NATURAL SIGN}"),
    ("Sharp", (0xE262, 0xED62), "\N{MUSIC SHARP SIGN}"),
)
"""End of the glyph's name; its code points (as a note, in metronome marks or chord
symbols); plain text.  The code points of accidentals in chord symbols are from memory."""
_PLAIN: Final = {code: text for _, codes, text in _SMUFL for code in codes}
_PRIVATE: Final = re.compile("[\ue000-\uf8ff]")
"""Unicode's private use area: whatever a font puts there."""
_EMPTY: Final = re.compile(r"\(\s*\)|\[\s*\]")


def in_plain_text(text: str) -> str:
    """The text with signs of music fonts as plain ones, or without them."""
    if not _PRIVATE.search(text):
        return text
    return without_empty_brackets(_PRIVATE.sub("", text.translate(_PLAIN)))


def of_symbol(name: str) -> str:
    """Plain text for a SMuFL glyph by its name ("metNoteQuarterUp"); "" where there is none."""
    if name == "space":
        return " "
    return next((text for end, _, text in _SMUFL if name.endswith(end)), "")


def without_empty_brackets(text: str) -> str:
    """The text without brackets around nothing, as a lost sign leaves them."""
    return _EMPTY.sub("", text)
