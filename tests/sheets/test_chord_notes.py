"""A player's spot in its chords: functions, symbols, the drill of held notes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import pytest

from drills.harmony.chord import Chord, Harmony, Source
from drills.harmony.symbols import parse_chord
from drills.music.notes import Note, Voice
from drills.music.pitch import CONCERT, Tone, Transposition
from drills.music.score import Part
from drills.places.finding import find_span
from drills.sheets.blocks import BlockKind
from drills.sheets.choices import Choices
from drills.sheets.chord_notes.names import remarks_beside
from drills.sheets.drill import Drill, DrillKind
from drills.sheets.making import CHORDS_TITLE, make_sheet
from drills.sheets.sheet import Sheet
from drills.sound.timeline import timeline
from tests.music_made import notes
from tests.section.made import B_FLAT, E_FLAT, part, symbols, with_bar

CHOICES = Choices(sizes=(2,), rhythms=())
TUNE = ["C5 D5 E5 G5", "F5 E5 D5 B4", "C5 C5 r r"]
FOR_B_FLAT = ["D5 E5 F#5 A5", "G5 F#5 E5 C#5", "D5 D5 r r"]
FOR_E_FLAT = ["A5 B5 C#6 E6", "D6 C#6 B5 G#5", "A5 A5 r r"]
"""The same sound, as instruments in B flat and in E flat read it."""


def chord(name: str, source: Source = Source.NOTES, certainty: str = "1") -> Chord:
    return replace(parse_chord(name), source=source, certainty=Fraction(certainty))


def row(*chords: Chord, each: int = 4) -> list[Harmony]:
    return [
        Harmony(Fraction(each * i), Fraction(each * (i + 1)), one) for i, one in enumerate(chords)
    ]


HARMONIES = row(chord("C"), chord("G7"), chord("C"))


def sheet(
    one: Part,
    at: str = "1-2",
    harmonies: Sequence[Harmony] | None = HARMONIES,
    choices: Choices = CHOICES,
) -> Sheet:
    return make_sheet(one, find_span(one, at), choices, harmonies=harmonies)


def labels(made: Sheet) -> list[str]:
    return [" ".join(f.label for f in tones) for tones in made.functions]


def chords_of(made: Sheet) -> Drill:
    (group,) = [group for group in made.blocks if group.kind is BlockKind.CHORDS]
    assert group.title == CHORDS_TITLE
    (drill,) = group.drills
    return drill


def held(drill: Drill) -> list[str]:
    return [
        "+".join(map(str, e.tones)) if isinstance(e, Note) else "r"
        for bar in drill.bars
        for e in bar.voices[0].events
    ]


def over(drill: Drill) -> list[str]:
    return [
        f"{symbol.root}{symbol.kind if symbol.kind != 'major' else ''} {symbol.remark}".strip()
        for bar in drill.bars
        for symbol in bar.chords
    ]


def test_without_harmonies_nothing_changes() -> None:
    plain = make_sheet(part("Flute", TUNE), find_span(part("Flute", TUNE), "1-2"), CHOICES)
    for nothing in (None, ()):
        made = sheet(part("Flute", TUNE), harmonies=nothing)
        assert made == plain
        assert made.functions == ()


def test_the_function_of_every_note_and_of_the_landing_note() -> None:
    """C | G7 | C: D passes between C and E, E between F and D; the line lands on C."""
    made = sheet(part("Flute", TUNE))
    assert labels(made) == ["R", "p", "3", "5", "b7", "p", "5", "3", "R"]


def test_notes_around_the_spot_tell_what_its_first_and_last_are() -> None:
    """G7 has no E: it comes from F before the spot and goes on to D after it."""
    made = sheet(
        part("Flute", ["C5 C5 E5 F5", "E5 D5 G5 E5", "D5 C5 r r"]),
        "2",
        row(chord("C"), chord("G7"), chord("G7")),
        replace(CHOICES, landing=False),
    )
    assert labels(made) == ["p", "5", "R", "n"]


@pytest.mark.parametrize(
    ("moved", "tune"),
    [
        (CONCERT, TUNE),
        (B_FLAT, FOR_B_FLAT),
        (E_FLAT, FOR_E_FLAT),
    ],
)
def test_functions_and_cents_are_the_same_for_every_transposition(
    moved: Transposition, tune: list[str]
) -> None:
    """The names over the notes are written for the player: C sounds where D, or A, is read."""
    made = sheet(part("Solo", tune, moved=moved))
    assert labels(made) == ["R", "p", "3", "5", "b7", "p", "5", "3", "R"]
    drill = chords_of(made)
    assert [(one.text, one.cents) for one in drill.under] == [("R", "0"), ("b7", "-4"), ("R", "0")]
    root = tune[0][0]
    assert over(drill)[0] == f"{root} from the notes"


def test_the_drill_has_a_bar_for_each_chord() -> None:
    drill = chords_of(sheet(part("Flute", TUNE)))
    assert held(drill) == ["C5", "F5", "C5"]
    assert over(drill) == ["C from the notes", "Gdominant", "C"]
    assert [bar.number for bar in drill.bars] == ["1", "2", "3"]
    assert all(str(bar.time) == "4/4" for bar in drill.bars)
    assert (drill.size, drill.ranges) == (3, ((1, 9),))


def test_the_note_that_sounds_longest_is_held() -> None:
    long = with_bar(
        part("Flute", TUNE),
        0,
        voices=(Voice("1", (*notes("E5", "half"), *notes("C5 G5", "quarter", Fraction(2)))),),
    )
    assert held(chords_of(sheet(long, "1", HARMONIES[:1])))[0] == "E5"


def test_alike_chords_with_the_same_note_are_one() -> None:
    still = part("Flute", ["C5 C5 C5 C5", "C5 C5 C5 C5", "C5 C5 r r"])
    drill = chords_of(sheet(still, "1-3", row(chord("C"), chord("C"), chord("F"))))
    assert held(drill) == ["C5", "C5"]
    assert over(drill) == ["C from the notes", "F"]


def test_silence_inside_is_a_bar_of_rest_and_none_at_the_ends() -> None:
    gaps = part("Flute", ["C5 C5 C5 C5", "r r r r", "C5 D5 r r"])
    names = row(chord("C"), chord("G7"), chord("F"))
    assert held(chords_of(sheet(gaps, "1-3", names))) == ["C5", "r", "C5"]
    assert held(chords_of(sheet(gaps, "2-3", names))) == ["C5"]


def test_both_notes_of_a_divided_part_are_held() -> None:
    """Two tones in one note, both of the chord; with cents and functions for each."""
    (low, *rest) = notes("C5 C5 C5 C5", "quarter")
    assert isinstance(low, Note)
    both = replace(low, tones=(*low.tones, *notes_of("E5")))
    divided = with_bar(part("Flute", TUNE), 0, voices=(Voice("1", (both, *rest)),))
    made = sheet(divided, "1@1-1@2", HARMONIES)
    assert labels(made)[0] == "R 3"
    assert held(chords_of(made)) == ["C5+E5"]
    assert [(one.text, one.cents) for one in chords_of(made).under] == [("R, 3", "0, -14")]


def notes_of(text: str) -> tuple[Tone, ...]:
    (one,) = notes(text, "quarter")
    assert isinstance(one, Note)
    return one.tones


# --- names beside the music ---------------------------------------------------------


def test_the_excerpt_gets_the_symbols_that_the_part_does_not_print() -> None:
    made = sheet(part("Clarinet in B flat", TUNE, moved=B_FLAT))
    found = [
        (bar.number, str(symbol.start), symbol.root, symbol.kind, symbol.remark)
        for bar in made.excerpt.bars
        for symbol in bar.chords
    ]
    assert found == [
        ("1", "0", "D", "major", "from the notes"),
        ("2", "0", "A", "dominant", ""),
        ("3", "0", "D", "major", ""),
    ]


def test_symbols_of_the_part_stay_as_they_are() -> None:
    printed = symbols(part("Flute", TUNE), {0: "C", 1: "G", 2: "C"})
    names = row(*(chord(name, Source.SYMBOL) for name in ("C", "G", "C")))
    made = sheet(printed, harmonies=names)
    assert [bar.chords for bar in made.excerpt.bars] == [bar.chords for bar in printed.bars]
    assert over(chords_of(made)) == ["C", "G", "C"]
    assert made.remarks == ()


def test_what_the_player_says_takes_the_place_of_what_is_printed() -> None:
    printed = symbols(part("Flute", TUNE), {0: "C", 1: "G", 2: "C"})
    names = row(chord("C", Source.SYMBOL), chord("Bdim", Source.PLAYER), chord("C", Source.SYMBOL))
    made = sheet(printed, harmonies=names)
    second = made.excerpt.bars[1].chords
    assert [(one.root, one.kind, one.remark) for one in second] == [
        ("B", "diminished", "as you said")
    ]
    assert "as you said: Bdim" in made.remarks


def test_a_chord_that_began_before_stands_at_the_start() -> None:
    made = sheet(part("Flute", TUNE), "1@3-2", HARMONIES)
    assert [(str(s.start), s.root) for s in made.excerpt.bars[0].chords] == [("0", "C")]


def test_certainty_is_said_in_words() -> None:
    sure = sheet(part("Flute", TUNE))
    assert sure.remarks[-1] == "chords are read from the notes of all parts, with good certainty"
    names = row(chord("C"), chord("G7", certainty="1/4"), chord("C"))
    made = sheet(part("Flute", TUNE), harmonies=names)
    assert made.remarks[-1] == "chords are read from the notes of all parts; uncertain: G7"
    assert over(chords_of(made)) == ["C from the notes", "Gdominant ?", "C"]


@pytest.mark.parametrize(
    ("certainty", "remark"), [("3/4", "from the notes"), ("74/100", "from the notes?")]
)
def test_less_than_three_quarters_is_uncertain(certainty: str, remark: str) -> None:
    assert remarks_beside([chord("F", certainty=certainty)]) == [remark]


def test_uncertain_chords_are_named_as_the_player_reads_them() -> None:
    names = row(chord("C"), chord("G7", certainty="1/4"), chord("C"))
    made = sheet(part("Clarinet in B flat", FOR_B_FLAT, moved=B_FLAT), harmonies=names)
    assert made.remarks[-1] == "chords are read from the notes of all parts; uncertain: A7"


def test_remarks_stand_where_they_begin_to_hold() -> None:
    unsure = chord("F", certainty="70/100")
    found = remarks_beside(
        [
            unsure,
            chord("C"),
            unsure,
            chord("C", Source.PLAYER),
            chord("C", Source.SYMBOL),
            chord("C"),
        ]
    )
    assert found == ["from the notes?", "", "?", "as you said", "", "from the notes"]


# --- the other outputs -----------------------------------------------------------------


def test_the_timeline_plays_the_chords_after_the_other_drills() -> None:
    made = sheet(part("Clarinet in B flat", FOR_B_FLAT, moved=B_FLAT))
    last = timeline(made, made.tempo).drills[-1]
    assert last.drill.kind is DrillKind.CHORD
    assert [sound.length.quarters for sound in last.sounds] == [4, 4, 4]
    assert [key for sound in last.sounds for key in sound.keys] == [72, 77, 72]
