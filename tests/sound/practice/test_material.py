"""The section without the player, and the harmonies of the piece, along the spot."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import log10

import pytest

from drills.harmony.chord import Harmony
from drills.harmony.symbols import parse_chord
from drills.music.score import ChordSymbol
from drills.music.time import Position
from drills.sound.practice.choices import Material, PracticeChoices, Tuning
from drills.sound.practice.climb import Climb
from drills.sound.practice.events import Event, Tone
from drills.sound.practice.practice import Practice, make_practice
from tests.output.fixtures_time import ALTO, CLARINET, OBOE
from tests.sound.practice.music import SCALE, part_of, pickup, source_of, tones

F = Fraction
Number = Fraction | int
ONCE = Climb(rungs=1, repetitions=1, count_in=0, signal=False)
MINE = part_of(("4/4", f"G5/1 | {SCALE} | C5/2 D5/2 | E5/1"), name="Clarinet 1")
OTHER = part_of(
    ("4/4", "C5/1~ | C5/2 D5/4 E5/4 | F5/4 'B4/16' G5/4 A5/2 | B5/1"),
    instrument=ALTO,
    name="Alto saxophone",
)


def played(practice: Practice, voice: str) -> list[tuple[Number, Number, Number]]:
    return [(tone.quarters, tone.end_quarters, tone.key) for tone in tones(practice, voice)]


def section(**more: object) -> PracticeChoices:
    return replace(PracticeChoices(voices=("line", "section"), climb=ONCE), **more)  # type: ignore[arg-type]


def test_the_section_plays_the_same_stretch_at_sounding_pitch() -> None:
    """Bar 2 and the half note of bar 3: what the alto has there, a sixth lower than written.

    Its tied C is taken up where the spot begins, and its G is let go where it ends.
    """
    practice = make_practice(source_of(MINE, "2", others=(OTHER,)), section())
    assert played(practice, "section") == [
        (0, 2, 72 - 9), (2, 3, 74 - 9), (3, 4, 76 - 9),
        (4, 5 - F(1, 8), 77 - 9), (5 - F(1, 8), 5, 71 - 9), (5, 6, 79 - 9),
    ]  # fmt: skip
    assert practice.quarters == 8


def test_a_part_that_lacks_the_pickup_stays_in_step() -> None:
    """The player's part begins with a pickup that the other does not have."""
    mine = pickup("G5/4", "4/4", part_of(("4/4", f"{SCALE} | C5/1")))
    other = part_of(("4/4", "C4/2 D4/2 | E4/1"), instrument=OBOE, name="Oboe")
    practice = make_practice(source_of(mine, "0-1", others=(other,)), section())
    # the pickup's bar is counted in full: three silent quarters, then the G
    assert played(practice, "line")[:2] == [(3, 4, 77), (4, F(17, 4), 70)]
    assert played(practice, "section") == [(4, 6, 60), (6, 8, 62), (8, 12, 64)]


def test_a_bar_that_was_exported_short_does_not_move_what_follows() -> None:
    short = part_of(("4/4", "C4/2 D4/4 | E4/1 | F4/1"), instrument=OBOE, name="Oboe")
    mine = part_of(("4/4", f"{SCALE} | {SCALE} | C5/1"))
    practice = make_practice(source_of(mine, "1-2", others=(short,)), section())
    assert [(start, key) for start, _, key in played(practice, "section")] == [
        (0, 60), (2, 62), (4, 64), (8, 65)
    ]  # fmt: skip


def test_drills_have_no_section_and_say_so() -> None:
    source = source_of(MINE, "2", others=(OTHER,))
    both = make_practice(source, section(material=(Material.SPOT, Material.LINES)))
    assert both.remarks == ("the section plays along with the spot as it stands only",)
    spot, *drills = both.stages
    end = spot.start + spot.length
    assert all(tone.quarters < end.quarters for tone in tones(both, "section"))
    assert any(tone.quarters > end.quarters for tone in tones(both, "line"))
    assert len(drills) > 1


HARMONIES = (
    Harmony(F(0), F(6), parse_chord("F")),
    Harmony(F(6), F(8), parse_chord("G7")),
    Harmony(F(8), F(20), parse_chord("C")),
)


@pytest.mark.parametrize("tuning", Tuning)
def test_harmonies_are_cut_to_the_spot_and_held(tuning: Tuning) -> None:
    """Bar 2 begins 4 quarters into the piece; the spot is two bars long."""
    source = source_of(MINE, "2", harmonies=HARMONIES)
    chosen = PracticeChoices(voices=("bass", "chord"), tuning=tuning, climb=ONCE)
    practice = make_practice(source, chosen)
    assert played(practice, "bass") == [(0, 2, 53), (2, 4, 55), (4, 8, 48)]
    chord = played(practice, "chord")
    whole: list[tuple[Number, ...]] = [(start, end, round(key)) for start, end, key in chord]
    if tuning is Tuning.PURE:
        assert whole == [
            *((0, 2, key) for key in (60, 65, 69)),
            *((2, 4, key) for key in (62, 65, 67, 71)),
            *((4, 8, key) for key in (60, 64, 67)),
        ]
    else:  # what two chords have in common is held through
        assert whole == [
            *((0, 2, 60), (0, 4, 65), (0, 2, 69)),
            *((2, 4, 62), (2, 8, 67), (2, 4, 71)),
            *((4, 8, 60), (4, 8, 64)),
        ]
    tempered = all(key % 1 == 0 for *_, key in chord)
    assert tempered is (tuning is Tuning.EQUAL)


def test_a_chord_alone_has_its_bass() -> None:
    source = source_of(MINE, "2", harmonies=HARMONIES)
    practice = make_practice(source, PracticeChoices(voices=("chord",), climb=ONCE))
    assert played(practice, "chord")[0] == (0, 2, 53)
    assert not tones(practice, "bass")


def test_how_loud_notes_are_against_each_other() -> None:
    """Full on an accent, softer as a plain note or a drone, softer still as a grace note (our
    own choice: 2 and 3 decibels)."""
    part = part_of(("4/4", "C5/4 D5/4> 'B4/16' E5/2"))
    source = source_of(part, "1", harmonies=(Harmony(F(0), F(4), parse_chord("C")),))
    practice = make_practice(source, PracticeChoices(voices=("line", "chord"), climb=ONCE))

    def decibels(voice: str) -> list[float]:
        return [round(20 * log10(tone.level), 1) for tone in tones(practice, voice)]

    assert decibels("line") == [-1.9, 0.0, -3.1, -1.9]
    assert set(decibels("chord")) == {-1.9}


def test_drones_are_held_again_at_every_repetition() -> None:
    source = source_of(MINE, "2", harmonies=HARMONIES)
    twice = replace(ONCE, repetitions=2)
    practice = make_practice(source, PracticeChoices(voices=("bass",), climb=twice))
    assert [tone.quarters for tone in tones(practice, "bass")] == [0, 2, 4, 8, 10, 12]


def test_a_drill_with_chord_symbols_of_its_own_has_a_drone() -> None:
    """Written D7 on a B flat clarinet sounds C7."""
    source = source_of(MINE, "2")
    group = next(group for group in source.sheet.blocks if group.title.startswith("The whole"))
    drill = group.drills[0]
    symbols = (ChordSymbol(Position(F(0)), "D", "dominant"),)
    marked = replace(drill, bars=(replace(drill.bars[0], chords=symbols), *drill.bars[1:]))
    sheet = replace(source.sheet, blocks=(replace(group, drills=(marked,)),))
    practice = make_practice(
        replace(source, sheet=sheet),
        PracticeChoices((Material.LINES,), voices=("bass",), climb=ONCE),
    )
    events: list[Event] = list(practice.events())
    sounding: list[tuple[Number, Number]] = [
        (event.quarters, event.key) for event in events if isinstance(event, Tone)
    ]
    assert sounding == [(0, 48)]
    assert practice.remarks == ()


def test_written_pitch_is_moved_for_the_player() -> None:
    for instrument, key in ((CLARINET, 70), (ALTO, 63), (OBOE, 72)):
        part = part_of(("4/4", "C5/4 D5/4 E5/4 F5/4"), instrument=instrument)
        practice = make_practice(
            source_of(part, "1"), PracticeChoices(voices=("line",), climb=ONCE)
        )
        assert tones(practice)[0].key == key
