"""What a score says once for all its players, collected from every part.

In most full scores the rehearsal marks and metronome marks stand in the first
part only; a part that is cut out without them has lost its places.  So before a
part is read, marks, tempos, repeats, endings, chord symbols and the words that
concern everybody are collected bar by bar from all parts, and what several
parts repeat is kept once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from lxml import etree

from drills.music.pitch import CONCERT, Transposition
from drills.music.score import ChordSymbol, RehearsalMark, TempoMark
from drills.music.time import NoteValue, Position
from drills.reading.attributes import read_transposition
from drills.reading.chords import moved, read_chord
from drills.reading.directions import (
    TempoText,
    clean,
    is_for_all,
    rehearsals,
    sound_tempo,
    tempo,
    words,
)
from drills.reading.timing import BarClock, Placed
from drills.reading.xmltext import as_decimal, as_int, child_text, text_of

_SECTION_ENDS: Final = {"light-heavy", "light-light", "heavy-heavy", "heavy-light"}
"""Bar lines that end a piece or a section (MusicXML 4.0, simple type ``bar-style``)."""


_FOR_ALL: Final = {"rehearsal", "words", "metronome"}
_TIMED: Final = {"direction", "harmony", "sound"}


@dataclass(slots=True)
class SideBar:
    """What one bar carries for all players."""

    marks: dict[str, None] = field(default_factory=dict)
    """Texts of rehearsal marks in order, each once."""
    tempos: dict[Fraction, TempoText] = field(default_factory=dict)
    words: dict[tuple[Fraction, str], None] = field(default_factory=dict)
    """Words for everybody with their place, each once."""
    starts_repeat: bool = False
    ends_repeat: int = 0
    ending: str = ""
    final: bool = False


@dataclass(slots=True)
class SideData:
    """What a score says once for all its players, by bar index."""

    bars: list[SideBar]
    chords: dict[int, dict[int, list[tuple[ChordSymbol, Transposition]]]]
    """By part index, then by bar index: the symbols with the transposition of their part."""
    unnamed: set[int] = field(default_factory=set)
    """Parts whose symbols name no chord at all."""

    def bar(self, index: int) -> SideBar:
        """What the bar of that index carries; nothing beyond the last bar."""
        return self.bars[index] if index < len(self.bars) else SideBar()

    def begins_section(self, index: int) -> bool:
        """True for a bar after a double or final bar line or a repeat."""
        before = self.bar(index - 1) if index else SideBar()
        return before.final or before.ends_repeat > 0 or self.bar(index).starts_repeat

    def chord_source(self, part_index: int) -> int:
        """The part whose chord symbols a part has: its own, else that which has most; or -1."""
        if part_index in self.chords:
            return part_index
        return max(self.chords, key=lambda index: len(self.chords[index]), default=-1)

    def marks_of(self, index: int) -> tuple[RehearsalMark, ...]:
        """The rehearsal marks of a bar."""
        return tuple(RehearsalMark(text) for text in self.bar(index).marks)

    def tempos_of(self, index: int) -> tuple[TempoMark, ...]:
        """The tempo marks of a bar in order."""
        return tuple(
            TempoMark(Position(start), found.beat, found.number, found.text)
            for start, found in sorted(self.bar(index).tempos.items(), key=lambda item: item[0])
        )

    def chords_for(
        self, part_index: int, transpositions: Sequence[Transposition]
    ) -> dict[int, tuple[ChordSymbol, ...]]:
        """Chord symbols by bar index, as written for a part.

        Those of ``chord_source``, moved from that player's transposition to this one's.
        """
        source = self.chord_source(part_index)
        return {
            bar: tuple(moved(symbol, theirs, transpositions[bar]) for symbol, theirs in found)
            for bar, found in self.chords.get(source, {}).items()
            if bar < len(transpositions)
        }


def harvest(root: etree._Element, where: str) -> SideData:
    """Collect from all parts of a partwise score."""
    parts = root.findall("part")
    count = max(len(part.findall("measure")) for part in parts)
    data = SideData([SideBar() for _ in range(count)], {})
    for part_index, part in enumerate(parts):
        _Harvester(data, part_index, where).take(part)
    for index, bars in list(data.chords.items()):
        if not any(symbol.root for found in bars.values() for symbol, _ in found):
            data.unnamed.add(index)
            del data.chords[index]
    data.unnamed -= set(data.chords)
    return data


class _Harvester:
    """Takes what is wanted from one part."""

    def __init__(self, data: SideData, part_index: int, where: str) -> None:
        self._data = data
        self._part = part_index
        self._clock = BarClock(where)
        self._transposition = CONCERT
        self._ending = ""

    def take(self, part: etree._Element) -> None:
        for index, measure in enumerate(part.iterfind("measure")):
            if not len(measure) and not self._ending:
                continue
            tags = {child.tag for child in measure}
            if "attributes" in tags:
                self._transpositions(measure)
            if tags & _TIMED and any(_concerns_all(child) for child in measure):
                self._directions(index, measure)
            elif "attributes" in tags:
                self._clock.skip(measure)
            if self._ending or "barline" in tags:
                self._bar_lines(index, measure)

    def _transpositions(self, measure: etree._Element) -> None:
        for transpose in measure.iterfind("attributes/transpose"):
            self._transposition = read_transposition(transpose)

    def _directions(self, index: int, measure: etree._Element) -> None:
        walk = self._clock.walk(measure)
        for item in walk.placed:
            if item.element.tag in _TIMED:
                heard, seen = self._places(item)
                if heard >= walk.end > seen:  # moved back into the bar: a step at its end
                    heard = seen
                self._take(
                    item.element,
                    self._bar_at(index, heard, walk.end),
                    self._bar_at(index, seen, walk.end),
                )

    def _places(self, item: Placed) -> tuple[Fraction, Fraction]:
        """Where a sign counts and where it is printed.

        ``<offset>`` moves what is printed; it moves what is heard only if it says so
        (MusicXML 4.0, attribute ``sound`` of ``offset``).
        """
        offset = item.element.find("offset")
        if offset is None:
            return item.start, item.start
        moved = (as_decimal(text_of(offset)) or Fraction(0)) / self._clock.divisions
        seen = max(Fraction(0), item.start + moved)
        return (seen if offset.get("sound") == "yes" else item.start), seen

    def _bar_at(self, index: int, start: Fraction, end: Fraction) -> tuple[int, Fraction]:
        """What stands at the end of a bar belongs to the next one."""
        if 0 < end <= start and index + 1 < len(self._data.bars):
            return index + 1, Fraction(0)
        return index, start

    def _take(
        self, element: etree._Element, heard: tuple[int, Fraction], seen: tuple[int, Fraction]
    ) -> None:
        bar, start = seen
        side = self._data.bars[bar]
        if element.tag == "harmony":
            symbol = read_chord(element, Position(start))
            if symbol is None:
                self._data.unnamed.add(self._part)
            else:
                by_bar = self._data.chords.setdefault(self._part, {})
                by_bar.setdefault(bar, []).append((symbol, self._transposition))
        elif element.tag == "sound":
            number = sound_tempo(element)
            if number is not None:
                self._tempo(TempoText(NoteValue("quarter"), number, "", printed=False), heard, seen)
        else:
            side.marks.update(dict.fromkeys(rehearsals(element)))
            found = tempo(element)
            if found is not None:
                self._tempo(found, heard, seen)
            elif is_for_all(element):
                side.words[start, words(element)] = None

    def _tempo(
        self, found: TempoText, heard: tuple[int, Fraction], seen: tuple[int, Fraction]
    ) -> None:
        """Keep a tempo where it is heard; where another printed number is, where it is seen."""
        bar, start = heard
        old = self._data.bars[bar].tempos.get(start)
        if old is not None and old.printed and found.printed and _differ(old, found):
            bar, start = seen
        _add_tempo(self._data.bars[bar], start, found)

    def _bar_lines(self, index: int, measure: etree._Element) -> None:
        side = self._data.bars[index]
        stopped = False
        for line in measure.iterfind("barline"):
            at_end = line.get("location", "right") == "right"
            for repeat in line.iterfind("repeat"):
                if repeat.get("direction") == "forward":
                    side.starts_repeat = True
                else:
                    side.ends_repeat = max(side.ends_repeat, as_int(repeat.get("times")) or 2)
            for ending in line.iterfind("ending"):
                if ending.get("type") == "start":
                    self._ending = clean(ending.get("number") or text_of(ending))
                else:
                    stopped = True
            ends_section = at_end and line.find("repeat") is None
            if ends_section and child_text(line, "bar-style") in _SECTION_ENDS:
                side.final = True
        if self._ending and not side.ending:
            side.ending = self._ending
        if stopped:
            self._ending = ""


def _concerns_all(child: etree._Element) -> bool:
    """True for a child of a bar that may say something to all players."""
    if child.tag == "direction":
        signs = (sign for kind in child.iterfind("direction-type") for sign in kind)
        return any(sign.tag in _FOR_ALL for sign in signs) or child.find("sound") is not None
    return child.tag in {"harmony", "sound"}


def _differ(one: TempoText, other: TempoText) -> bool:
    numbers = (one.number, other.number)
    return None not in numbers and (one.beat, one.number) != (other.beat, other.number)


def _add_tempo(side: SideBar, start: Fraction, new: TempoText) -> None:
    """Keep one tempo for a place: a printed number beats a playback one, words are added."""
    old = side.tempos.get(start)
    if old is None:
        side.tempos[start] = new
        return
    text = old.text if new.text in old.text else clean(f"{old.text} {new.text}")
    better = new if old.number is None or (new.printed and not old.printed) else old
    chosen = better if better.number is not None else old
    side.tempos[start] = replace(chosen, text=text)
