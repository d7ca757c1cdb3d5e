"""From the clusters of one bar to its voices: events in order, graces on their notes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from typing import Final

from drills.music.notes import (
    Articulation,
    Beam,
    Event,
    Grace,
    Note,
    Origin,
    Rest,
    TupletBracket,
    Voice,
)
from drills.music.pitch import Tone
from drills.music.time import Length, NoteValue, Position
from drills.reading.clocks import NONE
from drills.reading.clusters import Cluster
from drills.reading.inforce import OctaveLines
from drills.reading.remarks import Remark
from drills.reading.slurs import SlurEnds
from drills.reading.spelling import spelled
from drills.reading.ties import TieEnds
from drills.reading.timing import NoteTime
from drills.reading.tuplets import brackets

_NO_TIES: Final = TieEnds()
_NO_SLURS: Final = SlurEnds()
_MOST_LINES: Final = 8
"""How many voices one voice of the file is split into at most."""
_BEAMS: Final = {"begin": Beam.START, "continue": Beam.CONTINUE, "end": Beam.STOP}


@dataclass(frozen=True, slots=True)
class Sound:
    """What the note reader says of a cluster."""

    tones: tuple[Tone, ...]
    articulations: tuple[Articulation, ...]


@dataclass(frozen=True, slots=True)
class PartFacts:
    """What is known of the clusters of a part, by their key."""

    sounds: Mapping[int, Sound]
    ties: Mapping[int, TieEnds]
    slurs: Mapping[int, SlurEnds]
    octave_lines: OctaveLines


@dataclass(frozen=True, slots=True)
class BarFrame:
    """Where a bar stands and how long it is."""

    index: int
    number: str
    start: Fraction
    """From the start of the part."""
    length: Fraction


@dataclass(slots=True)
class _Line:
    """One voice while it is sorted: main notes in order, graces waiting."""

    name: str
    main: list[Cluster] = field(default_factory=list)
    graces: dict[int, list[Cluster]] = field(default_factory=dict)
    """Before the main note of that key."""
    waiting: list[Cluster] = field(default_factory=list)
    overlaps: bool = False
    """It holds what overlaps inside the voice of that name."""
    dropped: bool = False
    """More notes overlap than a voice can be split for."""

    @property
    def end(self) -> Fraction:
        return self.main[-1].end if self.main else NONE


def read_voices(
    clusters: Sequence[Cluster], frame: BarFrame, facts: PartFacts, lost: list[tuple[Remark, int]]
) -> tuple[Voice, ...]:
    """The voices of one bar.  What could not be kept is added to ``lost`` with the bar."""
    found: list[Voice] = []
    for line in _sorted_lines(clusters):
        events = _Events(frame, facts, line).all()
        if line.waiting and not any(cluster.heads for cluster in line.main):
            lost.append((Remark.GRACE, frame.index))
        if line.overlaps:
            lost.append((Remark.OVERLAP, frame.index))
        if line.dropped:
            lost.append((Remark.CROWDED, frame.index))
        if events:
            found.append(Voice(line.name, events))
    return tuple(found)


def _sorted_lines(clusters: Sequence[Cluster]) -> list[_Line]:
    """One line for each voice; what overlaps inside a voice gets a line of its own."""
    lines: dict[str, _Line] = {}
    for cluster in _in_order(clusters):
        home = lines.get(cluster.voice)
        if home is None:
            home = lines[cluster.voice] = _Line(cluster.voice)
        if cluster.grace:
            if cluster.is_printed:
                home.waiting.append(cluster)
            continue
        line = _free_line(lines, home, cluster)
        if line is None:
            home.dropped = True
            continue
        if home.waiting and cluster.heads:
            line.graces[cluster.key] = home.waiting
            home.waiting = []
        line.main.append(cluster)
    return [lines[name] for name in sorted(lines, key=_voice_order)]


def _free_line(lines: dict[str, _Line], home: _Line, cluster: Cluster) -> _Line | None:
    """The first line of the cluster's voice that is free where it starts; None for a crowd."""
    line = home
    for extra in range(2, _MOST_LINES + 2):
        if cluster.start >= line.end:
            return line
        name = f"{cluster.voice}.{extra}"
        line = lines.setdefault(name, _Line(name, overlaps=True))
    return None


def _in_order(clusters: Sequence[Cluster]) -> Sequence[Cluster]:
    """By time, grace notes first, else as in the file; most bars are so already."""
    if all(this.start <= after.start for this, after in pairwise(clusters)):
        return clusters
    return sorted(clusters, key=lambda cluster: cluster.start)


def _voice_order(name: str) -> tuple[int, str]:
    first = name.partition(".")[0]
    return (int(first) if first.isdecimal() and len(first) < 9 else 10**9, name)


class _Events:
    """Turns one line of one bar into events."""

    def __init__(self, frame: BarFrame, facts: PartFacts, line: _Line) -> None:
        self._frame = frame
        self._facts = facts
        self._line = line
        self._brackets = brackets(line.main)

    def all(self) -> tuple[Event, ...]:
        events: list[Event] = []
        main = self._line.main
        last_note = max((i for i, c in enumerate(main) if c.heads), default=-1)
        for index, cluster in enumerate(main):
            if cluster.is_rest:
                events.extend(self._rests(cluster, alone=len(main) == 1))
            elif cluster.key in self._facts.sounds:
                after = self._line.waiting if index == last_note else []
                events.extend(self._notes(cluster, after))
        return tuple(events)

    def _rests(self, cluster: Cluster, *, alone: bool) -> list[Event]:
        hidden = cluster.element.get("print-object") == "no"
        if alone and cluster.start == NONE and self._fills_bar(cluster):
            return [Rest(Position(NONE), Length(self._frame.length), None, hidden=hidden)]
        return [
            Rest(Position(start), length, value, tuplets, hidden)
            for start, length, value, tuplets in self._pieces(cluster)
        ]

    def _fills_bar(self, cluster: Cluster) -> bool:
        """True for a rest that says it stands for the bar, or lasts as long as the bar."""
        return cluster.is_bar_rest or cluster.time.length >= self._frame.length

    def _pieces(
        self, cluster: Cluster
    ) -> list[tuple[Fraction, Length, NoteValue, tuple[TupletBracket, ...]]]:
        """The written values of a cluster: one, unless no single value lasts that long."""
        ties = self._facts.ties.get(cluster.key, _NO_TIES)
        time = cluster.time
        if ties.fills:
            time = NoteTime(self._frame.length - cluster.start, None)
        marks = self._brackets.get(cluster.key, ())
        if marks and all(mark.starts and mark.stops for mark in marks):
            # A tuplet of one note, as exporters write tremolos: no one prints that.
            plain = NoteValue.of(Length(time.length))
            if plain is not None:
                return [(cluster.start, Length(time.length), plain, ())]
        if time.value is not None:
            return [(cluster.start, Length(time.length), time.value, marks)]
        pieces = []
        start = cluster.start
        for value, marks in spelled(time.length):
            length = value.length
            for mark in marks:
                length = length * mark.ratio.factor
            pieces.append((start, length, value, marks))
            start += length.quarters
        return pieces

    def _notes(self, cluster: Cluster, after: list[Cluster]) -> list[Event]:
        sound = self._facts.sounds[cluster.key]
        ties = self._facts.ties.get(cluster.key, _NO_TIES)
        slurs = self._facts.slurs.get(cluster.key, _NO_SLURS)
        pieces = self._pieces(cluster)
        hidden = all(head.hidden for head in cluster.heads)
        events: list[Event] = []
        for place, (start, length, value, marks) in enumerate(pieces):
            first, last = place == 0, place == len(pieces) - 1
            events.append(
                Note(
                    Position(start),
                    length,
                    _distinct(sound.tones),
                    value,
                    marks,
                    tie_start=ties.start or not last,
                    tie_stop=ties.stop or not first,
                    tie_voice=ties.voice if first else "",
                    graces=self._graces(self._line.graces.get(cluster.key, [])) if first else (),
                    graces_after=self._graces(after) if last else (),
                    articulations=sound.articulations if first else (),
                    slur_starts=slurs.starts if first else (),
                    slur_stops=slurs.stops if last else (),
                    beam=_beam(cluster) if len(pieces) == 1 else None,
                    octave_line=self._octave_line(start),
                    cue="cue" in cluster.fields,
                    hidden=hidden,
                    origin=Origin(self._frame.index, self._frame.number, Position(start)),
                )
            )
        return events

    def _graces(self, clusters: list[Cluster]) -> tuple[Grace, ...]:
        return tuple(self._grace(c) for c in clusters if c.key in self._facts.sounds)

    def _grace(self, cluster: Cluster) -> Grace:
        slurs = self._facts.slurs.get(cluster.key, _NO_SLURS)
        sign = cluster.fields.get("grace")
        return Grace(
            _distinct(self._facts.sounds[cluster.key].tones),
            cluster.time.value or NoteValue("eighth"),
            slashed=sign is not None and sign.get("slash") == "yes",
            slur_starts=slurs.starts,
            slur_stops=slurs.stops,
        )

    def _octave_line(self, start: Fraction) -> int:
        if not self._facts.octave_lines:
            return 0
        return max(-3, min(3, self._facts.octave_lines.at(self._frame.start + start)))


def _distinct(tones: tuple[Tone, ...]) -> tuple[Tone, ...]:
    """A tone that a chord has twice (on two strings) is one to play."""
    return tuple(dict.fromkeys(tones))


def _beam(cluster: Cluster) -> Beam | None:
    if "beam" not in cluster.fields:
        return None
    for beam in cluster.element.iterfind("beam"):
        if (beam.get("number") or "1") == "1":
            return _BEAMS.get((beam.text or "").strip())
    return None
