"""What LilyPond says while it works, read and told in a player's words."""

from __future__ import annotations

import re
from typing import Final

from drills.output.alive import temporary_place
from drills.output.engrave.kinds import words

_NO_GLYPH: Final = re.compile(r"warning: no glyph for character U\+([0-9A-F]+)")
_PAGES: Final = re.compile(r"^drills: pages (\d+)$", re.MULTILINE)
_FIRST_ERROR: Final = re.compile(r"^(?:\S+?:(\d+):\d+: |)(?:fatal |)error: (.*)$", re.MULTILINE)
_WARNING: Final = re.compile(r"^.*warning: .*$", re.MULTILINE)
_SQUEEZED: Final = re.compile(
    r"warning: (compressing over-full page by (\d+\.\d) staff-spaces|page \d+ has been compressed)"
)
_HARMLESS_SQUEEZE: Final = 8.0
"""Staff spaces.  LilyPond fills pages by an estimate of heights and then takes the
rest from all gaps alike: so little, shared by twenty gaps, brings nothing together."""

_NOT_WRITTEN: Final = re.compile(
    r"error while writing to output stream|error writing|No space left on device"
)
"""What the libraries say of a file that could not be written to its end; where it is a PDF,
LilyPond reports success all the same."""

MAKE_ROOM: Final = "make room there, or name another one in the environment variable TMPDIR"
"""What to do about the folder for temporary files."""

_OVER_MARGIN: Final = "warning: over the margin by"
"""What the text itself makes LilyPond say of a system that is wider than a line."""

_TOO_FEW_PAGES: Final = "warning: too few pages"
"""By LilyPond's first estimate; how much it had to squeeze it says by ``_SQUEEZED``."""


def ran_out_of_memory(log: str) -> bool:
    """True where a run ended for want of memory."""
    return re.search("out of memory|not enough memory", log, re.IGNORECASE) is not None


def ran_out_of_room(log: str) -> bool:
    """True where a run could not write its pages, whatever it says of its success."""
    return _NOT_WRITTEN.search(log) is not None


def no_room() -> str:
    """One line about a folder for temporary files that has no room for pages."""
    return f"the folder for temporary files, {temporary_place()}, is full; {MAKE_ROOM}"


def failure(code: int, log: str) -> str:
    """One line about a run that failed."""
    found = _FIRST_ERROR.search(log)
    if ran_out_of_room(log):
        return no_room()
    if ran_out_of_memory(log):
        said, advice = "it ran out of memory", "ask for fewer bars at once"
    elif found:
        place = f"line {found[1]}: " if found[1] else ""
        said = f"{place}{found[2].strip()}"
        advice = "keep its text with --also ly to look at the line, or leave out some choices"
    elif code < 0:
        said, advice = f"it was stopped by signal {-code}", "try again, with fewer bars at once"
    else:
        said = (log.strip().splitlines() or ["it said nothing"])[-1][:200]
        advice = "check that it is LilyPond 2.24 or newer"
    return f"LilyPond failed: {said} ({advice})"


def page_counts(log: str) -> tuple[int, ...]:
    """How many pages each book part has, which the text makes LilyPond say."""
    return tuple(int(count) for count in _PAGES.findall(log))


def warnings(log: str) -> tuple[str, ...]:
    """LilyPond's warnings, word for word, each once."""
    found = (warning for warning in _WARNING.findall(log) if not _is_told_otherwise(warning))
    return tuple(dict.fromkeys(found))


def _is_told_otherwise(warning: str) -> bool:
    """True for a warning that becomes a remark, or that means nothing to anyone."""
    squeezed = _SQUEEZED.search(warning)
    if squeezed:
        return float(squeezed[2] or 0) <= _HARMLESS_SQUEEZE
    return _NO_GLYPH.search(warning) is not None or _TOO_FEW_PAGES in warning


def remarks(log: str) -> tuple[str, ...]:
    """What a player should know: signs that were left blank, music that has no room."""
    said = []
    missing = dict.fromkeys(chr(int(code, 16)) for code in _NO_GLYPH.findall(log))
    if missing:
        said.append(f"no font at hand has these signs, which are left blank: {' '.join(missing)}")
    if _OVER_MARGIN in log:
        said.append("something is wider than the page; choose a smaller --staff-size")
    told = (words(found) for found in warnings(log) if _OVER_MARGIN not in found)
    return tuple(dict.fromkeys((*said, *filter(None, told))))
