"""The grammar of bars in plain words.

    4/4 F major: 16ths c5 bb4 c5 e5 | dotted quarter f5 eighth r half a4

A metre and a key may come first (4/4 and none unless said).  A length holds until the next
one: whole, half, quarter, eighth, 16th, 32nd, 64th, or sixteenths, quavers ...; dotted;
triplet, quintuplet, sextuplet, septuplet ("eighth triplets" are three in the time of two).
A note is its letter, # or b, and its octave, c4 the middle one (Acoustical Society of
America's scientific pitch): ``bb4`` is B flat, ``b4`` is B, whatever the key.  ``r`` is a
rest, ``c4+e4`` a chord, ``c4-`` is tied to the next, ``(c4 d4)`` slurred, ``c4.`` short,
``c4>`` accented, ``[E]`` a rehearsal mark.  Full bars follow by themselves; ``|`` says that
one must be full there.  The first bar may be short if a ``|`` ends it: a pickup.

Every error names the word, its bar and its place in it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from drills.errors import NotationError
from drills.music.metre import Metre, is_plain
from drills.music.pitch import KeySignature, Pitch
from drills.music.time import COMMON_TIME, NoteValue, TimeSignature, Tuplet
from drills.reading.other.scorexml import MadeBar, Sign
from drills.reading.other.word_keys import LONGEST, key_length, read_key
from drills.reading.other.word_lengths import is_length_word, read_length
from drills.reading.other.word_notes import (
    BadWordError,
    in_quarters,
    not_a_note,
    read_tone,
)


@dataclass(frozen=True, slots=True)
class Words:
    """What was understood."""

    bars: tuple[MadeBar, ...]
    remarks: tuple[str, ...] = ()


_TOKEN: Final = re.compile(r"\[[^\]]*\]|\|+|[^\s|,;\[]+|\[")
_TIME: Final = re.compile(r"(\d{1,2}(?:\+\d{1,2})*)/(\d{1,2})")
_NOTE: Final = re.compile(r"(\(*)([^\s()]+?)([.>\-]*)(\)*)([.>\-]*)")
_MOST_BARS: Final = 10_000
_ARTICULATIONS: Final = {".": "staccato", ">": "accent"}


def read_words(text: str) -> Words:
    """The bars that a text says; raises BadWordError."""
    return _Reader(_TOKEN.findall(text)).read()


_QUARTER: Final = NoteValue("quarter")


@dataclass(slots=True)
class _Reader:
    """One pass over the words of a text."""

    words: list[str]
    at: int = 0
    """Index of the word that is read."""
    bars: list[MadeBar] = field(default_factory=list)
    signs: list[Sign] = field(default_factory=list)
    """Of the bar that is being filled."""
    filled: Fraction = Fraction(0)
    time: TimeSignature = COMMON_TIME
    told_time: bool = True
    """The metre is to be printed with the bar that is being filled."""
    key: KeySignature | None = None
    value: NoteValue = _QUARTER
    tuplet: Tuplet | None = None
    mark: str = ""
    slurs: list[tuple[int, str]] = field(default_factory=list)
    """Words that opened the slurs which are still open."""
    tied: tuple[int, Sign] | None = None
    word_in_bar: int = 0
    remarks: list[str] = field(default_factory=list)
    last_key: KeySignature | None = None
    """That of the bar before."""

    def read(self) -> Words:
        while self.at < len(self.words):
            word = self.words[self.at].rstrip(":") or ":"
            self.word_in_bar += 1
            if word != ":":
                self._word(word)
            self.at += 1
        self._finish()
        self.bars[-1] = replace(self.bars[-1], final=True)
        return Words(tuple(self.bars), tuple(dict.fromkeys(self.remarks)))

    def _word(self, word: str) -> None:
        if word.startswith("|"):
            self._bar_line(word)
        elif word.startswith("["):
            self._rehearsal_mark(word)
        elif _TIME.fullmatch(word):
            self._metre(word)
        elif self._is_key():
            self._key()
        elif is_length_word(word):
            self._length()
        elif word.lower() in {"r", "rest", "rests"}:
            self._add(Sign(self.value, (), self.tuplet), word)
        else:
            self._note(word)

    def _metre(self, word: str) -> None:
        if self.filled:
            raise self._wrong(word, f"a metre stands at the start of a bar, and {self._so_far()}")
        try:
            self.time = TimeSignature.parse(word)
        except ValueError as error:
            raise self._wrong(word, "is no metre; write, for example, 4/4, 6/8 or 3+2/8") from error
        if self.time.unit > 64 or self.time.count > 64:
            raise self._wrong(word, "is no metre that can be counted; write 4/4 or 12/8")
        self.told_time = True

    def _is_key(self) -> bool:
        """True where a tonic and a mode begin here: "F major", "B flat minor", "no key"."""
        return key_length(self._next_words()) > 0

    def _next_words(self) -> list[str]:
        return [word.rstrip(":") for word in self.words[self.at : self.at + LONGEST]]

    def _key(self) -> None:
        first = self.words[self.at]
        if self.filled:
            raise self._wrong(first, f"a key stands at the start of a bar, and {self._so_far()}")
        here = self._next_words()
        length = key_length(here)
        try:
            self.key = read_key(here[:length])
        except ValueError as error:
            raise self._wrong(first, str(error)) from error
        self.at += length - 1

    def _length(self) -> None:
        last = self.at
        while last + 1 < len(self.words) and is_length_word(self.words[last + 1].rstrip(":")):
            last += 1
        words = [word.rstrip(":") for word in self.words[self.at : last + 1]]
        try:
            self.value, self.tuplet = read_length(words)
        except ValueError as error:
            raise self._wrong(" ".join(words), str(error)) from error
        self.at = last

    def _rehearsal_mark(self, word: str) -> None:
        text = word.strip("[] ")
        if not text or not word.endswith("]"):
            raise self._wrong(word, "a rehearsal mark is written [E]")
        if self.filled:
            raise self._wrong(word, f"a mark stands at the start of a bar, and {self._so_far()}")
        self.mark = text[:32]

    def _note(self, word: str) -> None:
        found = _NOTE.fullmatch(word)
        if found is None:
            raise self._wrong(word, not_a_note(word))
        opens, heads, before, closes, after = found.groups()
        signs = before + after
        tones = tuple(self._tone(head, word) for head in heads.split("+"))
        if len(closes) > len(self.slurs) + len(opens):
            raise self._wrong(word, "closes a slur that no ( opens")
        self.slurs += [(self._number(), word)] * len(opens)
        del self.slurs[len(self.slurs) - len(closes) :]
        tied_from = self.tied is not None
        if self.tied is not None and set(self.tied[1].tones) != set(tones):
            raise self._wrong(word, "is tied from another pitch; a slur is written ( )")
        sign = Sign(
            self.value,
            tones,
            self.tuplet,
            tie_start="-" in signs,
            tie_stop=tied_from,
            slur_starts=len(opens),
            slur_stops=len(closes),
            articulations=tuple(n for mark, n in _ARTICULATIONS.items() if mark in signs),
        )
        self._add(sign, word)
        self.tied = (self._number(), sign) if sign.tie_start else None

    def _tone(self, head: str, word: str) -> Pitch:
        try:
            pitch, signed_itself = read_tone(head)
        except ValueError as error:
            raise self._wrong(word, str(error)) from error
        signed = self.key.alter_of(pitch.step) if self.key else Fraction(0)
        if signed and not signed_itself:
            sign = "#" if signed > 0 else "b"
            self.remarks.append(
                f"{head} is {pitch.step} natural, although the key has a sign for it; write "
                f"{head[0]}{sign}{pitch.octave} for the other."
            )
        return pitch

    def _add(self, sign: Sign, word: str) -> None:
        full = self.time.bar_length.quarters
        if self.filled + sign.length > full:
            raise self._wrong(
                word,
                f"does not fit: {self.time} holds {in_quarters(full)}, and {self._so_far()}; "
                "divide it and tie it (c5- c5), or say another length or metre",
            )
        if self.tied is not None and not sign.tones:
            raise self._wrong(word, "a rest cannot be tied to")
        self.signs.append(sign)
        self.filled += sign.length
        if self.filled == full:
            self._close()

    def _bar_line(self, word: str) -> None:
        if not self.filled:
            self.word_in_bar = 0
            return
        if self.bars:
            raise self._wrong(
                word,
                f"bar {self._number()} is not full: {self.time} holds "
                f"{in_quarters(self.time.bar_length.quarters)}, and {self._so_far()}",
            )
        self._close(pickup=True)

    def _close(self, *, pickup: bool = False) -> None:
        if len(self.bars) >= _MOST_BARS:
            raise BadWordError(f"more than {_MOST_BARS:,} bars; divide the text")
        self.bars.append(
            MadeBar(
                tuple(self.signs),
                "0" if pickup else str(self._number()),
                self.time if self.told_time else None,
                self.key if not self.bars or self.key is not self.last_key else None,
                self.mark,
                implicit=pickup,
            )
        )
        self.last_key = self.key
        self.signs, self.filled, self.mark, self.told_time = [], Fraction(0), "", False
        self.word_in_bar = 0

    def _finish(self) -> None:
        """What is left open at the end: the last bar is filled with rests."""
        if self.slurs:
            number, word = self.slurs[-1]
            raise BadWordError(f'bar {number}: "{word}" opens a slur that no ) closes')
        if self.tied is not None:
            raise BadWordError(f"bar {self.tied[0]}: the last note is tied to nothing")
        if self.filled:
            self._fill()
        if not self.bars or not any(sign.tones for bar in self.bars for sign in bar.signs):
            raise BadWordError('no notes; write, for example, "4/4 F major: 16ths c5 bb4 c5 e5"')

    def _fill(self) -> None:
        full = self.time.bar_length.quarters
        pickup = self.bars[0].implicit if self.bars else False
        first = sum((sign.length for sign in self.bars[0].signs), Fraction(0)) if pickup else 0
        if self.filled + first == full and pickup:
            self._close()
            return
        if not is_plain(self.filled):
            raise BadWordError(f"bar {self._number()}: the last tuplet is not complete")
        try:
            rests = Metre(self.time).split(self.filled, full, rest=True)
        except NotationError as error:
            raise BadWordError(f"bar {self._number()}: {error}") from error
        self.signs += [Sign(value) for value in rests]
        self._close()

    def _number(self) -> int:
        """The number of the bar that is being filled."""
        pickup = bool(self.bars) and self.bars[0].implicit
        return len(self.bars) + (0 if pickup else 1)

    def _so_far(self) -> str:
        return f"{in_quarters(self.filled)} {'is' if self.filled == 1 else 'are'} in it already"

    def _wrong(self, word: str, why: str) -> BadWordError:
        return BadWordError(f'bar {self._number()}, word {self.word_in_bar}, "{word}": {why}')
