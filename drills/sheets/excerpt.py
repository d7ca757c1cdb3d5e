"""The spot as the part prints it, with its notes numbered.

Method.  The bars of the spot, one voice of them.  The bar of a landing note, or
of the last note of a stretch that ends inside a bar, is cut after that note and
left open; tuplets, beams, ties and slurs that the cut would leave dangling are
closed there (and opened at the first note where they began before).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from drills.harmony.chord import NoteFunction
from drills.music.notes import Beam, Event, Note, Voice
from drills.music.score import Bar, Direction, Part
from drills.music.time import START, Length, Position
from drills.notation.bars import Setting
from drills.notation.beams import beamed, with_whole_beams
from drills.places.finding import spot_words
from drills.places.spots import Attack, Spot

WORDS_AT_A_PLACE = 2


@dataclass(frozen=True, slots=True)
class NoteNumber:
    """The number printed under a note of the excerpt."""

    bar: int
    """Index into Excerpt.bars."""
    start: Position
    number: int


@dataclass(frozen=True, slots=True)
class HeldFunctions:
    """What a note of the line does in a chord that begins while it is held."""

    number: int
    """Of the note."""
    after: Length
    """From the note's start on."""
    tones: tuple[NoteFunction, ...]
    bar: int
    """Index into Excerpt.bars of where the chord begins; -1 where the excerpt has ended."""
    start: Position
    """In that bar."""


@dataclass(frozen=True, slots=True)
class Excerpt:
    """The spot as the part prints it."""

    bars: tuple[Bar, ...]
    """One voice each; the bar of a landing note ends with that note."""
    numbers: tuple[NoteNumber, ...]
    open_ended: bool
    """True where the last bar is cut after the landing note: no bar line there."""


def setting_at(part: Part, attack: Attack) -> Setting:
    """Time, key, clef and instrument in force at a note."""
    if attack.origin is None:
        raise ValueError("an attack that was not read from a part has no place in it")
    bar, at = part.bars[attack.origin.bar], attack.origin.start
    return Setting(bar.time, bar.key_at(at), bar.clef_at(at), bar.instrument)


def make_excerpt(part: Part, spot: Spot) -> Excerpt:
    """Cut the bars of a spot out of its part."""
    line = spot.line
    places = [attack.origin for attack in line if attack.origin is not None]
    span = spot.span
    first = min(span.first.bar, places[0].bar)
    last = max(places[-1].bar, span.end.bar if not spot.landing else 0)
    bars = [_one_voice(bar, spot.voice) for bar in part.bars[first : last + 1]]
    whole_end = span.end.bar >= last and _at_bar_end(part.bars[span.end.bar], span.end.start)
    if not whole_end:
        end = places[-1].start if places[-1].bar == last else span.end.start
        bars[-1:] = _cut_after(bars[-1], end)
        whole_end = len(bars) <= last - first
    return Excerpt(
        bars=_slurs_closed(_beams_whole(bars)),
        numbers=tuple(
            NoteNumber(place.bar - first, place.start, attack.number)
            for place, attack in zip(places, line, strict=True)
        ),
        open_ended=not whole_end and bars[-1].length < part.bars[last].length,
    )


def printed_bars(bars: Sequence[Bar], voice: str) -> tuple[Bar, ...]:
    """One voice of some bars as they are printed, what their edges cut closed there."""
    return _slurs_closed(_beams_whole([_one_voice(bar, voice) for bar in bars]))


def _at_bar_end(bar: Bar, at: Position) -> bool:
    return at.quarters >= bar.length.quarters


def _one_voice(bar: Bar, name: str) -> Bar:
    voice = bar.voice(name)
    return replace(
        bar,
        voices=() if voice is None else (_with_beams(voice, bar),),
        directions=tuple(_few_words(bar.directions)),
    )


def _few_words(directions: Sequence[Direction]) -> Iterator[Direction]:
    """The signs that a player needs; of words at one place the first WORDS_AT_A_PLACE.

    Some exporters write whole verses as words over one note.  The words that
    mark a spot have done their work.
    """
    count: Counter[Position] = Counter()
    for direction in directions:
        if spot_words(direction):
            continue
        if direction.kind == "words":
            count[direction.start] += 1
            if count[direction.start] > WORDS_AT_A_PLACE:
                continue
        yield direction


def _with_beams(voice: Voice, bar: Bar) -> Voice:
    """The voice with beams of our own where the file gives none at all."""
    if any(isinstance(event, Note) and event.beam for event in voice.events):
        return voice
    return Voice(voice.name, beamed(voice.events, bar.time, bar.offset))


def _cut_after(bar: Bar, at: Position) -> tuple[Bar, ...]:
    """The bar up to and including the note at ``at`` and what is tied to it.

    None at all where the voice has nothing in it up to there.
    """
    kept: list[Event] = []
    for event in bar.voices[0].events if bar.voices else ():
        tied = isinstance(event, Note) and event.tie_stop
        if event.start > at and not (tied and kept and _leads_on(kept[-1])):
            break
        kept.append(event)
    if not kept:
        return ()
    kept[-1] = _closed(kept[-1])
    end = kept[-1].start + kept[-1].length
    cut = replace(
        bar,
        length=end - START,
        voices=(Voice(bar.voices[0].name, tuple(kept)),),
        chords=tuple(c for c in bar.chords if c.start < end),
        directions=tuple(d for d in bar.directions if d.start < end),
        clef_changes=tuple(c for c in bar.clef_changes if c[0] < end),
        key_changes=tuple(c for c in bar.key_changes if c[0] < end),
        tempos=tuple(t for t in bar.tempos if t.start < end),
        ends_repeat=0,
        final=False,
    )
    return (cut,)


def _leads_on(event: Event) -> bool:
    return isinstance(event, Note) and event.tie_start


def _closed(event: Event) -> Event:
    """The last event before a cut: no tuplet, beam or tie leads on from it.

    A tuplet that would be left with one note is none.
    """
    tuplets = tuple(replace(bracket, stops=True) for bracket in event.tuplets)
    if any(bracket.starts for bracket in tuplets) and event.value is not None:
        event = replace(event, length=event.value.length)
        tuplets = ()
    if not isinstance(event, Note):
        return replace(event, tuplets=tuplets)
    beam = Beam.STOP if event.beam is Beam.CONTINUE else event.beam
    return replace(event, tuplets=tuplets, tie_start=False, beam=beam)


def _beams_whole(bars: Sequence[Bar]) -> list[Bar]:
    """No beam has lost an end; one may lead over a bar line."""
    events = iter(with_whole_beams([e for bar in bars for v in bar.voices for e in v.events]))
    return [
        replace(
            bar,
            voices=tuple(Voice(v.name, tuple(islice(events, len(v.events)))) for v in bar.voices),
        )
        for bar in bars
    ]


def _slurs_closed(bars: Sequence[Bar]) -> tuple[Bar, ...]:
    """Slurs that begin before or end after the excerpt are opened and closed at its edges."""
    notes = [e for bar in bars for v in bar.voices for e in v.events if isinstance(e, Note)]
    opened = {s for n in notes for s in _starts(n)}
    closed = {s for n in notes for s in n.slur_stops}
    if not notes:
        return tuple(bars)
    first, last = notes[0], notes[-1]
    to_open = tuple(sorted(closed - opened))
    to_close = tuple(sorted(opened - closed))

    def mended(event: Event) -> Event:
        if not isinstance(event, Note):
            return event
        starts = event.slur_starts + (to_open if event is first else ())
        stops = event.slur_stops + (to_close if event is last else ())
        both = set(event.slur_starts if event is last else ()) & set(stops)
        both |= set(event.slur_stops if event is first else ()) & set(starts)
        return replace(
            event,
            slur_starts=tuple(s for s in starts if s not in both),
            slur_stops=tuple(s for s in stops if s not in both),
        )

    return tuple(
        replace(
            bar,
            voices=tuple(Voice(v.name, tuple(mended(e) for e in v.events)) for v in bar.voices),
        )
        for bar in bars
    )


def _starts(note: Note) -> tuple[int, ...]:
    return note.slur_starts + tuple(s for grace in note.graces for s in grace.slur_starts)
