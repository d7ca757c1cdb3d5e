"""Two takes beside each other, bars on a recording, and the click that a take was made to."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from drills.jobs.take_click import against_click, click_beside, click_words
from drills.listening.bar_times import SteadyBeat, bar_times, own_beat
from drills.listening.comparing import compared
from drills.listening.judging import judge
from drills.listening.onsets import Attack
from drills.listening.played import Played, PlayedNote
from drills.listening.states import NOTE, WRONG
from drills.listening.verdict import Verdict
from drills.listening.wanted import Wanted, WantedNote

EIGHTHS = Wanted(
    tuple(WantedNote(n / 2, 0.5, 60 + n % 5, bar=n // 8) for n in range(16)), 0.5, ("33", "34")
)
"""Two bars of eighths, half a second a quarter."""


def played(
    late: dict[int, float], wrong: tuple[int, ...] = (), missed: int | None = None
) -> Played:
    """From the second 2.0 on; some notes are late by so many seconds, wrong or not there."""
    notes = tuple(
        PlayedNote(
            WRONG if n in wrong else NOTE,
            n,
            one.key + (n in wrong),
            2.0 + one.at * 0.5 + late.get(n, 0.0),
            2.2 + one.at * 0.5,
            Attack.TONGUED,
            0.1,
            0.0,
            1.0,
            0,
        )
        for n, one in enumerate(EIGHTHS.notes)
        if n != missed
    )
    return Played(notes, 0.0, 12.0, 0.95, room=False, echo=False, crowd=0.0)


def verdict(
    late: dict[int, float], wrong: tuple[int, ...] = (), missed: int | None = None
) -> Verdict:
    return judge(EIGHTHS, played(late, wrong, missed))


def test_what_has_become_better_and_what_has_not() -> None:
    found = compared(verdict({5: 0.09, 9: 0.09}, wrong=(3,)), verdict({9: 0.09}, missed=12))
    assert found is not None
    assert found.lines[0] == "right notes: 94 % before, 94 % now"
    assert found.lines[1] == "tempo: 120 quarters a minute before, 120 now"
    assert found.lines[3:] == (
        "better: note 4 (was wrong), note 6 (was late)",
        "new: note 13 (missed now)",
        "still there: note 10 (late)",
    )


def test_another_fault_at_the_same_note() -> None:
    found = compared(verdict({5: 0.09}), verdict({}, wrong=(5,)))
    assert found is not None
    assert found.lines[-1] == "still there: note 6 (was late, wrong now)"


def test_what_was_refused_is_not_compared() -> None:
    good = verdict({})
    assert compared(good, replace(good, refused="this is not the spot")) is None
    assert compared(good, replace(good, notes=good.notes[:4])) is None


def test_bars_begin_with_their_first_note_and_end_with_the_next_bar() -> None:
    first, second = bar_times(EIGHTHS, verdict({8: 0.05}))
    assert (first.number, first.begin, first.notes) == ("33", 2.0, (1, 8))
    assert first.end == second.begin == pytest.approx(4.05)
    assert (second.number, second.notes) == ("34", (9, 16))
    assert second.end == pytest.approx(2.0 + 8 * 0.5, abs=0.02)


def test_the_beat_of_the_player_is_a_straight_line() -> None:
    """y = a + b x by least squares; a late note in the middle turns it little."""
    beat = own_beat(EIGHTHS, verdict({7: 0.04}))
    assert beat is not None
    assert beat.quarter == pytest.approx(0.5, abs=0.001)
    assert beat.at(0) == pytest.approx(2.0, abs=0.01)
    assert own_beat(EIGHTHS, judge(EIGHTHS, replace(played({}), notes=()))) is None


def test_against_the_click_and_the_delay_of_the_device() -> None:
    """What is played 60 ms after the click is late; on a device that is 60 ms late, it is not."""
    due = SteadyBeat(1.94, 0.5)
    late = judge(EIGHTHS, played({}), (due.first, due.quarter))
    assert against_click(late) == pytest.approx(60)
    assert click_words(late) == "Against the click you are 60 ms late on average."
    with_it = judge(EIGHTHS, played({}), (due.first + 0.06, due.quarter))
    assert click_words(with_it).startswith("You are with the click")
    assert click_words(verdict({})) == ""


TOLD = {"begins": 1.5, "quarter": 0.5, "latency": 0.06}


@pytest.mark.parametrize(
    ("text", "beat"),
    [
        (json.dumps(TOLD), SteadyBeat(1.56, 0.5)),
        (json.dumps({**TOLD, "latency": None}), None),
        (json.dumps({**TOLD, "quarter": 1e9}), None),
        (json.dumps({**TOLD, "begins": True}), None),
        (json.dumps({**TOLD, "begins": float("nan")}), None),
        ("[]", None),
        ("nonsense", None),
        ("[" * 100_000, None),
        (" " * 200_000 + json.dumps(TOLD), None),
    ],
)
def test_what_stands_beside_a_recording(tmp_path: Path, text: str, beat: SteadyBeat | None) -> None:
    """Without a delay that was measured nothing is known of the click; nor from a stranger's file."""
    take = tmp_path / "take.wav"
    assert click_beside(take) is None
    take.with_suffix(".json").write_text(text)
    found = click_beside(take)
    assert (found is None) == (beat is None)
    if found is not None and beat is not None:
        assert found.first == pytest.approx(beat.first)
