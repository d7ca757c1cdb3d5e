"""Pieces of the verdict against values worked out by hand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import drills
from drills.errors import UsageError
from drills.listening.clicks import Click, laid_click
from drills.listening.judging import judge
from drills.listening.known import known_to
from drills.listening.onsets import Attack
from drills.listening.plan import shift_of
from drills.listening.played import Played, PlayedNote
from drills.listening.repeats import times_through
from drills.listening.room import Tail
from drills.listening.rung import Rung
from drills.listening.spectra import Floats
from drills.listening.states import NOTE, WRONG
from drills.listening.swung import ratio_of, swung_place, swung_share, written_share
from drills.listening.tempo import Curve, fit_beat
from drills.listening.thresholds import THRESHOLDS, USUAL
from drills.listening.tuning import cents_of
from drills.listening.wanted import Wanted, WantedNote


def test_a_steady_beat_with_one_late_note() -> None:
    """Half a second a quarter; the one late note is told, the others are not moved by it."""
    at = np.arange(12.0)
    seconds = 1.0 + 0.5 * at
    seconds[6] += 0.04
    fit = fit_beat(at, seconds, at, 0.6, reach=14)
    late = seconds - fit.due
    assert late[6] == pytest.approx(0.04, abs=0.006)
    assert np.max(np.abs(np.delete(late, 6))) < 0.006
    assert np.median(fit.pace) == pytest.approx(0.5, rel=0.02)


def test_spread_of_an_uneven_hand() -> None:
    """Attacks with a normal deviation of 8.1 ms: expert scales at the piano (Jabusch 2006)."""
    rng = np.random.default_rng(2)
    at = np.arange(400) / 4
    seconds = at * 0.5 + rng.normal(0, 0.0081, 400)
    fit = fit_beat(at, seconds, at, 0.5, reach=30)
    assert np.std(seconds - fit.due) == pytest.approx(0.0081, abs=0.001)


@pytest.mark.parametrize(("hertz", "cents"), [(442.0, 7.85), (443.0, 11.76), (435.0, -19.79)])
def test_cents(hertz: float, cents: float) -> None:
    """1200 log2(f / 440)."""
    time = np.arange(22_050) / 22_050
    sound = sum(0.6**h * np.sin(2 * np.pi * h * hertz * time) for h in range(1, 7))
    found = cents_of(np.asarray(sound, dtype=np.float32), 22_050, 0.1, 0.9, 440.0)
    assert found is not None
    assert found[0] == pytest.approx(cents, abs=1.0)
    assert cents_of(np.asarray(sound, dtype=np.float32), 22_050, 0.1, 0.2, 440.0) is None


def _tone(cents: Curve, hertz: float = 440.0) -> Floats:
    """Six partials whose frequency lies so many cents beside ``hertz`` at each sample."""
    phase = 2 * np.pi * np.cumsum(hertz * 2 ** (cents / 1200)) / 22_050
    return np.asarray(sum(0.6**h * np.sin(h * phase) for h in range(1, 7)), dtype=np.float32)


@pytest.mark.parametrize("seconds", [0.16, 0.21, 0.27, 0.4])
def test_cents_of_a_vibrato_are_its_mean(seconds: float) -> None:
    """15 cents to either side, 5.5 a second: a short note has a part of it, whose mean is told."""
    time = np.arange(22_050) / 22_050
    cents = 15 * np.sin(2 * np.pi * 5.5 * (time - 0.3))
    note = (time > 0.3 + 0.03) & (time < 0.3 + seconds - 0.03)
    found = cents_of(_tone(cents), 22_050, 0.3, 0.3 + seconds, 440.0)
    assert found is not None
    assert found[0] == pytest.approx(cents[note].mean(), abs=3.0)


def test_cents_are_those_of_the_tone_and_not_of_the_one_before() -> None:
    """A tone a fifth lower still sounds for 60 ms."""
    time = np.arange(22_050) / 22_050
    before = _tone(np.zeros(22_050), 293.7) * np.clip((0.36 - time) / 0.02, 0, 1)
    sound = _tone(np.full(22_050, 12.0)) * (time > 0.3) + 0.7 * before
    found = cents_of(np.asarray(sound, dtype=np.float32), 22_050, 0.3, 0.55, 440.0)
    assert found is not None
    assert found[0] == pytest.approx(12.0, abs=3.0)


def test_nothing_is_said_of_a_pitch_under_noise() -> None:
    noise = np.random.default_rng(1).normal(size=22_050)
    sound = np.asarray(0.2 * _tone(np.zeros(22_050)) + noise, dtype=np.float32)
    assert cents_of(sound, 22_050, 0.1, 0.6, 440.0) is None


def test_what_a_room_holds_is_taken_off() -> None:
    """An exponential tail after a tone: 60 dB a second, a tenth of the energy at 60 ms."""
    step, fall = 0.006, 60.0
    tail = Tail(0.1, fall)
    energy = np.zeros(120)
    keep = 10 ** (-fall * step / 10)
    gain = 0.1 / (keep**10 * (1 - keep ** (0.2 / step)) / (1 - keep))
    held = 0.0
    for n in range(120):
        direct = 1.0 if n < 60 else 0.0
        energy[n] = direct + held
        held = keep * (held + gain * direct)
    found = tail.follow(energy[:, None], step)[:, 0]
    assert found[70] < 0.1 * energy[70]
    assert np.median(found[40:58]) == pytest.approx(1.0, abs=0.15)


def test_where_a_recording_begins_on_its_plan() -> None:
    rung = Rung("x", 60.0, "60", 0.0, (4.0, 12.0, 20.0), 28.0)
    assert shift_of([rung], [1.51, 9.49, 17.5], 0.0) == pytest.approx(-2.5, abs=0.02)


@pytest.mark.parametrize(
    ("ms", "uncertain", "apart", "call"),
    [
        (25.0, 0.0, 0, ""),
        (27.0, 3.0, 0, ""),
        (29.0, 3.0, 0, "late"),
        (29.0, 6.0, 0, ""),
        (-32.0, 6.0, 0, "early"),
        # 2.5 % of the interval from the note before: 1.6 s give 40 ms
        (42.0, 3.0, 1600, ""),
        (44.0, 3.0, 1600, "late"),
    ],
)
def test_what_is_called_late(ms: float, uncertain: float, apart: float, call: str) -> None:
    """Over 25 ms by more than the attack is known to; unknown is in time."""
    assert USUAL.called_late(ms, uncertain, apart) == call
    assert USUAL.called_late(None, uncertain, apart) == ""


@pytest.mark.parametrize(
    ("spread", "uncertain", "call"),
    [(21, 3, True), (21, 21, False), (23, 21, True), (19, 0, False)],
)
def test_what_is_called_uneven(spread: float, uncertain: float, *, call: bool) -> None:
    """20 ms of the player and 21 / 1.96 ms of the ear spread by 22.7 ms together."""
    assert USUAL.called_uneven(spread, uncertain) == call


def test_every_threshold_has_a_source() -> None:
    text = (Path(drills.__file__).parents[1] / "docs" / "listening.md").read_text("utf-8")
    for name, row in THRESHOLDS.items():
        assert row.value > 0
        assert row.source
        assert f"| `{name}` | {row.value:g} {row.unit} |" in text, name


@pytest.mark.parametrize("text", ["0", "-3", "x", "nan", "1e9"])
def test_thresholds_that_are_none(text: str) -> None:
    with pytest.raises(UsageError, match="late"):
        USUAL.with_values({"late": text})
    with pytest.raises(UsageError, match="no threshold is called 'loud'"):
        USUAL.with_values({"loud": "3"})


@pytest.mark.parametrize(("swing", "share"), [(1.0, 0.5), (2.0, 2 / 3), (3.0, 0.75)])
def test_swung_places(swing: float, share: float) -> None:
    """An offbeat at 2:1 comes after two thirds of the beat, at 3:1 after three quarters."""
    assert swung_share(0.5, swing) == pytest.approx(share)
    for inside in (0.0, 0.2, 0.5, 0.7, 0.99):
        assert written_share(swung_share(inside, swing), swing) == pytest.approx(inside)
    places = [n / 2 for n in range(9)]
    seconds = [int(at) + swung_share(at % 1, swing) for at in places]
    found = ratio_of(places, seconds, [0.004] * 9)
    assert found is not None
    assert found.value == pytest.approx(swing)
    assert ratio_of(places[:5], seconds[:5], [0.004] * 5) is None


def test_what_a_ratio_is_known_to() -> None:
    """2:1 in beats of half a second, attacks told to 6 ms nineteen times in twenty: with
    s = 2 / 3 the ratio moves by 1 / (1 - s)^2 = 9 for each share of the beat."""
    rng = np.random.default_rng(5)
    places = np.arange(33) / 2
    true = np.floor(places) + (places % 1) * 4 / 3
    misses = []
    for _ in range(200):
        found = ratio_of(
            places.tolist(), (0.5 * true + rng.normal(0, 0.003, 33)).tolist(), [0.006] * 33
        )
        assert found is not None
        misses.append(abs(found.value - 2.0) / found.uncertain)
        assert 0.02 < found.uncertain < 0.08
    assert np.mean(np.array(misses) < 1.0) > 0.9


def test_a_ratio_that_is_not_known_is_not_told() -> None:
    """3.4:1 at 200 a minute in a room: 17 beats that share one error of 5 ms and more."""
    places = np.arange(33) / 2
    seconds = [0.3 * swung_place(place, 3.4) for place in places]
    for ear, known in ((0.025, False), (0.003, True)):
        found = ratio_of(places.tolist(), seconds, [ear] * 33)
        assert found is not None
        assert found.known == known


def test_one_beat_that_was_another_rhythm_says_little() -> None:
    """Sums of the eighths of eleven beats at 2:1 and of one at 1:2."""
    places = np.arange(25) / 2
    seconds = [0.5 * swung_place(place, 2.0) for place in places]
    seconds[11] -= 0.5 / 3
    found = ratio_of(places.tolist(), seconds, [0.003] * 25)
    assert found is not None
    assert found.value == pytest.approx(2.0, abs=0.05)


def _take(
    places: Sequence[float], length: float, move: Callable[[int], float] = lambda _: 0.0
) -> tuple[Wanted, Played]:
    """Notes of one length at half a second a quarter, each moved by so many seconds."""
    wanted = Wanted(tuple(WantedNote(at, length, 60, share=at % 1) for at in places), 0.5, ("1",))
    notes = tuple(
        PlayedNote(
            kind=NOTE,
            note=n,
            key=60,
            at=1 + at / 2 + move(n),
            end=1 + at / 2 + 0.9 * length / 2,
            attack=Attack.CHANGED,
            spread=0.002,
            fit=0.1,
            cents=0.0,
            unsteady=1.0,
            run=0,
        )
        for n, at in enumerate(places)
    )
    return wanted, Played(notes, 0.0, 9.0, 1.0, room=False, echo=False, crowd=0.0)


def test_evenness_is_that_of_groups_of_equal_values() -> None:
    """A tempo that drifts is even, and so is a line with one late note; a limp is not."""
    places = [n / 4 for n in range(17)]
    drifting = judge(*_take(places, 0.25, lambda n: 0.0004 * n * n))
    one_late = judge(*_take(places, 0.25, lambda n: 0.05 * (n == 7)))
    limping = judge(*_take(places, 0.25, lambda n: 0.025 * (-1) ** n))
    for verdict, low, high in ((drifting, 0, 2), (one_late, 0, 8), (limping, 20, 50)):
        assert verdict.timing is not None
        assert low <= verdict.timing.evenness <= high
        assert [(g.first, g.last) for g in verdict.timing.groups] == [(1, 17)]
    assert [note.number for note in one_late.notes if note.timed] == [8]


@pytest.mark.parametrize("share", [0.12, 0.06, -0.1])
def test_a_short_run_says_how_its_tempo_bent(share: float) -> None:
    """A tempo that changes evenly by a share over four quarters: the first and the last quarter
    of the notes lie three quarters of it apart.  In the other case it is steady."""
    places = [n / 4 for n in range(17)]
    bent = judge(*_take(places, 0.5, lambda n: -share / 4 / 2 * 0.5 * (n / 4) ** 2)).timing
    even = judge(*_take(places, 0.5, lambda n: 0.008 * (-1) ** (n * n // 3))).timing
    assert bent is not None
    assert even is not None
    assert bent.first / bent.last == pytest.approx(1 - 0.75 * share, abs=0.012)
    assert even.first / even.last == pytest.approx(1, abs=0.02)


@pytest.mark.parametrize(("fit", "call"), [(0.3, "right"), (0.58, "unclear")])
def test_a_trace_of_a_note_may_be_the_end_of_the_one_before(fit: float, call: str) -> None:
    """Thirty milliseconds before a silence; what fits well was played all the same."""
    wanted, played = _take([n / 2 for n in range(10)], 0.5)
    trace = replace(played.notes[4], end=played.notes[4].at + 0.03, fit=fit)
    notes = (*played.notes[:4], trace, *played.notes[5:])
    assert judge(wanted, replace(played, notes=notes)).notes[4].call == call


@pytest.mark.parametrize(("key", "call"), [(38, "unclear"), (62, "wrong")])
def test_a_low_tone_of_few_periods_is_not_told_from_its_neighbours(key: int, call: str) -> None:
    """Fifty milliseconds are 3.7 periods of a tuba's D2 (73.4 Hz) and 14.7 of D4 (293.7 Hz)."""
    wanted, played = _take([n / 2 for n in range(10)], 0.5)
    other = replace(played.notes[4], kind=WRONG, key=key, end=played.notes[4].at + 0.05)
    notes = (*played.notes[:4], other, *played.notes[5:])
    assert judge(wanted, replace(played, notes=notes)).notes[4].call == call


@pytest.mark.parametrize(("crowd", "call"), [(0.0, "right"), (0.07, "unclear")])
def test_where_others_sound_what_is_off_the_beat_may_be_theirs(crowd: float, call: str) -> None:
    """One note 150 ms late, and two at the end of a run of their own, as another player's are."""
    wanted, played = _take([n / 2 for n in range(14)], 0.5, lambda n: 0.15 * (n == 7))
    notes = tuple(replace(one, run=int(one.note > 11)) for one in played.notes)
    verdict = judge(wanted, replace(played, notes=notes, crowd=crowd))
    assert [n.number for n in verdict.notes if n.call != call] == (
        [n for n in range(1, 13) if n != 8] if call == "unclear" else []
    )
    assert all((n.late is None) == (call == "unclear" or n.number > 12) for n in verdict.notes)
    assert verdict.doubt == ("others" if crowd else "")


@pytest.mark.parametrize(("crowd", "why"), [(0.0, "this is not the spot"), (0.4, "too much else")])
def test_why_half_a_spot_beside_much_else_is_not_judged(crowd: float, why: str) -> None:
    """Eight of fourteen notes on one beat, in a third of the time that is loud."""
    wanted, played = _take([n / 2 for n in range(14)], 0.5)
    heard = replace(played, notes=played.notes[:8], sounding=0.3, crowd=crowd)
    assert judge(wanted, heard).refused.startswith(why)


def test_what_an_attack_is_known_to_is_what_the_ear_says_of_it() -> None:
    """More where it is blurred; most where nobody can tell whose it is."""
    _, played = _take([0.0, 1.0], 0.5)
    clear, blurred = (
        known_to(replace(played.notes[0], spread=spread), played) for spread in (0.001, 0.012)
    )
    assert 0 < clear < blurred < known_to(played.notes[0], replace(played, room=True, echo=True))
    again = replace(played.notes[0], attack=Attack.REPEATED, spread=0.001)
    assert known_to(again, played) == clear
    assert known_to(again, replace(played, room=True)) > blurred


def test_rests_and_offbeats_are_summed_apart() -> None:
    """Offbeats 12 ms late; each note after the rest of a quarter 30 ms early."""
    places = [bar * 4 + at for bar in range(4) for at in (0, 0.5, 1, 1.5, 3, 3.5)]
    wanted, played = _take(
        places, 0.5, lambda n: 0.012 * (places[n] % 1 == 0.5) - 0.03 * (places[n] % 4 == 3)
    )
    timing = judge(wanted, played).timing
    assert timing is not None
    assert timing.downbeats is not None
    assert timing.offbeats is not None
    # on the beat a third of the notes is 30 ms early, 10 on average; half of all is off it
    assert timing.offbeats - timing.downbeats == pytest.approx(22, abs=2)
    assert timing.after_rests is not None
    assert timing.before_rests is not None
    assert timing.after_rests - timing.before_rests == pytest.approx(-42, abs=4)


def test_against_a_click_that_is_known_and_one_that_is_laid() -> None:
    """All 20 ms late; one beat was lost in the middle, so the click is another one there."""
    places = [n / 2 for n in range(12)]
    wanted, played = _take(places, 0.5, lambda n: 0.02 + 0.5 * (n > 5))
    known = judge(wanted, played, Click(1.0, 0.5))
    assert {round(note.against_click or 0) for note in known.notes} == {20}
    laid = laid_click(wanted, played, 0.5, 1.0)
    assert laid is not None
    other = judge(wanted, played, laid)
    assert {round(note.against_click or 0) for note in other.notes} == {0}
    for verdict, mean in ((known, 20), (other, None)):
        assert verdict.timing is not None
        assert verdict.timing.click is not None
        found = verdict.timing.click.mean
        assert (found if found is None else round(found)) == mean


def test_lengths_and_gaps() -> None:
    wanted, played = _take([n / 2 for n in range(6)], 0.5)
    assert judge(wanted, played).lengths.tongued == pytest.approx(0.9, abs=0.02)
    slurred = replace(wanted, notes=tuple(replace(note, slurred=True) for note in wanted.notes))
    lengths = judge(slurred, played).lengths
    assert lengths.slurred == pytest.approx(25)  # a tenth of 250 ms
    assert lengths.tongued is None


def test_grace_notes_are_not_counted() -> None:
    wanted, played = _take([0, 0.9, 1, 2, 3], 0.1)
    notes = tuple(replace(note, grace=n == 1) for n, note in enumerate(wanted.notes))
    verdict = judge(replace(wanted, notes=notes), played)
    assert [note.number for note in verdict.notes] == [1, 2, 3, 4]
    assert [note.seconds for note in verdict.notes] == [1.0, 1.5, 2.0, 2.5]


def test_a_tone_at_the_edge_of_its_key_is_the_next_one() -> None:
    """A pitch is looked for 60 cents on either side: what leans on that edge lies beyond it."""
    wanted, played = _take([0, 1, 2, 3, 4, 5], 1)
    own = tuple(replace(one, cents=60.0 if n == 2 else 2.0) for n, one in enumerate(played.notes))
    note = judge(wanted, replace(played, notes=own)).notes[2]
    assert (note.call, note.certainty, note.heard, note.cents) == ("wrong", "likely", 61, None)


def test_the_bell_of_a_count_in_is_no_time_through() -> None:
    wanted, once = _take([n / 2 for n in range(8)], 0.5)
    bell = [
        replace(once.notes[n], kind=WRONG, key=86, at=0.1 * n, end=0.1 * n + 0.1) for n in (0, 6)
    ]
    first = [replace(one, at=one.at + 2, end=one.end + 2, run=1) for one in once.notes]
    second = [replace(one, at=one.at + 5, end=one.end + 5, run=2) for one in first]
    heard = replace(once, notes=(*bell, *first, *second))
    assert [part.notes for part in times_through(heard, wanted)] == [tuple(first), tuple(second)]
    alone = replace(once, notes=tuple(bell))
    assert times_through(alone, wanted) == (alone,), "what else was heard is judged all the same"


@pytest.mark.parametrize(
    ("room", "length", "told"), [(False, 0.5, True), (True, 0.5, False), (True, 1.0, True)]
)
def test_in_a_room_a_short_tone_is_not_called_out_of_tune(
    room: bool, length: float, told: bool
) -> None:
    """Tones of 0.225 and 0.45 s, 40 cents high and unsteady by 30; lengths are silent there."""
    wanted, played = _take([n * length for n in range(6)], length)
    notes = tuple(replace(one, cents=40.0, unsteady=30.0) for one in played.notes)
    verdict = judge(wanted, replace(played, notes=notes, room=room))
    assert {(note.tuned, note.wavers) for note in verdict.notes} == {("high" * told, told)}
    assert (verdict.lengths.tongued is None) == room
