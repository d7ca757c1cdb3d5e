"""Files that were damaged at random are read or refused in one line, never worse.

The files of the MusicXML test suite that music21 carries are changed in a few
places: texts and attributes replaced, elements taken out, doubled, renamed or
moved into each other, bytes overwritten.  The seeds are fixed, so that a failure
can be repeated.
"""

from __future__ import annotations

import random
from copy import deepcopy
from pathlib import Path

import music21
import pytest
from lxml import etree

from drills.errors import DrillsError
from drills.reading.musicxml import open_score, read_all

FOLDER = Path(music21.__file__).parent / "musicxml" / "lilypondTestSuite"
FILES = sorted(FOLDER.glob("*.xml"))
TEXTS = ("", "0", "-1", "1", "2", "99999", "1.5", "abc", "1e9", "C", "H", "whole", "eighth")
VALUES = (*TEXTS, "start", "stop", "yes", "no", "up", "down", "backward")
NAMES = ("print-object", "number", "type", "measure", "implicit", "size", "times", "id")


def damaged(dice: random.Random) -> bytes:
    root = etree.parse(dice.choice(FILES)).getroot()
    elements = list(root.iter(etree.Element))
    for _ in range(dice.choice((1, 2, 3, 6))):
        _damage(dice.choice(elements), elements, dice)
    data = bytearray(etree.tostring(root))
    if dice.random() < 0.1:
        for _ in range(dice.randrange(1, 5)):
            data[dice.randrange(len(data))] = dice.randrange(256)
    return bytes(data)


def _damage(element: etree._Element, elements: list[etree._Element], dice: random.Random) -> None:
    parent = element.getparent()
    match dice.randrange(7):
        case 0:
            element.text = dice.choice(TEXTS)
        case 1 if parent is not None and element in parent:
            parent.remove(element)
        case 2 if parent is not None:
            for _ in range(dice.choice((1, 2, 5))):
                element.addnext(deepcopy(element))
        case 3:
            element.set(dice.choice(NAMES), dice.choice(VALUES))
        case 4:
            element.tag = dice.choice(elements).tag
        case 5:
            element.append(deepcopy(dice.choice(elements)))
        case _:
            for child in list(element):
                element.remove(child)


@pytest.mark.parametrize("seed", range(8))
def test_damaged_files(tmp_path: Path, seed: int) -> None:
    dice = random.Random(seed)
    path = tmp_path / "score.musicxml"
    messages: list[str] = []
    for _ in range(60):
        path.write_bytes(damaged(dice))
        try:
            parts = read_all(open_score(path))
        except DrillsError as error:
            messages.append(str(error))
        else:
            assert all(part.bars for part in parts)
    assert 0 < len(messages) < 50
    assert all(message.startswith(str(path)) for message in messages)
    assert not any("\n" in message for message in messages)
