"""Any music of one voice, written in each format and read again, has the same attacks."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some

from drills.reading.musicxml import open_score, read_part
from drills.reading.source import Typed
from tests.reading.other.attacks import attacks_of, read_attacks
from tests.reading.other.writers import write_as

_BEATS = (
    "quarter {}",
    "eighths {} {}",
    "16ths {} {} {} {}",
    "dotted eighth {} 16th {}",
    "eighth triplets {} {} {}",
    "quintuplet 16ths {} {} {} {} {}",
    "septuplet 16ths {} {} {} {} {} {} {}",
    "eighth {} 16ths {} {}",
    "quarter r",
)
"""What may fill one quarter."""
_NOTES = tuple(f"{step}{sign}{octave}" for step in "cdefgab" for sign in ("", "#", "b")
               for octave in (3, 4, 5))  # fmt: skip


@some.composite
def music(draw: some.DrawFn) -> str:
    """Two bars of a metre in quarters, the second begun by a tie from the first."""
    count = draw(some.sampled_from((2, 3, 4)))
    words = [f"{count}/4"]
    for _ in range(2 * count):
        beat = draw(some.sampled_from(_BEATS))
        holes = beat.count("{}")
        words.append(beat.format(*draw(some.lists(some.sampled_from(_NOTES), min_size=holes,
                                                  max_size=holes))))  # fmt: skip
    tied = draw(some.sampled_from(_NOTES))
    words += [f"half {tied}-", f"quarter {tied}", "eighth c4+e4 r"]
    return " ".join(words) if count == 4 else " ".join([*words[:-3], "quarter c4"])


@pytest.mark.parametrize("kind", ["abc", "krn", "mei", "mid", "bars"])
@settings(max_examples=8, deadline=None, derandomize=True,
          suppress_health_check=[HealthCheck.function_scoped_fixture])  # fmt: skip
@given(text=music())
def test_the_same_attacks_come_back(kind: str, text: str, tmp_path: Path) -> None:
    part = read_part(open_score(Typed(text, "flute")))
    assert read_attacks(write_as(kind, part, tmp_path)) == attacks_of([part])
