"""How demanding every note of a voice is, at the performing tempo.

Problem.  A hard move is a hard spot only where there is no time for it, and the
fingers are not all: tongue, rhythm, reading, range and breath add to it.

Method.  For every attack the terms of settings.py, each an amount times its
weight; their sum is the effort, in fingers a second.  The move to a note has the
time from the attack before it, whatever the length of the first note, at the
tempo in force.  Doubling every tempo lowers no term: each amount is a rate, a
count, or does not depend on the tempo, and places to breathe only become fewer.

The tongue is judged by its strokes in a row: the rate of a stroke is that of the last
``TONGUE_ROW`` strokes of its run, whatever was slurred between them.  Slur two, tongue
two at ten notes a second is seven and a half strokes, and a single quick pair is none.

Conventions.  Seconds and amounts are floats; places are exact.  A rest of a beat or
longer ends a run; a syncopation at the end of a run counts only what the note
itself is held over, so that a bar of rests more or less changes nothing.  A player
breathes in a rest of ``BREATH_REST`` seconds, at a breath mark, and after a note of
``BREATH_NOTE`` seconds that no slur leads on from (common practice; the figures are
our own choice).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from operator import mul
from typing import Final, NamedTuple

from drills.effort.frames import Clock, Frame, Frames
from drills.effort.moves import Move, cost_of_run
from drills.effort.settings import TERMS, USUAL, Judgement
from drills.errors import PlaceError
from drills.instruments.judged import EffortInstrument
from drills.music.lines import Sound, VoiceLine, voice_lines
from drills.music.notes import Articulation
from drills.music.pitch import Pitch
from drills.music.score import Part
from drills.places.spots import attack_of
from drills.places.tempos import AskedTempo, TempoMap, tempo_map

BREATH_REST: Final = 0.3
BREATH_NOTE: Final = 1.0
TONGUE_ROW: Final = 4
"""Strokes before a stroke from which its rate is taken: a tongue that is as quick once or
twice is not put to the test (our own choice)."""
_TONGUED: Final = frozenset(
    {
        Articulation.STACCATO,
        Articulation.STACCATISSIMO,
        Articulation.TENUTO,
        Articulation.DETACHED_LEGATO,
    }
)
"""Signs under a slur that ask for the tongue all the same (common practice)."""


class Demand(NamedTuple):
    """What one attack asks for, the way to it included.

    A named tuple, which is made several times as fast as a frozen dataclass: a part
    has thousands.
    """

    sound: Sound
    tick: int
    """Where it begins, exactly, in a unit of the whole voice."""
    seconds: float
    """Since the attack before; 0 for the first, and after a change of instrument."""
    move: Move | None
    """The way to it from the attack before; None where ``seconds`` is 0."""
    run: int
    """Which run it belongs to, from 0: no rest of a beat or longer lies inside one."""
    tongued: bool
    """True where the tongue begins it."""
    on_beat: bool
    """True where it begins on a beat of its bar."""
    amounts: tuple[float, ...]
    """Of every term, in the order and the units of settings.TERMS; 0 or more."""
    effort: float
    """The amounts times their weights, added up: fingers a second."""


@dataclass(frozen=True, slots=True)
class VoiceDemand:
    """Every note of the voice that is judged."""

    part: Part
    voice: str
    line: VoiceLine
    demands: tuple[Demand, ...]
    """One for each sound of the line."""
    ticks: int
    """Of a quarter."""
    tempos: TempoMap
    judgement: Judgement
    instruments: tuple[EffortInstrument, ...]
    """What it is judged as, in the order of the part."""
    remarks: tuple[str, ...]
    """What was assumed, and what lies outside the instrument's range."""

    def shares(self, demand: Demand) -> dict[str, float]:
        """What each term adds to the effort of a note, without those that add nothing."""
        parts = zip(self.judgement.weights.items(), demand.amounts, strict=True)
        return {name: amount * weight for (name, weight), amount in parts if amount * weight}


def main_voice(part: Part) -> str:
    """The voice with most attacks, of equals the first; empty where nothing is played."""
    voices = voice_lines(part)
    return max(voices, key=lambda name: len(voices[name].sounds), default="")


def demand_of(
    part: Part,
    voice: str = "",
    *,
    instrument: str | None = None,
    tempo: AskedTempo | None = None,
    judgement: Judgement = USUAL,
) -> VoiceDemand:
    """What every note of a voice asks for.

    ``voice`` is the one with most attacks unless given; ``instrument`` a name that
    holds in place of the score's.  Raises PlaceError for a voice that is not there.
    """
    voices = voice_lines(part)
    if voice and voice not in voices:
        raise PlaceError(f"{part.name} has no voice {voice!r}; its voices are {', '.join(voices)}")
    name = voice or main_voice(part)
    line = voices.get(name, VoiceLine((), (), ()))
    tempos = tempo_map(part, tempo)
    clock = Clock(line.sounds, tempos, part)
    frames = Frames(part, clock, instrument)
    demands = tuple(_Pass(line, clock, frames, judgement).demands())
    used = tuple(dict.fromkeys(frames[d.sound.origin.bar].instrument for d in demands))
    remarks = _remarks(demands, frames, used)
    return VoiceDemand(part, name, line, demands, clock.scale, tempos, judgement, used, remarks)


class _Pass:
    """One pass over a voice."""

    def __init__(self, line: VoiceLine, clock: Clock, frames: Frames, judgement: Judgement) -> None:
        self.sounds = line.sounds
        self.clock = clock
        self.frames = frames
        self.weights = tuple(judgement.weights[name] for name in TERMS)
        self.limits = judgement.limits
        self.slurred = {at for first, last in line.slurs for at in range(first + 1, last + 1)}

    def demands(self) -> Iterator[Demand]:
        """Every note in order."""
        moves = _moves(self.sounds, self.frames)
        starts, ends = self.clock.starts, self.clock.ends
        frame, bar = None, -1
        run = breath = 0
        now, strokes = 0.0, list[float]()
        for index, (sound, since) in enumerate(zip(self.sounds, self.clock.since(), strict=False)):
            if frame is None or sound.origin.bar != bar:
                bar = sound.origin.bar
                frame = self.frames[bar]
            start = starts[index]
            if not index or self._breathes(index, since):
                breath = start
            now += since
            if index and start - ends[index - 1] >= frame.beat:
                run, strokes = run + 1, []
            move = moves[index]
            seconds = 0.0 if move is None else since
            tongued = frame.tongues and self._tongued(index, sound)
            outside, edge = self.frames.reading(frame, sound)
            if tongued:
                strokes.append(now)
            row = strokes[-1 - TONGUE_ROW :] if tongued else []
            amounts = (
                *self._rates(move, max(seconds, 0.001), row, outside),
                self._against(index, frame),
                edge,
                self._long(start - breath, frame),
            )
            effort = sum(map(mul, amounts, self.weights))
            on_beat = (start - frame.zero) % frame.beat == 0
            yield Demand(sound, start, seconds, move, run, tongued, on_beat, amounts, effort)

    def _rates(
        self, move: Move | None, seconds: float, row: list[float], outside: float
    ) -> tuple[float, float, float, float]:
        """Move, leap, tonguing and accidental: the harder the less time there is.

        ``row`` are the times of the strokes of the tongue up to this one.
        """
        if move is None:
            return 0.0, 0.0, 0.0, 0.0
        beyond = self.frames.beyond(move.first, move.second)
        near = 0.0
        if len(row) > TONGUE_ROW:
            rate = TONGUE_ROW / max(row[-1] - row[0], 0.001)
            near = max(0.0, 2 * rate / self.limits.tonguing - 1)
        return move.cost / seconds, beyond / seconds, near, outside / seconds

    def _tongued(self, index: int, sound: Sound) -> bool:
        note = sound.notes[0]
        return (
            index not in self.slurred
            or self.sounds[index - 1].notes[0].tones == note.tones
            or not _TONGUED.isdisjoint(note.articulations)
        )

    def _against(self, index: int, frame: Frame) -> float:
        """Levels of the metre, for each beat a second."""
        start, end = self.clock.starts[index], self.clock.ends[index]
        if index + 1 < len(self.sounds):
            following = self.clock.starts[index + 1]
            if following - end < frame.beat:
                end = following
        levels = self.frames.levels(frame, start, end)
        return levels and levels * self.clock.beats_a_second(start, frame.beat)

    def _long(self, ticks: int, frame: Frame) -> float:
        """What one breath must carry beyond the limit: 1 from twice the limit on."""
        beats = ticks / frame.beat if frame.breathes else 0.0
        return min(max(0.0, beats / self.limits.breath - 1), 1.0)

    def _breathes(self, index: int, since: float) -> bool:
        """True where there is room for a breath just before a note.

        ``since`` are the seconds from the attack before it.
        """
        before, start = self.sounds[index - 1], self.clock.starts[index]
        marks = before.notes[-1].articulations
        if marks and Articulation.BREATH_MARK in marks:
            return True
        end = self.clock.ends[index - 1]
        if start > end:
            return self.clock.seconds(end, start) >= BREATH_REST
        if index in self.slurred:
            return False
        return since >= BREATH_NOTE


def _moves(sounds: Sequence[Sound], frames: Frames) -> list[Move | None]:
    """The move to each note; None for the first one on an instrument."""
    found: list[Move | None] = []
    for instrument, group in groupby(sounds, lambda sound: frames[sound.origin.bar].instrument):
        notes = [s.notes[0] if len(s.notes) == 1 else attack_of(s, 0) for s in group]
        found += [None, *cost_of_run(notes, instrument)]
    return found


def _remarks(
    demands: Sequence[Demand], frames: Frames, used: Sequence[EffortInstrument]
) -> tuple[str, ...]:
    """What was assumed, in a player's words, and the notes that the instrument lacks."""
    assumed = dict.fromkeys(words for instrument in used for words in instrument.assumptions)
    outside: dict[str, list[str]] = {}
    for demand in demands:
        if demand.amounts[_RANGE] <= 1:
            continue
        frame = frames[demand.sound.origin.bar]
        for tone in demand.sound.notes[0].tones:
            if isinstance(tone, Pitch) and not (frame.low or 0) <= tone.midi <= (frame.high or 0):
                words = f"{tone} lies outside the usual range of the {frame.instrument.name}"
                outside.setdefault(words, []).append(demand.sound.origin.number)
    told = [
        f"bar {bars[0]}: {words}" + (f" ({len(bars)} times in the part)" if bars[1:] else "")
        for words, bars in outside.items()
    ]
    return (*assumed, *told)


_RANGE: Final = list(TERMS).index("range")
