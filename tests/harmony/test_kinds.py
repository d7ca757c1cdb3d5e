"""The table of kinds against the W3C schema and against music21's own list."""

from __future__ import annotations

import re
from itertools import product

import pytest
from lxml import etree
from music21 import harmony

from drills.harmony.chord import ChordTone
from drills.harmony.kinds import KINDS, tone_label, tone_of, tone_words
from tests.schema import schema_file


def kind_value() -> etree._Element:
    """The simple type ``kind-value`` of the W3C MusicXML 4.0 schema."""
    found = etree.parse(schema_file()).find("{*}simpleType[@name='kind-value']")
    assert found is not None
    return found


def test_the_kinds_are_those_of_the_schema() -> None:
    values = [value.get("value") for value in kind_value().iter("{*}enumeration")]
    assert len(values) == 33
    assert list(KINDS) == values
    assert all(kind.name == name for name, kind in KINDS.items())


INTERVALS = {
    "major second": "2",
    "minor third": "b3",
    "major third": "3",
    "perfect fourth": "4",
    "perfect fifth": "5",
    "diminished fifth": "b5",
    "augmented fifth": "#5",
    "added sixth": "6",
    "minor seventh": "b7",
    "major seventh": "7",
    "diminished seventh": "bb7",
    "major ninth": "9",
    "perfect 11th": "11",
    "major 13th": "13",
}
"""The schema's words for intervals above the root, in our labels."""
GROUPS = {
    "major triad": "major",
    "minor triad": "minor",
    "augmented triad": "augmented",
    "diminished triad": "diminished",
    "dominant-seventh": "dominant",
}
"""The schema's words for other kinds, where they are no names of kinds themselves."""


def spelled_in_schema() -> dict[str, set[str]]:
    """Kind -> labels, from the lines "minor-seventh (minor triad, minor seventh)"."""
    text = "".join(str(piece) for piece in kind_value().itertext())
    lines = dict(re.findall(r"^ +([A-Za-z0-9-]+) \(([^)\n]+)\)$", text, re.MULTILINE))

    def labels(kind: str) -> set[str]:
        found = {"R"}
        for piece in lines[kind].split(", "):
            other = GROUPS.get(piece, piece)
            if other in lines:
                found |= labels(other)
            elif other in INTERVALS:
                found.add(INTERVALS[other])
            else:
                assert other == "pedal-point bass", f"{other!r} is not understood"
        return found

    return {kind: labels(kind) for kind in lines}


def test_tones_are_what_the_schema_says() -> None:
    spelled = spelled_in_schema()
    assert len(spelled) == 26
    for name, labels in spelled.items():
        assert {tone_label(tone) for tone in KINDS[name].tones} == labels, name


DECIDED = {
    # An augmented sixth above the lowest tone, which is the written root: Ab C F#,
    # Ab C D F#, Ab C Eb F# (any textbook of harmony).
    "Italian": "R 3 #6",
    "French": "R 3 #4 #6",
    "German": "R 3 5 #6",
    # A major triad; that it is the lowered second is the key's affair.
    "Neapolitan": "R 3 5",
    # F B D# G#.
    "Tristan": "R #4 #6 #9",
    "other": "R",
    "none": "",
}
"""Kinds that the schema names without saying what is in them."""


def test_every_other_kind_is_decided() -> None:
    assert set(DECIDED) | set(spelled_in_schema()) == set(KINDS)
    for name, labels in DECIDED.items():
        assert " ".join(tone_label(tone) for tone in KINDS[name].tones) == labels


def test_semitones_against_music21() -> None:
    """music21 10 spells 26 kinds that the schema spells too; its names differ for three."""
    compared = 0
    for name in spelled_in_schema():
        degrees, _ = harmony.CHORD_TYPES[harmony.CHORD_ALIASES.get(name, name)]
        theirs = [degree.replace("-", "b") for degree in degrees.split(",")]
        ours = [tone_label(tone).replace("R", "1") for tone in KINDS[name].tones]
        assert ours == theirs, name
        compared += 1
    assert compared == 26


def test_tones_ascend_and_suffixes_differ() -> None:
    for kind in KINDS.values():
        assert list(kind.tones) == sorted(kind.tones)
        assert kind.words
    assert len({kind.suffix for kind in KINDS.values()}) == 33


@pytest.mark.parametrize(
    ("label", "semitones", "words"),
    [
        ("R", 0, "root"),
        ("2", 2, "major second"),
        ("b3", 3, "minor third"),
        ("3", 4, "major third"),
        ("4", 5, "perfect fourth"),
        ("#4", 6, "augmented fourth"),
        ("b5", 6, "diminished fifth"),
        ("5", 7, "perfect fifth"),
        ("#5", 8, "augmented fifth"),
        ("b6", 8, "minor sixth"),
        ("6", 9, "major sixth"),
        ("#6", 10, "augmented sixth"),
        ("bb7", 9, "diminished seventh"),
        ("b7", 10, "minor seventh"),
        ("7", 11, "major seventh"),
        ("b9", 13, "flat ninth"),
        ("9", 14, "ninth"),
        ("#9", 15, "raised ninth"),
        ("11", 17, "eleventh"),
        ("#11", 18, "raised eleventh"),
        ("b13", 20, "flat thirteenth"),
        ("13", 21, "thirteenth"),
        ("bb3", 2, "diminished third"),
        ("bb5", 5, "doubly diminished fifth"),
        ("##5", 9, "doubly augmented fifth"),
        ("bb9", 12, "doubly flat ninth"),
    ],
)
def test_labels_and_words(label: str, semitones: int, words: str) -> None:
    """Names of intervals and of chord tones: common practice."""
    tone = tone_of(label)
    assert (tone_label(tone), tone.semitones, tone_words(tone)) == (label, semitones, words)


def test_every_label_is_read_back_and_no_two_tones_sound_alike_in_words() -> None:
    tones = [ChordTone(number, alter) for number, alter in product(range(1, 14), range(-3, 4))]
    assert [tone_of(tone_label(tone)) for tone in tones] == tones
    assert len({tone_words(tone) for tone in tones}) == len(tones)


@pytest.mark.parametrize("label", ["", "0", "14", "b", "#b3", "3b", "bbbb7", "r"])
def test_what_is_no_label(label: str) -> None:
    with pytest.raises(ValueError, match="is not a tone"):
        tone_of(label)
