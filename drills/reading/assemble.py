"""From the facts of a staff to its bars."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from typing import Final

from drills.music.pitch import CONCERT, Transposition
from drills.music.score import Bar, Direction, Instrument, TempoMark
from drills.music.time import Length, NoteValue, Position, TimeSignature
from drills.reading.barlengths import BarExtent, extents
from drills.reading.clocks import NONE
from drills.reading.clusters import RawBar
from drills.reading.directions import dynamics, staff_of_direction, tempo, words
from drills.reading.drums import is_struck, struck
from drills.reading.forpart import written_for
from drills.reading.harvest import SideData
from drills.reading.inforce import InForce, in_force, octave_lines
from drills.reading.remarks import Remark, about_bars
from drills.reading.slurs import number_slurs
from drills.reading.ties import Held, TieEnds, may_be_tied, resolve
from drills.reading.voices import BarFrame, PartFacts, Sound, read_voices


@dataclass(frozen=True, slots=True)
class StaffSource:
    """All that the bars of one staff are made from."""

    raw: tuple[RawBar, ...]
    staff: int
    sounds: Mapping[int, Sound]
    """Tones and articulations by the cluster's key."""
    side: SideData
    part_index: int
    """Place of the part in the score, from 0."""
    instrument_at: Callable[[int, Transposition | None], Instrument]
    """What is played in a bar of that index with that transposition."""
    elsewhere: Callable[[int, Fraction], Fraction]
    """The latest end of a note in that bar of any other part; see barlengths.py."""
    on_drum_channel: bool = False
    """The part plays on the MIDI channel of percussion."""


def assemble(source: StaffSource) -> tuple[tuple[Bar, ...], tuple[str, ...]]:
    """The bars, and what was lost on the way, in a player's words."""
    governing = in_force(source.raw, source.staff)
    source = replace(source, sounds=_sounds(source, governing))
    sizes = extents(source.raw, governing, source.elsewhere, source.side.begins_section)
    starts = list(accumulate((size.length for size in sizes), initial=NONE))[:-1]
    facts = PartFacts(
        source.sounds,
        _ties(source, starts),
        number_slurs(
            (start + cluster.start, cluster)
            for raw, start in zip(source.raw, starts, strict=True)
            for cluster in raw.clusters
        ),
        octave_lines(source.raw, starts, source.staff),
    )
    lost: list[tuple[Remark, int]] = []
    chords = source.side.chords_for(
        source.part_index, [signs.transposition or CONCERT for signs in governing]
    )
    bars: list[Bar] = []
    for raw, signs, size, start in zip(source.raw, governing, sizes, starts, strict=True):
        frame = BarFrame(raw.index, raw.measure.get("number") or "", start, size.length)
        voices = read_voices(raw.clusters, frame, facts, lost)
        bar = _bar(source, raw, signs, size)
        bar = replace(bar, voices=voices, chords=chords.get(raw.index, ()))
        if signs.player is not None and signs.transposition is None:
            by = source.instrument_at(raw.index, signs.player)
            bar = written_for(bar, signs.player, signs.player_clef, by)
        bars.append(bar)
    return tuple(bars), about_bars(source.raw, lost)


def _sounds(source: StaffSource, governing: Sequence[InForce]) -> Mapping[int, Sound]:
    """The sounds of the staff; drums that are written with pitches have none."""
    found = dict(source.sounds)
    for raw, signs in zip(source.raw, governing, strict=True):
        instrument = source.instrument_at(raw.index, signs.transposition)
        if is_struck(instrument, signs.clef, on_drum_channel=source.on_drum_channel):
            for cluster in raw.clusters:
                if cluster.key in found:
                    found[cluster.key] = struck(found[cluster.key])
    return found


def _ties(source: StaffSource, starts: Sequence[Fraction]) -> dict[int, TieEnds]:
    """The ties of the staff; the whole staff is gone through only where there are any."""

    def held(*, signed: bool) -> Iterator[Held]:
        before = ""
        ends = [*starts[1:], None]
        for raw, start, end in zip(source.raw, starts, ends, strict=True):
            ending = source.side.bar(raw.index).ending
            jumps = bool(ending) and ending != before
            before = ending
            last = {cluster.voice: cluster.key for cluster in raw.clusters}
            for cluster in raw.clusters:
                if cluster.heads and not cluster.grace and (not signed or may_be_tied(cluster)):
                    tones = source.sounds[cluster.key].tones
                    gap_end = end if last[cluster.voice] == cluster.key else None
                    yield Held(cluster, tones, start + cluster.start, jumps, gap_end)

    return resolve(list(held(signed=True)), lambda: held(signed=False))


def _bar(source: StaffSource, raw: RawBar, signs: InForce, size: BarExtent) -> Bar:
    """The bar with all that governs it, before its notes."""
    side = source.side.bar(raw.index)
    return Bar(
        index=raw.index,
        number=raw.measure.get("number") or "",
        length=Length(size.length),
        time=signs.time,
        key=signs.key,
        clef=signs.clef,
        instrument=source.instrument_at(raw.index, signs.transposition),
        offset=Length(size.offset),
        marks=source.side.marks_of(raw.index),
        tempos=tuple(_counted(mark, signs.time) for mark in source.side.tempos_of(raw.index)),
        directions=_directions(source, raw),
        clef_changes=signs.clef_changes,
        key_changes=signs.key_changes,
        starts_repeat=side.starts_repeat,
        ends_repeat=side.ends_repeat,
        ending=side.ending,
        final=side.final,
        time_shown=signs.time_shown,
    )


def _counted(mark: TempoMark, time: TimeSignature) -> TempoMark:
    """The mark, a number without a note value counted in the beat of its bar."""
    if mark.number is None or mark.beat is not None:
        return mark
    return replace(mark, beat=NoteValue.of(time.beat) or _QUARTER)


_QUARTER: Final = NoteValue("quarter")


def _directions(source: StaffSource, raw: RawBar) -> tuple[Direction, ...]:
    """Dynamics and words of this staff, and the words that concern everybody."""
    found: list[Direction] = []
    for placed in raw.others:
        element = placed.element
        if element.tag != "direction" or staff_of_direction(element) != source.staff:
            continue
        start = Position(placed.start)
        found += [Direction(start, "dynamic", text) for text in dynamics(element)]
        text = words(element)
        named = tempo(element)
        if text and (named is None or named.said != text):
            found.append(Direction(start, "words", text))
    for cluster in raw.clusters:
        if "notations" in cluster.fields:
            start = Position(cluster.start)
            for signs in cluster.element.iterfind("notations"):
                found += [Direction(start, "dynamic", text) for text in dynamics(signs)]
    known = {direction.text for direction in found}
    found += [
        Direction(Position(start), "words", text)
        for start, text in source.side.bar(raw.index).words
        if text not in known
    ]
    return tuple(sorted(found, key=lambda direction: direction.start))
