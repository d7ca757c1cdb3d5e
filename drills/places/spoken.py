"""A place in the words that the program prints -> the short form that find_span reads.

    beat 3 of bar 33                                          bar33@3
    the third note of beat 3 of bar 33                        bar33@3#3
    bar 33, the fourth bar of D, to beat 1 of bar 34          bar33-bar34@1
    bars 28 to 31; the fourth bar of D; the second bar 57     bar28-bar31; [D]:4; bar57#2

Problem.  What stands on a sheet, in a list or in an error should be good to type.  Method.
The grammar of words.py backwards: one pattern for a place, and "to" between two.
Conventions.  Only a text that is such words as a whole is changed; every other is left as it
is.  Where a bar is told by its number and by a mark, the number counts.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from drills.places.bar_names import ordinal

_FURTHEST: Final = 99
"""Ordinals that are read: "first" to "twelfth", and figures: "3rd", "13th"."""
_LONGEST: Final = 300
"""Characters of a place in words."""
_SUFFIX: Final = r"\d+(?:st|nd|rd|th)"
_COUNTS: Final = {ordinal(count): count for count in range(1, _FURTHEST + 1)}
_ORDINAL: Final = "|".join([word for word in _COUNTS if word.isalpha()] + [_SUFFIX])

_NUMBER: Final = rf"(?:the (?P<nth>{_ORDINAL}) )?bar (?P<bar>[^\s,#:@\[\]\-]+)"
_MARK: Final = rf"(?:the )?(?P<count>{_ORDINAL}) bar of (?:mark |letter )?(?P<mark>[^,\[\]]+?)"
_BAR: Final = rf"(?:{_NUMBER}(?:, (?:the )?(?:{_ORDINAL}) bar of [^,]+)?|{_MARK})"
_BEAT: Final = rf"(?:from )?(?:(?:the )?(?P<note>{_ORDINAL}) note of )?beat (?P<beat>\d+)"
_PLACES: Final = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (rf"{_BEAT} (?:of|in) {_BAR}", rf"{_BAR},? {_BEAT}", _BAR)
)
_ONLY_BEAT: Final = re.compile(_BEAT, re.IGNORECASE)
_END: Final = re.compile(rf"(?:the end of )?(?:the bar|{_BAR})", re.IGNORECASE)
_BARS: Final = re.compile(r"bars (\S+) (?:to|and) (\S+)", re.IGNORECASE)
_TO: Final = re.compile(r",? to (?=the |from |bar |beat )", re.IGNORECASE)


def short_form(text: str) -> str:
    """The short form of a place in words; any other text as it is."""
    if len(text) > _LONGEST:
        return text
    words = " ".join(text.split())
    if bars := _BARS.fullmatch(words):
        return f"bar{bars[1]}-bar{bars[2]}"
    first, *others = _TO.split(words)
    begins = _place(first)
    if begins is None or len(others) > 1:
        return text
    if not others:
        return text if re.fullmatch(r"bar \S+", words, re.IGNORECASE) else begins
    ends = _end(others[0], begins)
    return text if ends is None else f"{begins}-{ends}"


def _place(words: str) -> str | None:
    for pattern in _PLACES:
        if found := pattern.fullmatch(words):
            said = found.groupdict()
            return _bar(said) + _beat(said)
    return None


def _end(words: str, begins: str) -> str | None:
    """The second place of a stretch, which may leave out a bar that is that of the first."""
    bar = begins.partition("@")[0]
    if found := _ONLY_BEAT.fullmatch(words):
        return bar + _beat(found.groupdict())
    if found := _END.fullmatch(words):
        said = found.groupdict()
        return _bar(said) if said["bar"] or said["mark"] else bar
    return _place(words)


def _bar(said: Mapping[str, str | None]) -> str:
    if said["bar"]:
        return f"bar{said['bar']}" + (f"#{_count(said['nth'])}" if said["nth"] else "")
    return f"[{said['mark']}]:{_count(said['count'])}"


def _beat(said: Mapping[str, str | None]) -> str:
    if not said.get("beat"):
        return ""
    return f"@{said['beat']}" + (f"#{_count(said['note'])}" if said["note"] else "")


def _count(word: str | None) -> int:
    """ "third" and "3rd" are 3."""
    low = (word or "").lower()
    return _COUNTS.get(low) or int(re.sub(r"\D", "", low))
