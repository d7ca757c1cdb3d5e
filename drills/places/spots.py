"""From a part and a stretch of it to the line that is to be drilled.

Problem.  What the player practises are attacks: ties joined, grace notes kept
with their main note, other voices, cues and hidden notes left aside.

Conventions.  A rest of a beat or longer (the beat of the time signature at the
spot) ends a run, and so does the repeat sign of a first ending, from which the
music goes back.  The landing note is the first attack after the stretch, if the
player goes on to it in the same run; a stretch that ends with an attack that the
player named has its landing note already.  The approach note is the last one
before the stretch under the same condition.  Notes of the line are numbered
from 1; slurs speak of these numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from drills.errors import PlaceError
from drills.music.lines import Sound, VoiceLine, bar_starts, voice_lines
from drills.music.notes import Articulation, Grace, Origin
from drills.music.pitch import Tone
from drills.music.score import Bar, Part
from drills.music.time import Length
from drills.places.finding import Span


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
    """Signs that stay with the note; a fermata belongs to the music, not to a drill."""
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
    starts = bar_starts(part)
    low = starts[span.first.bar] + span.first.start.quarters
    high = starts[span.end.bar] + span.end.start.quarters
    voices = voice_lines(part)
    playing = {
        name: line.between(low, high, includes_high=span.includes_end)
        for name, line in voices.items()
    }
    chosen = _choose(part, span, voice, {name: len(found) for name, found in playing.items()})
    sounds = voices[chosen].sounds
    first, last = playing[chosen][0], playing[chosen][-1]
    beat = part.bars[sounds[first].origin.bar].time.beat.quarters
    has_approach = approach and first > 0 and _leads_on(part, sounds, first - 1, beat)
    wanted = landing and not span.includes_end
    has_landing = wanted and last + 1 < len(sounds) and _leads_on(part, sounds, last, beat)
    line = sounds[first - has_approach : last + 1 + has_landing]
    attacks = [attack_of(sound, number) for number, sound in enumerate(line, 1)]
    return Spot(
        span=span,
        voice=chosen,
        runs=tuple(_runs(part, attacks, line, beat)),
        slurs=_slurs(voices[chosen], first - has_approach, len(line)),
        landing=len(line) if has_landing else 0,
        approach=1 if has_approach else 0,
        note=note,
        other_voices=tuple(name for name, found in playing.items() if found and name != chosen),
    )


def _choose(part: Part, span: Span, voice: str | None, counts: dict[str, int]) -> str:
    if voice is not None and voice not in counts:
        raise PlaceError(f"{part.name} has no voice {voice!r}; its voices are {', '.join(counts)}")
    names = [voice] if voice is not None else [name for name, n in counts.items() if n]
    best = max(names, key=lambda name: counts[name], default=None)
    if best is None or not counts[best]:
        where = f"voice {voice} of {part.name}" if voice else part.name
        raise PlaceError(
            f"{where} has no notes to play in {span.words}; choose a place where "
            "it plays, or another part with --part"
        )
    return best


def attack_of(sound: Sound, number: int) -> Attack:
    """A sound of a voice as the attack with that number in a line."""
    first, last = sound.notes[0], sound.notes[-1]
    begun = {slur for grace in first.graces for slur in grace.slur_starts}
    return Attack(
        tones=first.tones,
        length=Length(sum((note.length.quarters for note in sound.notes), Fraction(0))),
        graces=tuple(replace(g, slur_starts=(), slur_stops=()) for g in first.graces),
        graces_after=tuple(replace(g, slur_starts=(), slur_stops=()) for g in last.graces_after),
        grace_slurred=bool(begun.intersection(first.slur_stops)),
        articulations=tuple(a for a in first.articulations if a is not Articulation.FERMATA),
        number=number,
        origin=sound.origin,
    )


def _leads_on(part: Part, sounds: Sequence[Sound], index: int, beat: Fraction) -> bool:
    """True where a player goes on from a sound to the next: no long rest, no jump back."""
    before, after = sounds[index], sounds[index + 1]
    if after.start - before.end >= beat:
        return False
    return not any(goes_back(bar) for bar in part.bars[before.origin.bar : after.origin.bar])


def goes_back(bar: Bar) -> bool:
    """True where the music never goes on to the next bar: a repeat ends a first ending."""
    return bool(bar.ends_repeat and bar.ending)


def _runs(
    part: Part, attacks: Sequence[Attack], line: Sequence[Sound], beat: Fraction
) -> list[Run]:
    groups = [[attacks[0]]]
    for index, attack in enumerate(attacks[1:]):
        if not _leads_on(part, line, index, beat):
            groups.append([])
        groups[-1].append(attack)
    return [Run(tuple(group)) for group in groups]


def _slurs(voice: VoiceLine, first: int, count: int) -> tuple[Slur, ...]:
    """The slurs of a voice as far as they lie over two or more notes of the line."""
    whole_voice = [Slur(low + 1, high + 1) for low, high in voice.slurs]
    inside = slurs_within(whole_voice, first + 1, first + count)
    return tuple(sorted(inside, key=lambda slur: (slur.first, -slur.last)))


def slurs_within(slurs: Sequence[Slur], first: int, last: int) -> tuple[Slur, ...]:
    """Slurs as they remain over notes ``first`` to ``last``, renumbered from 1.

    A slur that the edge cuts is opened or closed at the edge; one that is left
    with a single note goes.
    """
    cut = [Slur(max(s.first, first), min(s.last, last)) for s in slurs]
    return tuple(Slur(s.first - first + 1, s.last - first + 1) for s in cut if s.first < s.last)
