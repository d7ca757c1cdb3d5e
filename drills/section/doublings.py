"""Who plays the same line: in unison, octaves apart, or from the same written notes.

Method.  Two players double each other in a bar where both attack at the same times
and every attack of one lies the same whole number of octaves from the other's.  They
are named where that holds for at least half of the player's attacks in the stretch,
and for two or more, since one note in common is no doubling; where it does not hold for
all of them, the bars are told.  Players whose parts read alike but sound apart by no
octave share the written line, which is told as well.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from typing import Final

from drills.music.pitch import Pitch, Tone
from drills.section.lines import PlayerLine
from drills.sheets.chord_notes.playing import Played

OF_ALL: Final = Fraction(1, 2)
"""Share of a player's attacks that make a doubling worth telling; our own choice."""
LEAST: Final = 2
"""Attacks that two players must have in common."""

_OCTAVES: Final = ("", "an octave", "two octaves", "three octaves", "four octaves", "five octaves")
_INTERVALS: Final = (
    *("", "a semitone", "a tone", "a minor third", "a major third", "a fourth", "a tritone"),
    *("a fifth", "a minor sixth", "a major sixth", "a minor seventh", "a major seventh"),
)

Bars = Mapping[int, Sequence[Played]]
"""A player's attacks by the index of the common bar."""


@dataclass(frozen=True, slots=True)
class _Match:
    """In which bars two players agree, and how far apart they sound."""

    apart: int
    """Semitones that this player sounds above the other."""
    bars: tuple[int, ...]
    attacks: int


def doublings(
    lines: Sequence[PlayerLine],
    attacks: Sequence[Bars],
    bar_words: Callable[[int], str],
) -> tuple[tuple[str, ...], ...]:
    """For each player with whom they play, in words.

    ``attacks`` are each player's in the stretch, by bar; ``bar_words`` gives the
    printed number of a common bar.
    """
    names = _names(lines)
    shapes = [{bar: _shape(inside) for bar, inside in own.items()} for own in attacks]
    found: list[tuple[str, ...]] = []
    for player, own in enumerate(shapes):
        total = sum(len(shape) for shape in own.values())
        told = []
        for other, theirs in enumerate(shapes):
            if other == player or not total:
                continue
            for match in _matches(own, theirs):
                if _enough(match.attacks, total):
                    where = "" if len(match.bars) == len(own) else _bars(match.bars, bar_words)
                    told.append(f"with {names[other]}{_apart(match.apart)}{where}")
            told += _read_alike(names, player, other, attacks, total)
        found.append(tuple(dict.fromkeys(told)))
    return tuple(found)


def _enough(attacks: int, total: int) -> bool:
    """Whether so many of a player's attacks make a doubling worth telling."""
    return attacks >= LEAST and attacks >= OF_ALL * total


def _names(lines: Sequence[PlayerLine]) -> list[str]:
    """The players' names; of those that share one, with their number in the score."""
    counts = Counter(line.part.name for line in lines)
    return [
        f"{line.part.name} (part {line.index + 1})"
        if counts[line.part.name] > 1
        else line.part.name
        for line in lines
    ]


_Shape = tuple[tuple[Fraction, tuple[Fraction, ...]], ...]
"""When each attack of a bar begins, and the sounding MIDI numbers of its tones."""


def _shape(played: Sequence[Played]) -> _Shape:
    return tuple((one.start, _keys(one)) for one in played)


def _keys(played: Played) -> tuple[Fraction, ...]:
    sounding = (played.sounding(tone) for tone in played.attack.tones)
    return tuple(sorted(pitch.midi for pitch in sounding if pitch is not None))


def _matches(own: Mapping[int, _Shape], theirs: Mapping[int, _Shape]) -> Iterator[_Match]:
    """The bars in which two lines agree, for each distance."""
    found: dict[int, list[int]] = {}
    for bar, shape in own.items():
        apart = _distance(shape, theirs.get(bar, ()))
        if apart is not None:
            found.setdefault(apart, []).append(bar)
    for apart, bars in found.items():
        yield _Match(apart, tuple(bars), sum(len(own[bar]) for bar in bars))


def _distance(one: _Shape, other: _Shape) -> int | None:
    """Semitones, a whole number of octaves, that every attack lies over the other; or None."""
    if len(one) != len(other):
        return None
    distances = set()
    for (start, keys), (at, others) in zip(one, other, strict=True):
        if start != at or not keys or len(keys) != len(others):
            return None
        distances |= {key - theirs for key, theirs in zip(keys, others, strict=True)}
    only = distances.pop() if len(distances) == 1 else None
    return int(only) if only is not None and only % 12 == 0 else None


def _apart(semitones: int) -> str:
    octaves = abs(semitones) // 12
    if not octaves:
        return ""
    words = _OCTAVES[octaves] if octaves < len(_OCTAVES) else f"{octaves} octaves"
    return f", {words} {'higher' if semitones > 0 else 'lower'}"


def _bars(bars: Sequence[int], words: Callable[[int], str]) -> str:
    """ ", in bar 33", ", in bars 33 to 35 and 37"."""
    runs = [
        [bar for _, bar in group]
        for _, group in groupby(enumerate(bars), key=lambda pair: pair[1] - pair[0])
    ]
    names = [
        words(run[0]) if len(run) == 1 else f"{words(run[0])} to {words(run[-1])}" for run in runs
    ]
    listed = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    return f", in bar{'s' * (len(bars) > 1)} {listed}"


def _read_alike(
    names: Sequence[str],
    player: int,
    other: int,
    attacks: Sequence[Bars],
    total: int,
) -> list[str]:
    """Where both parts read the same notes but sound no octave apart."""
    own, theirs = attacks[player], attacks[other]
    same = [
        bar
        for bar, inside in own.items()
        if bar in theirs and _written(inside) == _written(theirs[bar])
    ]
    if not _enough(sum(len(own[bar]) for bar in same), total):
        return []
    first, second = own[same[0]][0], theirs[same[0]][0]
    apart = first.transposition.chromatic - second.transposition.chromatic
    if apart % 12 == 0 or not isinstance(first.attack.tones[0], Pitch):
        return []
    steps = f"{_INTERVALS[abs(apart) % 12]}{' and octaves' if abs(apart) > 12 else ''}"
    way = "higher" if apart > 0 else "lower"
    return [f"reads the same notes as {names[other]} and sounds {steps} {way}"]


def _written(played: Sequence[Played]) -> tuple[tuple[Fraction, tuple[Tone, ...]], ...]:
    return tuple((one.start, one.attack.tones) for one in played)
