"""What single files say once for all players, given to every part.

Problem: of parts that come from files of their own, one has the rehearsal marks, another the
tempos, a third the chord symbols.  Method: the parts are laid on one time line, and a bar
that says nothing of its own takes what the first part with something to say has there, as
the parts of one score do.  Where two parts say different things, both keep their own, and
that is told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from drills.music.score import Bar, ChordSymbol, Part
from drills.places.aligning.aligned import Aligned
from drills.places.bar_names import bar_name
from drills.reading.chords import moved

TOLD: Final = 3
"""Disagreements of one kind that are told of a part; of more, their number."""
_ENHARMONIC: Final = 12


def shared(aligned: Aligned) -> tuple[tuple[Part, ...], tuple[str, ...]]:
    """The parts with what they share, and where they disagree, in a player's words."""
    bars = [list(part.bars) for part in aligned.parts]
    chords = _chord_source(aligned)
    for home, column in enumerate(aligned.columns):
        _share_signs(aligned, home, bars)
        if chords is not None:
            _share_chords(aligned, column, chords, bars)
    parts = tuple(
        replace(part, bars=tuple(own)) for part, own in zip(aligned.parts, bars, strict=True)
    )
    return parts, tuple(_disagreements(aligned))


def _share_signs(aligned: Aligned, home: int, bars: list[list[Bar]]) -> None:
    column = aligned.columns[home]
    firsts = [(part, own[0]) for part, own in enumerate(column) if own]
    held = [aligned.parts[part].bars[index] for part, index in firsts]
    marks = next((bar.marks for bar in held if bar.marks), ())
    timed = next((bar for bar in held if bar.tempos), None)
    for (part, index), bar in zip(firsts, held, strict=True):
        new = bars[part][index]
        if marks and not bar.marks:
            new = replace(new, marks=marks)
        if timed is not None and not bar.tempos and timed.length == bar.length:
            new = replace(new, tempos=timed.tempos)
        bars[part][index] = new


def _chord_source(aligned: Aligned) -> int | None:
    """The first part with chord symbols."""
    return next(
        (at for at, part in enumerate(aligned.parts) if any(bar.chords for bar in part.bars)), None
    )


def _share_chords(
    aligned: Aligned, column: Sequence[tuple[int, ...]], source: int, bars: list[list[Bar]]
) -> None:
    """The chord symbols of one part, for every part that has none at all."""
    if not column[source]:
        return
    theirs = aligned.parts[source].bars[column[source][0]]
    for part, own in enumerate(column):
        if not own or any(bar.chords for bar in aligned.parts[part].bars):
            continue
        bar = bars[part][own[0]]
        if bar.length == theirs.length:
            bars[part][own[0]] = replace(bar, chords=_for(theirs, bar))


def _for(theirs: Bar, bar: Bar) -> tuple[ChordSymbol, ...]:
    source, target = theirs.instrument.transposition, bar.instrument.transposition
    return tuple(moved(symbol, source, target) for symbol in theirs.chords)


def _disagreements(aligned: Aligned) -> Iterator[str]:
    """Marks, metres, keys and repeats that differ from those of the first part that has them."""
    for what, said in _SAID.items():
        for part in range(len(aligned.parts)):
            found = list(_differing(aligned, part, said))
            for home, other in found[:TOLD]:
                own = aligned.columns[home][part][0]
                yield (
                    f"{aligned.parts[part].name} and {aligned.parts[other].name} disagree about "
                    f"{what} in bar {bar_name(aligned.parts[part], own)}"
                )
            if len(found) > TOLD:
                yield (
                    f"{aligned.parts[part].name} disagrees about {what} in "
                    f"{len(found) - TOLD} more bars"
                )


def _differing(
    aligned: Aligned, part: int, said: Callable[[Bar], object]
) -> Iterator[tuple[int, int]]:
    """Common bars in which a part begins to say otherwise, and who says it."""
    agreed = True
    for home, column in enumerate(aligned.columns):
        if not column[part]:
            continue
        own = said(aligned.parts[part].bars[column[part][0]])
        others = (
            (other, said(aligned.parts[other].bars[column[other][0]]))
            for other in range(part)
            if column[other]
        )
        first = next(((other, theirs) for other, theirs in others if theirs is not None), None)
        same = own is None or first is None or first[1] == own
        if agreed and not same and first is not None:
            yield home, first[0]
        agreed = same


def _key(bar: Bar) -> object:
    """The sounding key; None for drums, and for a part without a signature (as horns have)."""
    if bar.clef.sign == "percussion" or bar.key.custom or not bar.key.fifths:
        return None
    return bar.instrument.transposition.sounding_key(bar.key).fifths % _ENHARMONIC


_SAID: Final[dict[str, Callable[[Bar], object]]] = {
    "rehearsal marks": lambda bar: tuple(mark.text for mark in bar.marks) or None,
    "the metre": lambda bar: (bar.time.counts, bar.time.unit),
    "the key": _key,
    "repeats": lambda bar: (bar.starts_repeat, bar.ends_repeat, bar.ending),
}
"""What parts of one piece have in common; None where a bar says nothing."""
