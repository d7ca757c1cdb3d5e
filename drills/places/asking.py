"""A place as it was typed, the bars that it may mean, and what is said where none or several do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction

from drills.music.score import Part
from drills.music.time import START
from drills.places.bar_names import bar_name, completes_previous, mark_words, spoken_beat, told_name


@dataclass(frozen=True, slots=True)
class Asked:
    """One place as typed."""

    word: str
    only_mark: bool
    only_bar: bool
    nth: int | None
    bars: int
    beat: Fraction | None
    note: int | None
    """Which printed note of the beat, from 1."""
    text: str


def marked(part: Part, word: str) -> list[int]:
    """Bars with a rehearsal mark that reads so, in any case where none is exact."""
    texts = [(bar.index, mark.text) for bar in part.bars for mark in bar.marks]
    exact = [index for index, text in texts if text == word]
    return exact or [index for index, text in texts if text.lower() == word.lower()]


def numbered(part: Part, word: str) -> list[int]:
    """Bars whose printed number reads so."""
    return [
        bar.index
        for bar in part.bars
        if bar.number == word and not completes_previous(part, bar.index)
    ]


def several(part: Part, asked: Asked, candidates: Sequence[int]) -> str:
    """What to write for a place that fits more than one bar."""
    ways = "; ".join(
        f"{asked.word}#{number} (bar {bar_name(part, index)}"
        + (f", {mark_words(part, index)}" if part.bars[index].number == asked.word else "")
        + ")"
        for number, index in enumerate(candidates, 1)
    )
    return f"{asked.word} fits {len(candidates)} places; write {ways}"


def second_half(part: Part, asked: Asked) -> str:
    """What to write for a number that stands only on the second half of a bar."""
    for bar in part.bars:
        if bar.number == asked.word and not asked.only_mark:
            home, at = told_name(part, bar.index), spoken_beat(bar, START)
            return (
                f"bar {asked.word} only completes bar {home}; write {home} for the whole bar or "
                f"{home}@{at} for where it begins"
            )
    return ""


def unknown(part: Part, asked: Asked) -> str:
    """What there is instead of a place that is not there."""
    marks = list(dict.fromkeys(mark.text for bar in part.bars for mark in bar.marks))
    own = [bar for bar in part.bars if bar.number and not completes_previous(part, bar.index)]
    numbers = [bar.number for bar in own]
    known = [f"the marks are {', '.join(marks)}" if marks else "the part has no marks"]
    last = told_name(part, own[-1].index) if own else ""
    known.append(f"the bars are {numbers[0]} to {last}" if numbers else "no bar is numbered")
    near = _nearest(asked.word, [] if asked.only_bar else marks, [] if asked.only_mark else numbers)
    hint = f"the nearest is {near}; " if near else ""
    what = "rehearsal mark" if asked.only_mark else "bar" if asked.only_bar else "bar or mark"
    return f"there is no {what} {asked.word!r}; {hint}{', '.join(known)}"


def _nearest(word: str, marks: Sequence[str], numbers: Sequence[str]) -> str:
    plain = [number for number in numbers if number.isdecimal()]
    if word.isdecimal() and plain:
        return min(plain, key=lambda number: (abs(int(number) - int(word)), int(number)))
    return next(iter(get_close_matches(word, [*marks, *numbers], 1, 0.5)), "")
