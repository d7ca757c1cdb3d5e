"""From a part and a stretch of it to the line that is to be drilled.

Problem.  What the player practises are attacks: ties joined, grace notes kept
with their main note, other voices, cues and hidden notes left aside.

Conventions.  A rest of a beat or longer (the beat of the time signature at the
spot) ends a run.  The landing note is the first attack after the stretch, if
less than a beat of silence comes before it; the approach note is the last one
before the stretch under the same condition.  Notes of the line are numbered
from 1; slurs speak of these numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import lru_cache

from drills.errors import PlaceError
from drills.music.pitch import Tone
from drills.music.score import Articulation, Grace, Note, Origin, Part
from drills.music.time import Length, Position
from drills.places import Place, Span


@dataclass(frozen=True, slots=True)
class Attack:
    """One note (or chord) that the player begins, with ties joined."""

    tones: tuple[Tone, ...]
    """Written tones."""
    length: Length
    """What it lasts in the music."""
    graces: tuple[Grace, ...] = ()
    """Grace notes before it; their slurs are told by ``grace_slurred``."""
    graces_after: tuple[Grace, ...] = ()
    grace_slurred: bool = False
    """True where a slur leads from the grace notes into the note."""
    articulations: tuple[Articulation, ...] = ()
    number: int = field(default=0, compare=False)
    """Place in the line, from 1: the number printed under the excerpt."""
    origin: Origin | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Slur:
    """A slur over the notes ``first`` to ``last`` of a line (numbers from 1)."""

    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Run:
    """Attacks that no long rest interrupts."""

    attacks: tuple[Attack, ...]


@dataclass(frozen=True, slots=True)
class Spot:
    """A stretch of a part with its line, cut into runs."""

    span: Span
    voice: str
    """The voice that was chosen."""
    runs: tuple[Run, ...]
    slurs: tuple[Slur, ...]
    landing: int = 0
    """Number of the landing note in the line; 0 where there is none."""
    approach: int = 0
    """Number (1) of the approach note; 0 where none was asked for or found."""
    note: str = ""
    """The player's own words about the spot."""
    other_voices: tuple[str, ...] = ()
    """Voices that also play in the stretch and were left aside."""

    @property
    def line(self) -> tuple[Attack, ...]:
        """All attacks of the spot in order."""
        return tuple(attack for run in self.runs for attack in run.attacks)


@dataclass(frozen=True, slots=True)
class _Sound:
    """An attack with its exact place in the part."""

    start: Fraction
    end: Fraction
    notes: tuple[Note, ...]
    """The written notes that ties join; the first is the attack."""
    origin: Origin


def make_spot(
    part: Part,
    span: Span,
    *,
    voice: str | None = None,
    landing: bool = True,
    approach: bool = False,
    note: str = "",
) -> Spot:
    """Collect the line of a stretch and cut it into runs.

    ``voice`` names the voice to follow; without it, the one with most attacks
    in the stretch (of equals the first).  Raises PlaceError when nothing is
    attacked there or the voice does not exist.
    """
    starts = part.starts()
    low, high = _absolute(starts, span.first), _absolute(starts, span.end)

    def inside(sound: _Sound) -> bool:
        return low <= sound.start and (
            sound.start < high or (span.includes_end and sound.start == high)
        )

    voices = _voices(part)
    playing = {
        name: [i for i, sound in enumerate(sounds) if inside(sound)]
        for name, sounds in voices.items()
    }
    chosen = _choose(part, span, voice, {name: len(found) for name, found in playing.items()})
    sounds = voices[chosen]
    first, last = playing[chosen][0], playing[chosen][-1]
    beat = part.bars[sounds[first].origin.bar].time.beat.quarters
    has_approach = approach and first > 0 and _silence(sounds, first - 1) < beat
    has_landing = landing and last + 1 < len(sounds) and _silence(sounds, last) < beat
    line = sounds[first - has_approach : last + 1 + has_landing]
    attacks = [_attack(sound, number) for number, sound in enumerate(line, 1)]
    return Spot(
        span=span,
        voice=chosen,
        runs=tuple(_runs(attacks, line, beat)),
        slurs=tuple(_slurs(sounds, first - has_approach, len(line))),
        landing=len(line) if has_landing else 0,
        approach=1 if has_approach else 0,
        note=note,
        other_voices=tuple(name for name, found in playing.items() if found and name != chosen),
    )


def _absolute(starts: Sequence[Position], place: Place) -> Fraction:
    return starts[place.bar].quarters + place.start.quarters


def _choose(part: Part, span: Span, voice: str | None, counts: dict[str, int]) -> str:
    if voice is not None and voice not in counts:
        raise PlaceError(f"{part.name} has no voice {voice!r}; its voices are {', '.join(counts)}")
    names = [voice] if voice is not None else [name for name, n in counts.items() if n]
    best = max(names, key=lambda name: counts[name], default=None)
    if best is None or not counts[best]:
        where = f"voice {voice} of {part.name}" if voice else part.name
        raise PlaceError(
            f"{where} has no notes to play in {span.words} ({span.asked}); choose a place where "
            "it plays, or another part with --part"
        )
    return best


@lru_cache(maxsize=8)
def _voices(part: Part) -> dict[str, list[_Sound]]:
    """Every attack of every voice, in order of time.

    Kept for the parts used last, since a sheet may have a hundred spots of one.
    """
    starts = part.starts()
    voices: dict[str, list[_Sound]] = {}
    for bar in part.bars:
        base = starts[bar.index].quarters
        for voice in bar.voices:
            sounds = voices.setdefault(voice.name, [])
            for event in voice.events:
                if not isinstance(event, Note) or event.cue or event.hidden:
                    continue
                start = base + event.start.quarters
                end = start + event.length.quarters
                if event.tie_stop and sounds and sounds[-1].notes[-1].tie_start:
                    sounds[-1] = replace(sounds[-1], end=end, notes=(*sounds[-1].notes, event))
                else:
                    origin = Origin(bar.index, bar.number, event.start)
                    sounds.append(_Sound(start, end, (event,), origin))
    return voices


def _silence(sounds: Sequence[_Sound], index: int) -> Fraction:
    """Quarters of silence between a sound and the next."""
    return max(sounds[index + 1].start - sounds[index].end, Fraction(0))


def _attack(sound: _Sound, number: int) -> Attack:
    first, last = sound.notes[0], sound.notes[-1]
    begun = {slur for grace in first.graces for slur in grace.slur_starts}
    return Attack(
        tones=first.tones,
        length=Length(sum((note.length.quarters for note in sound.notes), Fraction(0))),
        graces=tuple(replace(g, slur_starts=(), slur_stops=()) for g in first.graces),
        graces_after=tuple(replace(g, slur_starts=(), slur_stops=()) for g in last.graces_after),
        grace_slurred=bool(begun.intersection(first.slur_stops)),
        articulations=first.articulations,
        number=number,
        origin=sound.origin,
    )


def _runs(attacks: Sequence[Attack], line: Sequence[_Sound], beat: Fraction) -> list[Run]:
    groups = [[attacks[0]]]
    for before, after, attack in zip(line, line[1:], attacks[1:], strict=False):
        if after.start - before.end >= beat:
            groups.append([])
        groups[-1].append(attack)
    return [Run(tuple(group)) for group in groups]


def _slurs(sounds: Sequence[_Sound], first: int, count: int) -> list[Slur]:
    """The slurs of a voice as far as they lie over two or more notes of the line."""
    begins: dict[int, int] = {}
    found = []
    for index, sound in enumerate(sounds):
        for slur in _slur_stops(sound):
            if slur in begins:
                low = max(begins.pop(slur) - first + 1, 1)
                high = min(index - first + 1, count)
                if low < high:
                    found.append(Slur(low, high))
        begins |= dict.fromkeys(_slur_starts(sound), index)
    return sorted(found, key=lambda slur: (slur.first, -slur.last))


def _slur_starts(sound: _Sound) -> list[int]:
    first = sound.notes[0]
    begun = [slur for note in sound.notes for slur in note.slur_starts]
    return begun + [slur for grace in first.graces for slur in grace.slur_starts]


def _slur_stops(sound: _Sound) -> list[int]:
    return [slur for note in sound.notes for slur in note.slur_stops]


def slurs_within(slurs: Sequence[Slur], first: int, last: int) -> tuple[Slur, ...]:
    """Slurs as they remain over notes ``first`` to ``last``, renumbered from 1.

    A slur that the edge cuts is opened or closed at the edge; one that is left
    with a single note goes.
    """
    cut = [Slur(max(s.first, first), min(s.last, last)) for s in slurs]
    return tuple(Slur(s.first - first + 1, s.last - first + 1) for s in cut if s.first < s.last)
