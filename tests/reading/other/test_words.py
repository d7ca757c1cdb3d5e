"""Bars in plain words and in ABC: what they say, and what is said of a word that is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from drills.errors import ReadError, UsageError
from drills.music.notes import Note
from drills.music.pitch import Pitch, Transposition
from drills.music.score import Clef, Part
from drills.output.typed import unsaid, words_of
from drills.reading.musicxml import open_score, read_part
from drills.reading.source import Typed


def read(text: str, instrument: str = "") -> Part:
    return read_part(open_score(Typed(text, instrument)))


def told(part: Part) -> str:
    """Bars as ``start:pitch`` with lengths in quarters: "0 C5 1/4, 1/4 r 1/4 | ..."."""
    return " | ".join(
        ", ".join(
            f"{'+'.join(map(str, event.tones)) if isinstance(event, Note) else 'r'} {event.length}"
            for event in bar.voices[0].events
        )
        for bar in part.bars
    )


GOOD = (
    ("1/4: c4", "C4 1"),
    ("2/4 c4 d4", "C4 1, D4 1"),
    ("2/4: quarters c4 d4", "C4 1, D4 1"),
    ("2/4 half c4", "C4 2"),
    ("2/4 minim f#4", "F#4 2"),
    ("1/4: 16ths c5 bb4 c5 e5", "C5 1/4, Bb4 1/4, C5 1/4, E5 1/4"),
    ("1/4 sixteenths c5 b4 c5 e5", "C5 1/4, B4 1/4, C5 1/4, E5 1/4"),
    ("1/4 semiquavers cb5 b#4 c##5 ebb5", "Cb5 1/4, B#4 1/4, C##5 1/4, Ebb5 1/4"),
    ("1/4 dotted eighth c5 16th d5", "C5 3/4, D5 1/4"),
    ("1/4 dotted-eighth c5 16th d5", "C5 3/4, D5 1/4"),
    ("1/4 eighth triplets c5 d5 e5", "C5 1/3, D5 1/3, E5 1/3"),
    ("1/4 triplets: c5 d5 e5", "C5 1/3, D5 1/3, E5 1/3"),
    ("2/4 triplet quarters c5 d5 e5", "C5 2/3, D5 2/3, E5 2/3"),
    ("1/4 quintuplet 16ths c5 d5 e5 f5 g5", "C5 1/5, D5 1/5, E5 1/5, F5 1/5, G5 1/5"),
    ("3/8 eighths c5 d5 e5", "C5 1/2, D5 1/2, E5 1/2"),
    ("6/8 dotted quarters c5 r", "C5 3/2, r 3/2"),
    ("3+2/8 eighths c5 d5 e5 f5 g5", "C5 1/2, D5 1/2, E5 1/2, F5 1/2, G5 1/2"),
    ("2/4 quarter c4+e4+g4 rest", "C4+E4+G4 1, r 1"),
    ("2/4 half c4- c4", "C4 2 | C4 2"),
    ("2/4 quarters c4 d4 e4 f4", "C4 1, D4 1 | E4 1, F4 1"),
    ("3/4 quarter g4 | half c5 quarter d5", "G4 1 | C5 2, D5 1"),
    ("4/4 half c4", "C4 2, r 2"),
    ("1/4 C5", "C5 1"),
    ("M:2/4 L:1/8 K:F cBAB", "C5 1/2, Bb4 1/2, A4 1/2, Bb4 1/2"),
    ("[M:2/4][L:1/16][K:D] F2c2 (3def", "F#4 1/2, C#5 1/2, D5 1/6, E5 1/6, F#5 1/6"),
    ("M:2/4 L:1/8 K:C c>d e<f", "C5 3/4, D5 1/4, E5 1/4, F5 3/4"),
)
"""Text, and the notes with their lengths, worked by hand."""

BAD = (
    ("4/4 c5 h5", 'bar 1, word 3, "h5": h is no note here; B natural is b'),
    ("4/4 c5 fis5", 'bar 1, word 3, "fis5": write # or b for the accidental'),
    ("4/4 c5 d", 'bar 1, word 3, "d": has no octave; write d4 or d5'),
    ("4/4 c5 d12", 'bar 1, word 3, "d12": lies outside the octaves'),
    ("4/4 c5 banana", 'bar 1, word 3, "banana": is no note, length or bar line'),
    ("4/4 quarter dotted dotted dotted c5", 'word 2, "quarter dotted dotted dotted": says no'),
    ("2/4 c4 half d4", 'bar 1, word 4, "d4": does not fit: 2/4 holds 2 quarters, and 1 quarter is'),
    ("2/4 c4 d4 e4 | f4", 'bar 2, word 2, "|": bar 2 is not full'),
    ("2/4 c4 3/4 d4", 'bar 1, word 3, "3/4": a metre stands at the start of a bar'),
    ("5/7 c4", 'bar 1, word 1, "5/7": is no metre'),
    ("2/4 c4 F major d4", 'bar 1, word 3, "F": a key stands at the start of a bar'),
    ("G# major c4", "g# major has more than seven sharps"),
    ("2/4 c4- d4", 'bar 1, word 3, "d4": is tied from another pitch'),
    ("2/4 c4- r", "a rest cannot be tied to"),
    ("2/4 c4 d4-", "the last note is tied to nothing"),
    ("2/4 (c4 d4", 'bar 1: "(c4" opens a slur that no ) closes'),
    ("2/4 c4) d4", 'bar 1, word 2, "c4)": closes a slur that no ( opens'),
    ("4/4", "no notes; write, for example"),
    ("2/4 triplets c4 d4", "the last tuplet is not complete"),
    ("2/4 c4 [E] d4", 'bar 1, word 3, "[E]": a mark stands at the start of a bar'),
    ("M:2/4 L:1/8 K:C ccc q c", 'bar 1, word 2, "q": q is no sign of ABC'),
    ("M:2/4 L:1/4 K:C cd|efg|ab", 'bar 2, "efg": it lasts 3 quarters, its metre 2'),
)
"""Text, and the part of the message that points at the word."""


@pytest.mark.parametrize(("text", "notes"), GOOD)
def test_what_is_typed_is_read(text: str, notes: str) -> None:
    assert told(read(text)) == notes


@pytest.mark.parametrize(("text", "message"), BAD)
def test_an_error_points_at_the_word(text: str, message: str) -> None:
    with pytest.raises(UsageError) as raised:
        read(text)
    assert message in str(raised.value)
    assert str(raised.value).startswith("--notes: ")


def test_there_are_forty_bars_and_more() -> None:
    assert len(GOOD) + len(BAD) >= 40


@pytest.mark.parametrize("text", [text for text, _ in GOOD])
def test_what_was_understood_can_be_typed_again(text: str) -> None:
    part = read(text)
    assert unsaid(part) == ()
    again = read(" ".join(words_of(part)))
    assert told(again) == told(part)
    assert [bar.key for bar in again.bars] == [bar.key for bar in part.bars]


def test_the_instrument_sets_clef_and_transposition() -> None:
    clarinet, bassoon = read("1/4 c5", "clarinet"), read("K:C c2", "bassoon")
    assert clarinet.instrument.transposition == Transposition(-1, -2)
    assert bassoon.bars[0].clef == Clef("F", 4)
    with pytest.raises(UsageError, match="'theremin' is no instrument that is known"):
        read("1/4 c5", "theremin")


def test_what_is_printed_with_the_notes() -> None:
    part = read("2/4 Bb major: [E] eighths (c5. d5>) eb5 f5")
    first, second, *_ = part.bars[0].voices[0].events
    assert isinstance(first, Note)
    assert isinstance(second, Note)
    assert [sign.value for sign in (*first.articulations, *second.articulations)] == [
        "staccato",
        "accent",
    ]
    assert first.slur_starts == second.slur_stops != ()
    assert part.bars[0].marks[0].text == "E"
    assert part.bars[0].key.fifths == -2


def test_a_note_that_the_key_would_alter_is_told() -> None:
    part = read("1/4 F major: 16ths c5 b4 c5 e5")
    assert part.bars[0].voices[0].events[1].tones == (Pitch.parse("B4"),)  # type: ignore[union-attr]
    assert any("write bb4 for the other" in remark for remark in part.remarks)


def test_a_file_of_typed_bars(tmp_path: Path) -> None:
    path = tmp_path / "evening.bars"
    path.write_text(
        "# from the printed part\ntitle: Harbour Lights\ninstrument: horn in F\ntempo: 84\n\n"
        "3/4 F major: quarters c5 d5 e5 | f5 g5 a5\n"
    )
    score = open_score(path)
    part = read_part(score)
    assert (score.credits.title, part.instrument.name) == ("Harbour Lights", "Horn in F")
    assert part.bars[0].tempos[0].quarters_per_minute == 84
    path.write_text("instrument: horn\n3/4: c5 d5 e5 zz\n")
    with pytest.raises(ReadError, match=r'evening\.bars: bar 2, word 1, "zz"'):
        open_score(path)


def test_a_part_of_another_name_keeps_the_instrument_that_is_said(tmp_path: Path) -> None:
    path = tmp_path / "alto.bars"
    for notes in ("4/4: whole c5", "M:4/4 L:1/4 K:C cccc"):
        path.write_text(f"part: Alto 1\ninstrument: alto saxophone\n{notes}\n")
        part = read_part(open_score(path))
        assert (part.name, part.instrument.name) == ("Alto 1", "Alto saxophone")
