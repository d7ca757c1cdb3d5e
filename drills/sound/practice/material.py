"""What is practised: the spot as it stands, with what the others play there, or its drills."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from drills.errors import UsageError
from drills.harmony.chord import Harmony
from drills.harmony.symbols import chord_of
from drills.music.lines import bar_starts
from drills.music.score import Part
from drills.music.time import Position
from drills.places.aligning import Aligned, align
from drills.places.tempos import TempoMap
from drills.sheets.blocks import Block, drill_words
from drills.sheets.drill import Drill, DrillKind
from drills.sheets.sheet import Sheet
from drills.sound.practice.choices import KINDS, Material, PracticeChoices
from drills.sound.practice.drones import held
from drills.sound.timeline import (
    Passage,
    Struck,
    drill_passage,
    spot_passage,
    spot_start,
    struck,
)


@dataclass(frozen=True, slots=True)
class Source:
    """A sheet with the part that it was made from, and what else is known of the piece."""

    sheet: Sheet
    part: Part
    tempos: TempoMap | None = None
    """The part's tempos; without them the spot keeps one."""
    aligned: Aligned | None = None
    """The parts of the score on one time line, ``part`` among them."""
    others: tuple[int, ...] = ()
    """Which of them play along, as indices into ``aligned.parts``."""
    harmonies: tuple[Harmony, ...] = ()
    """On the time line of ``aligned``; without it, on that of the part alone."""


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to climb the ladder with."""

    words: str
    """"The spot as it stands"; "Two notes at a time, 4-6"."""
    passage: Passage
    row: str = ""
    """What climbs together: neighbours of one row are all played on a rung before the next."""
    is_drill: bool = False
    """Its bars are those of a drill, not of the music."""
    others: tuple[tuple[Struck, ...], ...] = ()
    """What each other part plays, on the passage's line."""
    harmonies: tuple[Harmony, ...] = ()
    """On the passage's line."""


def items_of(source: Source, choices: PracticeChoices) -> tuple[Item, ...]:
    """What is played, in order.

    Raises UsageError where nothing is there of what was asked for, or where a
    voice is asked for that has nothing to play in any of it.
    """
    found: list[Item] = []
    for material in dict.fromkeys(choices.material):
        if material is Material.SPOT:
            found.append(_spot(source))
            continue
        found += [
            _drill(block, drill)
            for block in source.sheet.blocks
            if block.printed and block.kind.drills is KINDS[material]
            for drill in block.drills
        ]
    if not found:
        wanted = " or ".join(choices.material)
        raise UsageError(f"the sheet has no {wanted} to play; choose something else")
    _check_voices(found, choices)
    return tuple(found)


def _drill(block: Block, drill: Drill) -> Item:
    words = drill_words(block, drill)
    return Item(
        words,
        drill_passage(drill),
        row=block.title if block.kind.drills is DrillKind.CELL else words,
        is_drill=True,
        harmonies=_symbols(drill),
    )


def _check_voices(items: Sequence[Item], choices: PracticeChoices) -> None:
    if "section" in choices.voices and not any(item.others for item in items):
        raise UsageError(
            "no other part plays along here; the section needs a full score and the spot as it "
            "stands"
        )
    drones = [voice for voice in ("bass", "chord") if voice in choices.voices]
    if drones and not any(item.harmonies for item in items):
        raise UsageError(
            f"no harmony is known for the voice {drones[0]!r}; it needs chord symbols or a full "
            "score, and the spot as it stands or its chords"
        )


def _symbols(drill: Drill) -> tuple[Harmony, ...]:
    """The harmonies that a drill's own chord symbols name."""
    places, at = [], Fraction(0)
    for bar in drill.bars:
        transposition = bar.instrument.transposition
        places += [
            (at + symbol.start.quarters, chord_of(symbol, transposition)) for symbol in bar.chords
        ]
        at += bar.length.quarters
    ends = [*(place for place, _ in places), at][1:]
    return tuple(
        held(Harmony(place, end, chord) for (place, chord), end in zip(places, ends, strict=True))
    )


# --- the spot and what sounds with it --------------------------------------------


def _spot(source: Source) -> Item:
    passage = spot_passage(source.sheet, source.part, source.tempos)
    aligned = source.aligned or align((source.part,))
    own = aligned.parts.index(source.part)
    line = _onto_line(source, aligned, own)
    begin, end = _played(source, passage)
    others = [tuple(_other(aligned, part, line, begin, end)) for part in source.others]
    harmonies = (
        Harmony(max(line(one.start), Fraction(0)), min(line(one.end), passage.length), one.chord)
        for one in source.harmonies
    )
    return Item(
        "The spot as it stands",
        passage,
        others=tuple(part for part in others if part),
        harmonies=tuple(held(one for one in harmonies if one.start < one.end)),
    )


def _played(source: Source, passage: Passage) -> tuple[Fraction, Fraction]:
    """From where the spot begins to where its last note ends, on the passage's line."""
    sounds, first = passage.sounds(), source.sheet.spot.span.first
    start = bar_starts(source.part)[first.bar] + first.start.quarters
    begin = start - spot_start(source.sheet, source.part)
    return (
        min(begin, *(one.main.quarters for one in sounds)),
        max(one.end.quarters for one in sounds),
    )


def _onto_line(source: Source, aligned: Aligned, own: int) -> Callable[[Fraction], Fraction]:
    """From common time to the passage's line, bar by bar of the player's part."""
    zero, indices = spot_start(source.sheet, source.part), source.sheet.excerpt.bars
    pieces = [aligned.pieces[own][bar.index] for bar in indices]

    def line(time: Fraction) -> Fraction:
        index = max((n for n, piece in enumerate(pieces) if piece.start <= time), default=0)
        piece, inside = pieces[index], time - pieces[index].start
        if index + 1 < len(pieces):
            inside = min(inside, piece.end - piece.start)
        return piece.own - zero + inside

    return line


def _other(
    aligned: Aligned,
    part: int,
    line: Callable[[Fraction], Fraction],
    begin: Fraction,
    end: Fraction,
) -> Iterator[Struck]:
    """What another part plays between two places of the passage's line.

    A note that was begun before is taken up where the stretch begins, and one that
    goes on is let go where it ends.
    """
    rows = [
        (Position(piece.start), bar)
        for piece, bar in zip(aligned.pieces[part], aligned.parts[part].bars, strict=True)
        if line(piece.end) > begin and line(piece.start) < end
    ]
    for one in struck(rows, rows[0][0]) if rows else ():
        at, stop = line(one.at.quarters), line(one.end.quarters)
        if at < end and stop > begin and not (one.grace and at < begin):
            yield replace(
                one,
                at=Position(max(at, begin)),
                end=Position(min(stop, end)),
                main=Position(max(line(one.main.quarters), begin)),
            )
