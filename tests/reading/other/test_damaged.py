"""Damaged files of every format: read, or refused with an error of the program, never else."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from drills.errors import DrillsError
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_all, read_part
from drills.reading.source import Typed
from tests.reading.other.writers import write_as

FILES = 25
"""Damaged files of each format."""
_BITS = b"|:()[]{}<>=*^~-!%&\"'\\/0123456789abcGZ \n\t\0\xff"


@pytest.mark.parametrize("kind", ["abc", "krn", "mei", "mid", "bars"])
def test_a_damaged_file_is_read_or_refused(kind: str, tmp_path: Path) -> None:
    text = "3/4 F major: 16ths c5- c5 (d5 e5.) triplets f5 g5 a5 quarter c5+e5 | half d5 quarter r"
    whole = write_as(kind, read_part(open_score(Typed(text, "flute"))), tmp_path).read_bytes()
    dice = random.Random(kind)
    path = tmp_path / "damaged"
    path.write_bytes(whole)
    assert read_all(open_score(path))
    refusals = []
    for _ in range(FILES):
        path.write_bytes(_damaged(whole, dice))
        try:
            read_all(open_score(path, Limits(notes=2_000, bars=200)))
        except DrillsError as error:
            refusals.append(str(error))
    assert all(str(path) in refusal for refusal in refusals)


def _damaged(data: bytes, dice: random.Random) -> bytes:
    """A few bytes changed, a piece doubled, taken out, or the end cut off."""
    found = bytearray(data)
    for _ in range(dice.randint(1, 4)):
        low = dice.randrange(len(found))
        high = min(len(found), low + dice.randint(1, 40))
        way = dice.randrange(4)
        if way == 0:
            found[low] = dice.choice(_BITS)
        elif way == 1:
            found[low:low] = found[low:high] * dice.randint(1, 3)
        elif way == 2 and len(found) > 60:
            del found[low:high]
        else:
            found[low:low] = bytes(dice.choice(_BITS) for _ in range(dice.randint(1, 6)))
    return bytes(found)
