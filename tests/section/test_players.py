"""Staves that several players share: each player gets exactly their notes.

What a score means by its words and voices is common practice of engraving; the scores are our
own, written by scripts that know who plays what.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from drills.instruments.player_names import numbered, players_named
from drills.jobs.gathering import gathered
from drills.jobs.request import Settings
from drills.jobs.section_players import section_parts
from drills.music.notes import Event, Note, Voice
from drills.music.pitch import Pitch
from drills.music.score import Direction, Instrument, Part
from drills.music.time import position
from drills.reading.limits import Limits
from drills.rewriting.players import players_of
from tests.music_made import bar_of, notes, part_of
from tests.section.band import STAVES, band, players

NAMED = {
    "Trombone 1, 2": ("Trombone 1", "Trombone 2"),
    "Horn 1, 2 in F": ("Horn 1 in F", "Horn 2 in F"),
    "Horns 1-4": ("Horn 1", "Horn 2", "Horn 3", "Horn 4"),
    "Flutes I & II": ("Flute I", "Flute II"),
    "Trumpets 1.2": ("Trumpet 1", "Trumpet 2"),
    "Oboe 1/2": ("Oboe 1", "Oboe 2"),
    "Bassoon 1 and 2": ("Bassoon 1", "Bassoon 2"),
    "Klarinette 1 und 2": ("Klarinette 1", "Klarinette 2"),
    "Flute 1, 2 (Piccolo)": ("Flute 1 (Piccolo)", "Flute 2 (Piccolo)"),
    "Horn 3+4 in E flat": ("Horn 3 in E flat", "Horn 4 in E flat"),
    "Clarinet 2": (),
    "Horn 1 in F": (),
    "Trombones": (),
    "Clarinet 2, 1": (),
    "Percussion 1-12": (),
    "Horns 3, 4 in F": ("Horn 3 in F", "Horn 4 in F"),
}


@pytest.mark.parametrize("name", NAMED)
def test_players_that_a_name_lists(name: str) -> None:
    assert players_named(name) == NAMED[name]


def test_names_of_players_where_the_staff_lists_none() -> None:
    assert numbered("Horns in F", 2) == "Horn 2 in F"
    assert numbered("Trombone", 1) == "Trombone 1"
    assert numbered("Clarinet 2", 1) == "Clarinet 2, player 1"
    assert numbered("Horn 1, 2 in F", 3) == "Horn 3 in F"


@pytest.fixture(name="score", scope="module")
def _score(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("band") / "band.musicxml"
    path.write_text(band(), encoding="utf-8")
    return path


def test_each_player_of_a_band_has_exactly_their_notes(score: Path) -> None:
    assert len(STAVES) >= 20
    read = section_parts(gathered([score], Limits()), ("1",), (), Settings())
    found = {read.parts[index].name: read.parts[index] for index in read.chosen}
    for name, line in players().items():
        assert sounding(found.pop(name)) == line, name
    assert not set(found) & {player for staff in STAVES for player, _ in staff.players if
                             not staff.drums and player != "Timpani"}  # fmt: skip


@pytest.mark.parametrize(
    ("names", "chosen"),
    [
        (("Trombone 2",), ["Trombone 2"]),
        (("horn 2 in f", "Tuba"), ["Horn 2 in F", "Tuba"]),
        (("Trombone 1", "Trombone 1, 2"), ["Trombone 1", "Trombone 2"]),
        (("Flute 2", "Flute 1"), ["Flute 1", "Flute 2"]),
    ],
)
def test_a_player_who_shares_a_staff_is_chosen_by_name(
    score: Path, names: tuple[str, ...], chosen: list[str]
) -> None:
    read = section_parts(gathered([score], Limits()), ("1",), names, Settings())
    assert [read.parts[index].name for index in read.chosen] == chosen
    assert len(read.parts) > len(STAVES)  # chords are read from all of them


def sounding(part: Part) -> tuple[str, ...]:
    """What sounds in each bar; "" for silence, more than one pitch joined."""
    moved = part.instrument.transposition
    return tuple(
        "+".join(
            str(moved.sounding(tone))
            for voice in bar.voices
            for event in voice.events
            if isinstance(event, Note)
            for tone in event.tones
            if isinstance(tone, Pitch)
        )
        for bar in part.bars
    )


def staff(name: str, *bars: str | tuple[str, str], family: str = "brass") -> Part:
    """A staff of bars of half notes with one voice, or two; "D4+F4" is a chord."""
    made = []
    for texts in bars:
        voices = [texts] if isinstance(texts, str) else list(texts)
        events = [_events(text) for text in voices]
        bar = bar_of(events[0], "4/4")
        made.append(
            replace(bar, voices=tuple(Voice(str(n), one) for n, one in enumerate(events, 1)))
        )
    return replace(part_of(made, name), instrument=Instrument(name, family))


def _events(text: str) -> tuple[Event, ...]:
    chords = [word.split("+") for word in text.split()]
    first = notes(" ".join(chord[0] for chord in chords), "half")
    return tuple(
        replace(event, tones=tuple(Pitch.parse(word) for word in chord))
        if isinstance(event, Note)
        else event
        for event, chord in zip(first, chords, strict=True)
    )


def words(part: Part, *said: tuple[int, str]) -> Part:
    """The part with words at the start of bars, or at the third beat of a bar from .5 on."""
    bars = list(part.bars)
    for bar, text in said:
        word = Direction(position(0), "words", text)
        bars[bar] = replace(bars[bar], directions=(*bars[bar].directions, word))
    return replace(part, bars=tuple(bars))


SHARED = {
    "chords from the top": (
        staff("Trombone 1, 2", "D4+F4 C4+E4"),
        {"Trombone 1": ("F4+E4",), "Trombone 2": ("D4+C4",)},
    ),
    "voices from the top": (
        staff("Trombone 1, 2", ("F4 E4", "D4 C4")),
        {"Trombone 1": ("F4+E4",), "Trombone 2": ("D4+C4",)},
    ),
    "a2": (
        words(staff("Trombone 1, 2", "F4 E4"), (0, "a2")),
        {"Trombone 1": ("F4+E4",), "Trombone 2": ("F4+E4",)},
    ),
    "the first alone, then both": (
        words(staff("Trombone 1, 2", "F4 E4", "D4 C4"), (0, "1."), (1, "a 2")),
        {"Trombone 1": ("F4+E4", "D4+C4"), "Trombone 2": ("", "D4+C4")},
    ),
    "the second alone": (
        words(staff("Trombone 1, 2", "F4 E4"), (0, "2.")),
        {"Trombone 1": ("",), "Trombone 2": ("F4+E4",)},
    ),
    "solo holds into the next bar": (
        words(staff("Trombone 1, 2", "F4 E4", "D4 C4"), (0, "solo")),
        {"Trombone 1": ("F4+E4", "D4+C4"), "Trombone 2": ("", "")},
    ),
    "three players on two notes": (
        staff("Trombone 1-3", "D4+F4 C4+E4"),
        {"Trombone 1": ("F4+E4",), "Trombone 2": ("D4+C4",), "Trombone 3": ("D4+C4",)},
    ),
    "three players in two voices": (
        staff("Trombone 1-3", ("F4+A4 E4+G4", "D4 C4")),
        {"Trombone 1": ("A4+G4",), "Trombone 2": ("F4+E4",), "Trombone 3": ("D4+C4",)},
    ),
    "a wind player with chords is several": (
        staff("Trombones", "D4+F4 C4+E4"),
        {"Trombone 1": ("F4+E4",), "Trombone 2": ("D4+C4",)},
    ),
    "divisi strings": (
        words(staff("Violin 1", "D4+F4 C4+E4", family="strings"), (0, "div.")),
        {"Violin 1, player 1": ("F4+E4",), "Violin 1, player 2": ("D4+C4",)},
    ),
    "double stops": (
        staff("Violin 1", "D4+F4 C4+E4", family="strings"),
        {"Violin 1": ("D4+F4+C4+E4",)},
    ),
    "a piano's chords": (
        staff("Piano", "D4+F4 C4+E4", family="keyboard"),
        {"Piano": ("D4+F4+C4+E4",)},
    ),
    "voices after one another are one player": (
        staff("Trombone", "F4 E4"),
        {"Trombone": ("F4+E4",)},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", SHARED)
def test_who_plays_what(name: str) -> None:
    part, wanted = SHARED[name]
    found = players_of(part)
    assert {one.name: sounding(one) for one in found.players} == wanted


def test_what_cannot_be_told_is_said_with_the_other_possibility() -> None:
    unsaid = players_of(staff("Trombone 1, 2", "F4 E4"))
    assert [sounding(one) for one in unsaid.players] == [("F4+E4",), ("F4+E4",)]
    assert "may be for the first alone" in unsaid.remarks[0]
    assert "bar 1" in unsaid.remarks[0]
    stops = players_of(staff("Violin 1", "D4+F4 C4+E4", family="strings"))
    assert '--players "Violin 1=2"' in stops.remarks[0]
    split = players_of(staff("Violin 1", "D4+F4 C4+E4", family="strings"), {"Violin 1": 2})
    assert [one.name for one in split.players] == ["Violin 1, player 1", "Violin 1, player 2"]
    assert not split.remarks
    one = players_of(staff("Trombones", "D4+F4 C4+E4"), {"Trombones": 1})
    assert [sounding(player) for player in one.players] == [("D4+F4+C4+E4",)]


def test_words_that_told_who_plays_are_gone_from_the_players() -> None:
    part = words(staff("Trombone 1, 2", "F4 E4"), (0, "a2"), (0, "dolce"))
    for player in players_of(part).players:
        assert [word.text for word in player.bars[0].directions] == ["dolce"]
