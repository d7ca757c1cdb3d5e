"""Metronome numbers: the traditional series, a ladder up to the performing tempo, clicks.

The series is the traditional one of metronome scales, 40 to 208 in steps of 2,
3, 4, 6 and 8.  No standard fixes it; a full list is given in a post to the
Memphis horn list (www.mail-archive.com/horn@music.memphis.edu/msg29183.html),
the range 40 to 208 also in the Oxford Dictionary of Music.

Conventions.  A ladder counts the beat of the music.  Where half the performing
tempo lies below the series, it counts a part of the beat instead (eighths for
quarters), and where the performing tempo lies above, it counts twice the beat.
The last rung is always the performing tempo itself, on the scale or not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from drills.errors import UsageError
from drills.music.time import Length, NoteValue, TimeSignature

_STEPS: Final = ((40, 60, 2), (60, 72, 3), (72, 120, 4), (120, 144, 6), (144, 208, 8))

SERIES: Final = (40, *(n for low, high, step in _STEPS for n in range(low + step, high + 1, step)))
"""The 39 traditional metronome numbers."""

SLOWEST: Final = 10
FASTEST: Final = 600
"""Quarters a minute; a tempo beyond is a slip of the pen."""

CLICK_RANGE: Final = (Fraction(20), Fraction(250))
"""Clicks a minute that the usual electronic metronomes offer (common practice)."""

RUNGS: Final = 8
MOST_RUNGS: Final = len(SERIES)


@dataclass(frozen=True, slots=True)
class Tempo:
    """A tempo as the player counts it."""

    number: Fraction
    """Beats per minute."""
    beat: Length
    """What is counted, as a length, in the words of the score or of the player."""
    source: str = ""
    """Where it comes from: "bar 1 of the score", "--tempo", "assumed"."""
    assumed_from: str | None = None
    """The words of the score that ``number`` was assumed from, "" where it has none
    either; None where the number is not assumed."""

    @property
    def quarters_per_minute(self) -> Fraction:
        """The tempo in quarters a minute."""
        return self.number * self.beat.quarters

    def counted_in(self, beat: Length) -> Tempo:
        """The same tempo, counted in another length."""
        return replace(self, number=self.quarters_per_minute / beat.quarters, beat=beat)


ASSUMED: Final = Fraction(96)
"""Beats a minute where a score says nothing at all."""

TEMPO_WORDS: Final = {
    "larghetto": 63,
    "allegretto": 112,
    "andantino": 88,
    "prestissimo": 200,
    "largo": 50,
    "lento": 54,
    "grave": 44,
    "adagio": 66,
    "andante": 80,
    "moderato": 104,
    "allegro": 132,
    "vivace": 152,
    "presto": 176,
    "slow": 63,
    "medium": 112,
    "fast": 160,
    "ballad": 66,
    "march": 112,
    "waltz": 160,
}
"""Beats a minute assumed for a tempo in words only (common practice, ranges are
wide); the first word found counts, so diminutives stand before their stems."""


def tempo_in_words(text: str) -> Fraction:
    """The tempo assumed for words such as "Allegro ma non troppo"."""
    words = text.lower()
    return next((Fraction(n) for word, n in TEMPO_WORDS.items() if word in words), ASSUMED)


@dataclass(frozen=True, slots=True)
class ClickSetting:
    """What to set on a plain metronome, for each rung of a ladder."""

    words: str
    """"on beat 4 only", "every three sixteenths"."""
    numbers: tuple[Fraction, ...]
    """Clicks per minute, one for each rung."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """Metronome numbers from a slow tempo up to the performing tempo."""

    beat: NoteValue
    """The note value that the numbers count."""
    rungs: tuple[Fraction, ...]
    """Ascending; the last is the performing tempo."""
    clicks: tuple[ClickSetting, ...]
    ticks: int = 5
    """Boxes to tick at each rung, for correct repetitions in a row."""


def make_ladder(
    tempo: Tempo,
    time: TimeSignature,
    *,
    rungs: int = RUNGS,
    start: Fraction | None = None,
    value: Length | None = None,
) -> Ladder:
    """A ladder up to ``tempo``, with the clicks that fit ``time``.

    ``value`` is the value that runs through the passage; without it no click
    goes across the beat.  ``start`` is the slowest tempo in beats of ``time`` a
    minute; half the performing tempo unless given.  Raises UsageError for fewer
    than two rungs, a tempo out of bounds, and a start that is not below the
    performing tempo.
    """
    if not 2 <= rungs <= MOST_RUNGS:
        raise UsageError(f"a ladder has 2 to {MOST_RUNGS} rungs, not {rungs}")
    if not SLOWEST <= tempo.quarters_per_minute <= FASTEST:
        raise UsageError(
            f"a performing tempo of {shown(tempo.quarters_per_minute)} quarters a minute is out of "
            f"bounds; give one from {SLOWEST} to {FASTEST}"
        )
    top = tempo.counted_in(time.beat)
    low = top.number / 2 if start is None else start
    if not 0 < low < top.number:
        raise UsageError(
            f"the ladder cannot start at {shown(low)}; give a start below the performing tempo of "
            f"{shown(top.number)}"
        )
    beat = _counted(top, time, low)
    scale = top.beat / beat
    numbers = spread(low * scale, top.number * scale, rungs)
    counted = NoteValue.of(beat)
    if counted is None:
        raise UsageError(f"a beat of {beat} quarters has no note value; give --tempo for another")
    return Ladder(counted, numbers, _clicks(numbers, beat, time, value))


def spread(low: Fraction, high: Fraction, count: int) -> tuple[Fraction, ...]:
    """``count`` metronome numbers from ``low`` up to ``high``, evenly over the series.

    Fewer where the series has fewer between the two.  ``high`` itself is always
    the last, and where no number lies at or above ``low`` it is the only one.
    """
    between = [Fraction(n) for n in SERIES if low <= n < high]
    steps = [*between, high]
    if len(steps) <= count:
        return tuple(steps)
    last = len(steps) - 1
    picked = [_nearest_index(last * i, count - 1) for i in range(count)]
    return tuple(steps[i] for i in picked)


def _nearest_index(numerator: int, denominator: int) -> int:
    """numerator / denominator to the nearest whole number, halves up."""
    return (2 * numerator + denominator) // (2 * denominator)


def _counted(tempo: Tempo, time: TimeSignature, low: Fraction) -> Length:
    """The length that the ladder counts: the beat, or a part or multiple of it."""
    parts = 3 if NoteValue.of(tempo.beat, max_dots=0) is None else 2
    beat, number = tempo.beat, low
    while number < SERIES[0] and tempo.number * (tempo.beat / beat) * parts <= SERIES[-1]:
        beat, number = Length(beat.quarters / parts), number * parts
        parts = 2
    if tempo.number > SERIES[-1]:
        whole = [tempo.beat * times for times in (2, 3, time.beats) if time.beats % times == 0]
        for longer in (*whole, tempo.beat * 2):
            fits = tempo.number * (tempo.beat / longer) <= SERIES[-1]
            if fits and NoteValue.of(longer) is not None:
                return longer
    return beat


def _clicks(
    numbers: Sequence[Fraction], beat: Length, time: TimeSignature, value: Length | None
) -> tuple[ClickSetting, ...]:
    """What a plain metronome needs for clicks that help less than every beat.

    A kind of click is left out where no rung can be set for it.
    """
    settings = (
        ClickSetting(words, tuple(number * (beat / wanted) for number in numbers))
        for words, wanted in _click_lengths(time, value)
    )
    return tuple(one for one in settings if any(can_be_set(number) for number in one.numbers))


def can_be_set(clicks: Fraction) -> bool:
    """True for clicks a minute within what metronomes offer."""
    return CLICK_RANGE[0] <= clicks <= CLICK_RANGE[1]


def _click_lengths(time: TimeSignature, value: Length | None) -> list[tuple[str, Length]]:
    """Each kind of click with the length from one click to the next."""
    settings: list[tuple[str, Length]] = []
    if time.beats % 2 == 0 and time.beats > 2:
        settings.append((f"on beats {_even_beats(time.beats)} only", time.beat * 2))
    if time.beats > 1:
        settings.append((f"on beat {time.beats} only", time.bar_length))
    if value is not None:
        settings += _across(time.beat, value)
    return settings


def _across(beat: Length, value: Length) -> list[tuple[str, Length]]:
    """A click every few of the smallest value, so that it goes against the beat.

    Three where the beat has two or four parts, two of three parts, four of six:
    the click comes round with the beat after as many beats.
    """
    count = _ACROSS.get(beat / value)
    plain, triplet = (
        NoteValue.of(value, 0),
        NoteValue.of(Length(value.quarters * Fraction(3, 2)), 0),
    )
    if count is None or not (plain or triplet):
        return []
    name = _PLURALS[plain.kind] if plain else f"triplet {_PLURALS[triplet.kind]}" if triplet else ""
    return [(f"every {_COUNTS[count]} {name}", value * count)]


_ACROSS: Final = {Fraction(parts): n for parts, n in ((2, 3), (4, 3), (8, 3), (3, 2), (6, 4))}
"""Values from click to click, by the number of them in a beat."""
_COUNTS: Final = {2: "two", 3: "three", 4: "four"}
_PLURALS: Final = {
    "whole": "whole notes",
    "half": "halves",
    "quarter": "quarters",
    "eighth": "eighths",
    "16th": "sixteenths",
    "32nd": "thirty-seconds",
    "64th": "sixty-fourths",
}


def beats_named(beat: Length) -> str:
    """``dotted quarters``: what a tempo counts, as a player says it; "beats" if it has no name."""
    value = NoteValue.of(beat, 1)
    return f"{'dotted ' * value.dots}{_PLURALS[value.kind]}" if value else "beats"


def _even_beats(beats: int) -> str:
    even = [str(n) for n in range(2, beats + 1, 2)]
    return f"{', '.join(even[:-1])} and {even[-1]}"


def settable(clicks: Fraction) -> str:
    """Clicks a minute as a metronome is set: the nearest whole number, or a dash."""
    if not can_be_set(clicks):
        return "–"  # noqa: RUF001 - printed
    return str(_nearest_index(clicks.numerator, clicks.denominator))


def shown(number: Fraction) -> str:
    """A metronome number for print: whole, or with one decimal."""
    if number.denominator == 1:
        return str(number)
    return f"{float(number):.1f}".removesuffix(".0")
