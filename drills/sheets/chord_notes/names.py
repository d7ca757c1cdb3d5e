"""The names of chords beside the music: where they were read, and how certainly."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from drills.harmony.chord import Chord, Harmony, Source
from drills.harmony.symbols import symbol_of
from drills.music.pitch import CONCERT, Transposition
from drills.music.score import Bar, ChordSymbol
from drills.music.time import START, Length

FROM_NOTES: Final = "from the notes"
AS_SAID: Final = "as you said"
CERTAIN: Final = Fraction(3, 4)
"""A reading from the notes that is less certain has a question mark: of those without one more
than three in four are what people would say."""


def said_of(chord: Chord) -> str:
    """What stands beside a chord that is not read from a symbol; empty for one that is."""
    if chord.source is Source.PLAYER:
        return AS_SAID
    if chord.source is Source.SYMBOL:
        return ""
    return FROM_NOTES if chord.certainty >= CERTAIN else f"{FROM_NOTES}?"


def remarks_beside(chords: Iterable[Chord]) -> list[str]:
    """What is printed beside each chord of a row: each remark where it begins to hold.

    In a row of chords that are all from the notes the words stand once, and "?" at
    each that is uncertain.
    """
    found: list[str] = []
    held = ""
    for chord in chords:
        said = said_of(chord)
        plain = said.removesuffix("?")
        found.append(said if plain != held else "?" if said.endswith("?") else "")
        held = plain
    return found


def certainty_remarks(
    harmonies: Sequence[Harmony], reader: Transposition = CONCERT
) -> tuple[str, ...]:
    """In words: how many chords were read from the notes, and how far they are to be believed.

    Chords are named as ``reader`` writes them.
    """
    read = [one.chord for one in harmonies if one.chord.source is Source.NOTES]
    said = [one.chord for one in harmonies if one.chord.source is Source.PLAYER]
    found = []
    if read:
        unsure = (chord for chord in read if chord.certainty < CERTAIN)
        doubtful = list(dict.fromkeys(_written(chord, reader) for chord in unsure))
        tail = f"; uncertain: {', '.join(doubtful)}" if doubtful else ""
        all_sure = "" if doubtful else ", with good certainty"
        found.append(f"chords are read from the notes of all parts{all_sure}{tail}")
    if said:
        names = ", ".join(dict.fromkeys(_written(chord, reader) for chord in said))
        found.append(f"as you said: {names}")
    return tuple(found)


def _written(chord: Chord, reader: Transposition) -> str:
    """The chord's name for a reader."""
    if chord.root is None:
        return str(chord)
    symbol = symbol_of(chord, START, reader)
    return f"{symbol.root}{chord.suffix}{f'/{symbol.bass}' if symbol.bass else ''}"


def with_symbols(
    bars: Sequence[Bar], starts: Sequence[Fraction], harmonies: Sequence[Harmony]
) -> tuple[Bar, ...]:
    """The bars with a symbol for every chord that the part does not print itself.

    ``starts`` tells where each bar begins on the line of the harmonies.  What the
    player says takes the place of what is printed there.
    """
    printed = any(bar.chords for bar in bars)
    wanted = [one for one in harmonies if not (printed and one.chord.source is Source.SYMBOL)]
    beside = remarks_beside(one.chord for one in wanted)
    placed: dict[int, list[ChordSymbol]] = {}
    for one, remark in zip(wanted, beside, strict=True):
        index = max(bisect_right(starts, one.start) - 1, 0)
        bar = bars[index]
        at = START + Length(max(one.start - starts[index], Fraction(0)))
        if at.quarters < bar.length.quarters:
            symbol = symbol_of(one.chord, at, bar.instrument.transposition)
            placed.setdefault(index, []).append(replace(symbol, remark=remark))
    return tuple(_over(bar, placed.get(index, [])) for index, bar in enumerate(bars))


def _over(bar: Bar, symbols: Sequence[ChordSymbol]) -> Bar:
    """The bar with symbols in place of those that it prints at the same places."""
    taken = {symbol.start for symbol in symbols}
    kept = [chord for chord in bar.chords if chord.start not in taken]
    return replace(bar, chords=tuple(sorted([*kept, *symbols], key=lambda one: one.start)))
