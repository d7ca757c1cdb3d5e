"""A staff that several players share -> a part for each of them.

Problem.  "Trombone 1, 2" on one staff is two players: where it has two voices or chords
each plays one of the notes, where it has one line the words "a2", "1." or "2." tell who
plays.  A part as it is read would be double stops that nobody can play.

Method.  How many players there are is told by whoever is asked first: the player
(``counts``), the name of the staff (player_names.py), the most notes that a wind
instrument has at once.  In each bar voices go to players from the top, as many to each
voice as its largest chord has notes; the notes of a chord go from the top to the players
of its voice, and where there are fewer notes than players the last note is for those who
are left.  A single line is for all of them after "a2" (or "unis.", "tutti"), and for the
one who is named after "1.", "2." or "solo"; until the staff says either it is given to all,
and that is told, with the other possibility.

Strings, keyboards and percussion play several notes at once: they are split only where
their name lists players, or the word "div." stands in the part.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from drills.instruments.player_names import MOST_PLAYERS, numbered, players_named
from drills.music.notes import Event, Note, Rest, Voice
from drills.music.pitch import Pitch, Tone
from drills.music.score import Bar, Direction, Part
from drills.music.time import Position

_ONE_NOTE: Final = ("woodwind", "brass", "voice")
"""Families whose players have one note at a time."""
_ALL: Final = re.compile(r"(?:a ?[2-9]|unis(?:on|ono)?|tutti|all|alle|zu [2-9])\.?", re.IGNORECASE)
_DIVIDED: Final = re.compile(r"div(?:isi)?\.?(?: a ?[2-9])?\.?", re.IGNORECASE)
_FIRST: Final = re.compile(r"(?:solo|soli|1o)\.?", re.IGNORECASE)
_NUMBER: Final = re.compile(r"(?:(\d)(?:\.|st|nd|rd|th|o|\.o)?|(I{1,3}|IV)\.?)(?: solo)?\.?")
_BARS_TOLD: Final = 4


@dataclass(frozen=True, slots=True)
class Shared:
    """A staff with its players."""

    players: tuple[Part, ...]
    """One where the staff is one player's."""
    remarks: tuple[str, ...] = ()
    """What could not be told, and what else it might be."""


def players_of(part: Part, counts: Mapping[str, int] | None = None) -> Shared:
    """The players of a staff; ``counts`` says how many a staff has, by its name."""
    asked = (counts or {}).get(part.name)
    largest = _largest(part)
    names = _names(part, asked, largest)
    if len(names) < 2:
        return Shared((part,), _perhaps_two(part, largest) if asked is None else ())
    dealing = _Dealing(len(names))
    dealt = [dealing.bar(bar) for bar in part.bars]
    players = tuple(
        replace(
            part,
            name=name,
            bars=tuple(
                _bar(bar, events[player]) for bar, events in zip(part.bars, dealt, strict=True)
            ),
        )
        for player, name in enumerate(names)
    )
    return Shared(players, tuple(_unsaid(part, dealing.unsaid, len(names))))


def _names(part: Part, asked: int | None, largest: int) -> tuple[str, ...]:
    """The names of the players of a staff."""
    listed = players_named(part.name)
    if asked is not None:
        fits = len(listed) == asked
        return listed if fits else tuple(numbered(part.name, n + 1) for n in range(asked))
    if listed:
        return listed
    divided = any(_DIVIDED.fullmatch(word.text.strip()) for word in _words(part))
    shares = part.instrument.family in _ONE_NOTE or divided
    if shares and 2 <= largest <= MOST_PLAYERS:
        return tuple(numbered(part.name, number + 1) for number in range(largest))
    return (part.name,)


def _words(part: Part) -> Iterator[Direction]:
    return (one for bar in part.bars for one in bar.directions if one.kind == "words")


def _largest(part: Part) -> int:
    """The most notes that begin or sound together in any bar, in all voices."""
    return max((_together(bar) for bar in part.bars), default=0)


def _together(bar: Bar) -> int:
    notes = [
        (event.start, event.start + event.length, len(event.tones))
        for voice in bar.voices
        for event in voice.events
        if isinstance(event, Note) and not (event.cue or event.hidden)
    ]
    starts = {start for start, _, _ in notes}
    return max(
        (sum(count for low, high, count in notes if low <= at < high) for at in starts), default=0
    )


def _sounding(bar: Bar) -> list[Voice]:
    """The voices that have notes, from the top."""
    return [
        voice
        for voice in bar.voices
        if any(
            isinstance(event, Note) and not (event.cue or event.hidden) for event in voice.events
        )
    ]


def _sizes(voices: Sequence[Voice]) -> list[int]:
    return [
        max(len(event.tones) for event in voice.events if isinstance(event, Note))
        for voice in voices
    ]


class _Dealing:
    """Deals the notes of a staff to its players, bar by bar."""

    def __init__(self, count: int) -> None:
        self._count = count
        self._playing: tuple[int, ...] | None = None
        """Who plays a single line; None where the staff has not said it."""
        self.unsaid: list[str] = []
        """Numbers of bars with a single line of which nobody says whose it is."""

    def bar(self, bar: Bar) -> list[tuple[Event, ...]]:
        """For each player what they play in a bar."""
        said = self._said(bar)
        voices = _sounding(bar)
        if len(voices) > 1:
            return self._dealt(voices)
        if not voices:
            rests = bar.voices[0].events if bar.voices else ()
            return [rests] * self._count
        return self._one_voice(bar, voices[0], said)

    def _said(self, bar: Bar) -> list[tuple[Position, tuple[int, ...]]]:
        """Who plays from where on, as the words of a bar say."""
        found = []
        for word in bar.directions if bar.directions else ():
            who = self._who(word.text.strip()) if word.kind == "words" else None
            if who is not None:
                found.append((word.start, who))
        return found

    def _who(self, text: str) -> tuple[int, ...] | None:
        if _ALL.fullmatch(text):
            return tuple(range(self._count))
        if _FIRST.fullmatch(text):
            return (0,)
        number = _NUMBER.fullmatch(text)
        if number is None:
            return None
        player = int(number[1]) if number[1] else ("I", "II", "III", "IV").index(number[2]) + 1
        return (player - 1,) if 1 <= player <= self._count else None

    def _dealt(self, voices: Sequence[Voice]) -> list[tuple[Event, ...]]:
        """Several voices: to each as many players as its chords need, those left to the last."""
        sizes = _sizes(voices)
        while len(sizes) > self._count:
            sizes[-2:] = [sum(sizes[-2:])]
        shares = [1] * len(sizes)
        for index, size in enumerate(sizes):
            shares[index] += max(0, min(size - 1, self._count - sum(shares)))
        shares[-1] += self._count - sum(shares)
        found: list[tuple[Event, ...]] = []
        for index, share in enumerate(shares):
            events = voices[index].events
            for place in range(share):
                found.append(tuple(_own(event, place, share) for event in events))
        return found

    def _one_voice(
        self, bar: Bar, voice: Voice, said: Sequence[tuple[Position, tuple[int, ...]]]
    ) -> list[tuple[Event, ...]]:
        """One voice: chords are shared, a single line is for those who are said to play it."""
        coming = list(said)
        found: list[list[Event]] = [[] for _ in range(self._count)]
        for event in voice.events:
            while coming and coming[0][0] <= event.start:
                self._playing = coming.pop(0)[1]
            single = isinstance(event, Note) and len(event.tones) == 1
            if single and self._playing is None and bar.number not in self.unsaid:
                self.unsaid.append(bar.number)
            for player in range(self._count):
                plays = self._playing is None or player in self._playing or not single
                own = _own(event, player, self._count)
                found[player].append(own if plays else _rest_for(event))
        return [tuple(events) for events in found]


def _own(event: Event, place: int, players: int) -> Event:
    """What one of some players has of an event, counted from the top."""
    if not isinstance(event, Note):
        return event
    tones = sorted(event.tones, key=_height, reverse=True)
    last = len(tones) - 1
    if place == players - 1 and len(tones) > players:
        return replace(event, tones=tuple(tone for tone in event.tones if tone in tones[place:]))
    return replace(event, tones=(tones[min(place, last)],))


def _height(tone: Tone) -> float:
    return float(tone.midi) if isinstance(tone, Pitch) else 0.0


def _rest_for(event: Event) -> Event:
    return Rest(event.start, event.length, event.value, event.tuplets)


def _bar(bar: Bar, events: tuple[Event, ...]) -> Bar:
    """The bar with one player's notes; the words that told who plays are no longer needed."""
    words = tuple(word for word in bar.directions if not _tells_who(word))
    return replace(bar, voices=(Voice("1", events),) if events else (), directions=words)


def _tells_who(word: Direction) -> bool:
    text = word.text.strip()
    forms = (_ALL, _DIVIDED, _FIRST, _NUMBER)
    return word.kind == "words" and any(form.fullmatch(text) for form in forms)


def _unsaid(part: Part, bars: Sequence[str], count: int) -> Iterator[str]:
    """What is said of lines that may be one player's or everybody's."""
    if bars:
        more = " ..." if len(bars) > _BARS_TOLD else ""
        where = ", ".join(bars[:_BARS_TOLD]) + more
        yield (
            f'{part.name}: the staff does not say who plays its single line (no "a{count}", no '
            f'"1."; bar {where}); it is given to all {count}, though it may be for the first alone'
        )


def _perhaps_two(part: Part, largest: int) -> tuple[str, ...]:
    """What is said of chords that may be double stops or several players."""
    if largest < 2 or part.instrument.family != "strings":
        return ()
    return (
        f"{part.name} has up to {largest} notes at once: taken for one player's double stops; "
        f'--players "{part.name}={largest}" makes {largest} players of it',
    )
