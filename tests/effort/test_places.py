"""The places that must come first: generated parts exactly, real ones as any player knows.

The real movements are those of the corpus that comes with music21 (Weber's concertino for
clarinet, and chorales of Bach with obbligato winds).  Nothing was fitted to them; each row
gives the reason why its place is the hard one, and where that is a matter of counting, the
test counts.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

import music21
import pytest

from drills.effort.demand import demand_of
from drills.effort.naming import notes_in, plain_words
from drills.effort.suggest import HardSpot, hard_spots
from drills.jobs.spots import Judging, Ranking, rank
from drills.music.score import Bar
from drills.places.finding import find_span
from drills.places.tempos import AskedTempo
from drills.reading.musicxml import open_score, read_part
from tests.effort.test_demand import slurred
from tests.music_made import bar_of, notes, part_of

CORPUS = Path(music21.__file__).parent / "corpus"
REST = bar_of(notes("r", "whole"))


@dataclass(frozen=True, slots=True)
class Made:
    """A part with known hard places."""

    name: str
    instrument: str
    quarters: int
    bars: tuple[Bar, ...]
    places: tuple[str, ...]
    """All of them, in order."""


def tune(*hard: tuple[int, Bar]) -> tuple[Bar, ...]:
    """Twenty-four bars of an easy tune, with other bars in some places (from 1)."""
    bars = [bar_of(notes(text, "quarter")) for text in ("G4 A4 G4 F4", "E4 F4 G4 r")] * 12
    for number, bar in hard:
        bars[number - 1] = bar
    return tuple(bars)


OVER_THE_BREAK = bar_of(slurred(notes("A4 B4 Bb4 C5 A4 C5 Bb4 B4 " * 2, "16th")))
BELL = bar_of(slurred(notes("Bb3 C#4 B3 C#4 Bb3 B3 C#4 Bb3", "eighth")))
SCALE = bar_of(slurred(notes("C4 D4 E4 D4 C4 D4 E4 F4", "eighth")))
TONGUED = bar_of(notes("G4 " * 16, "16th"))
SLURRED = bar_of(
    [event for n in range(4) for event in slurred(notes("G4 A4 G4 A4", "16th", Fraction(n)))]
)

GENERATED = (
    Made(
        "over the break",
        "clarinet",
        88,
        tune((6, OVER_THE_BREAK), (7, OVER_THE_BREAK), (15, OVER_THE_BREAK), (20, SCALE)),
        ("6-7", "15"),
    ),
    Made(
        "the bell keys", "alto saxophone", 96, tune((9, BELL), (10, BELL), (17, SCALE)), ("9-10",)
    ),
    Made(
        "a quick tongue",
        "trumpet",
        132,
        tune((5, TONGUED), (6, TONGUED), (13, SLURRED)),
        ("5-6", "13"),
    ),
)


@pytest.mark.parametrize("made", GENERATED, ids=lambda made: made.name)
def test_the_known_places_are_found_exactly(made: Made) -> None:
    tempo = AskedTempo(Fraction(made.quarters))
    found = hard_spots(demand_of(part_of(made.bars), instrument=made.instrument, tempo=tempo))
    assert tuple(spot.span.asked for spot in found) == made.places


@pytest.mark.parametrize("made", GENERATED, ids=lambda made: made.name)
def test_bars_of_rest_between_and_around_change_nothing_but_the_numbers(made: Made) -> None:
    """The easy tune has rests at the end of every second bar, into which bars are put."""
    tempo = AskedTempo(Fraction(made.quarters))
    rested = [REST]
    for number, bar in enumerate(made.bars, 1):
        rested += [bar, *([REST, REST] if number in (2, 12) else [])]
    plain, longer = (
        hard_spots(demand_of(part_of(bars), instrument=made.instrument, tempo=tempo))
        for bars in (made.bars, (*rested, REST))
    )
    assert [told(spot) for spot in plain] == [told(spot) for spot in longer]


def told(spot: HardSpot) -> tuple[range, float, object]:
    return spot.notes, spot.hardness, spot.easy


@dataclass(frozen=True, slots=True)
class Known:
    """A place of a real part that any player of it knows."""

    file: str
    part: str
    place: str
    """It must share notes with the first of the list (with one of its occurrences)."""
    why: str
    densest: bool = False
    """The reason is the number of attacks, and the place has a bar with the most of all."""


KNOWN = (
    Known(
        "weber/concertino_clarinet.mxl",
        "Bb Clarinet",
        "163-174",
        "the last variation's triplets, twelve bars without a rest, over and over across the break",
    ),
    Known(
        "bach/bwv248.64-6.mxl",
        "Trumpet 1",
        "7",
        "the arpeggio up to high D with leaps of an octave, in sixteenths",
    ),
    Known(
        "bach/bwv248.64-6.mxl",
        "Oboe 1",
        "8-12",
        "the longest run of sixteenths of the part",
    ),
    Known(
        "bach/bwv248.42-4.mxl",
        "Horn 2",
        "17-20",
        "octave leaps in eighths down to the low C",
    ),
    Known(
        "bach/bwv248.42-4.mxl",
        "Oboe 2",
        "42-44",
        "quick notes between B and C sharp, which is the break of the oboe",
    ),
    Known(
        "bach/bwv190.7-inst.mxl",
        "Trumpet 1",
        "23-24",
        "the highest of the interludes, up to the close partials",
        densest=True,
    ),
    Known(
        "bach/bwv79.3.mxl",
        "Horn 1",
        "26-31",
        "the long interlude in the middle, high and without a rest",
    ),
    Known(
        "bach/bwv171.6.mxl",
        "Trumpet 1",
        "4-5",
        "the fanfare, which has the only sixteenths of the part",
        densest=True,
    ),
    Known(
        "bach/bwv41.6.mxl",
        "Trumpet 1",
        "4-5",
        "the fanfare, which has the only sixteenths of the part",
        densest=True,
    ),
    Known(
        "bach/bwv248.9-1.mxl",
        "Trumpet 1,2",
        "14",
        "up to high D in sixteenths, past the closest partials",
    ),
    Known(
        "bach/bwv248.23-2.mxl",
        "Flutes",
        "10",
        "D to C sharp and back: seven fingers, in the quickest notes",
        densest=True,
    ),
    Known(
        "bach/bwv12.7.mxl",
        "Oboe",
        "10-14",
        "the longest chain of sixteenths, with the highest notes",
    ),
    Known(
        "bach/bwv91.6.mxl",
        "Horn 1",
        "9-10",
        "the only sixteenths of the part, in the high register",
        densest=True,
    ),
)
"""Common practice throughout: what a player sees who opens the part."""


@cache
def ranked(file: str, name: str) -> Ranking:
    part = read_part(open_score(CORPUS / file), name)
    return rank(part, Judging())


@pytest.mark.parametrize("known", KNOWN, ids=lambda known: f"{known.file} {known.part}")
def test_what_any_player_knows_comes_first(known: Known) -> None:
    ranking = ranked(known.file, known.part)
    judged, first = ranking.judged, ranking.spots[0]
    wanted = set(notes_in(judged.part, judged.line, find_span(judged.part, known.place)))
    places = (first.notes, *first.elsewhere)
    assert any(wanted & set(notes_of_one) for notes_of_one in places), first.span.asked
    if known.densest:
        attacks = Counter(demand.sound.origin.number for demand in judged.demands)
        bars = {judged.demands[index].sound.origin.number for index in wanted}
        assert max(attacks[bar] for bar in bars) >= 0.9 * max(attacks.values())


def test_there_are_enough_movements() -> None:
    assert len({known.file for known in KNOWN}) >= 11
    assert len({known.part.split()[0] for known in KNOWN}) >= 5


@pytest.mark.parametrize("known", KNOWN, ids=lambda known: f"{known.file} {known.part}")
def test_no_overlap_no_fraction_and_no_entry_twice(known: Known) -> None:
    ranking = ranked(known.file, known.part)
    seen: set[int] = set()
    for spot in ranking.spots:
        for notes_of_one in (spot.notes, *spot.elsewhere):
            assert seen.isdisjoint(notes_of_one)
            seen |= set(notes_of_one)
        for span in (spot.span, *spot.again, *spot.alike):
            for name in (span.asked, plain_words(ranking.judged.part, span)):
                assert "." not in name
                assert "/" not in name
