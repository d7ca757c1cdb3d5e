"""Numerals and functions in their key, as MusicXML 4.0 defines ``<numeral>`` and ``<function>``.

The examples are our own; what degree a key has is general theory.
"""

from __future__ import annotations

import pytest
from lxml import etree

from drills.music.time import position
from drills.reading.chords import read_chord

NUMERALS = {
    # fifths, mode, degree, alter -> root
    (0, "major", 5, 0): "G",
    (-3, "major", 4, 0): "Ab",
    (2, "major", 6, 0): "B",
    (0, "major", 2, -1): "Db",
    (0, "minor", 1, 0): "A",
    (-3, "minor", 6, 0): "Ab",
    (-3, "minor", 7, 0): "Bb",
    (-3, "harmonic minor", 7, 0): "B",
    (1, "melodic minor", 6, 0): "C#",
    (4, "major", 7, 0): "D#",
}


def harmony(inside: str, key: str = "<key><fifths>0</fifths></key>") -> etree._Element:
    measure = etree.fromstring(
        f"<measure><attributes>{key}</attributes><harmony>{inside}</harmony></measure>"
    )
    found = measure.find("harmony")
    assert found is not None
    return found


@pytest.mark.parametrize("place", NUMERALS)
def test_a_numeral_in_its_own_key(place: tuple[int, str, int, int]) -> None:
    fifths, mode, degree, alter = place
    symbol = read_chord(
        harmony(
            f"<numeral><numeral-root>{degree}</numeral-root><numeral-alter>{alter}</numeral-alter>"
            f"<numeral-key><numeral-fifths>{fifths}</numeral-fifths><numeral-mode>{mode}"
            "</numeral-mode></numeral-key></numeral><kind>dominant</kind>"
        ),
        position(0),
    )
    assert symbol is not None
    assert (symbol.root, symbol.kind) == (NUMERALS[place], "dominant")


FUNCTIONS = {"I": "Eb", "ii": "F", "V7": "Bb", "bVI": "Cb", "viio": "D", "IV6": "Ab"}


@pytest.mark.parametrize("text", FUNCTIONS)
def test_a_function_in_the_key_of_the_bar(text: str) -> None:
    symbol = read_chord(
        harmony(
            f"<function>{text}</function><kind>major</kind>",
            "<key><fifths>-3</fifths><mode>major</mode></key>",
        ),
        position(0),
    )
    assert symbol is not None
    assert symbol.root == FUNCTIONS[text]


@pytest.mark.parametrize(
    "inside",
    [
        "<function>V7/ii</function><kind>dominant</kind>",
        "<function>V7</function><kind>none</kind>",
        "<function>T</function><kind>major</kind>",
        "<numeral><numeral-root>9</numeral-root></numeral><kind>major</kind>",
        '<numeral><numeral-root>5</numeral-root></numeral><kind text="V?">other</kind>',
    ],
)
def test_what_cannot_be_read_is_left_to_the_notes(inside: str) -> None:
    assert read_chord(harmony(inside), position(0)) is None
