"""What holds for any music and any two instruments."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from drills.instruments.table import InstrumentFact, find_fact, instrument_facts
from drills.music.notes import Event, Note, Rest
from drills.music.pitch import STEPS, KeySignature, Pitch
from drills.music.score import Bar, Part
from drills.music.time import NoteValue, Position
from drills.rewriting.asked import How
from drills.rewriting.flow import pitches_of
from tests.music_made import bar_of
from tests.rewriting.music import notes_of, played_on, rewrite, sounding, with_bars

PITCHED = [fact for fact in instrument_facts() if fact.pitched]
instruments = st.sampled_from(PITCHED)
alters = st.sampled_from([Fraction(n, 2) for n in (-4, -2, -2, -1, 0, 0, 0, 0, 1, 2, 2, 4)])
pitches = st.builds(Pitch, st.sampled_from(STEPS), alters, st.integers(2, 6))
keys = st.one_of(
    st.builds(KeySignature, st.integers(-7, 7), st.sampled_from(["", "major", "minor"])),
    st.builds(
        lambda steps: KeySignature(custom=tuple((step, Fraction(1)) for step in sorted(steps))),
        st.sets(st.sampled_from(STEPS), min_size=1),
    ),
)


@st.composite
def bars(draw: st.DrawFn) -> Bar:
    """A bar of 4/4 in quarters, some of them rests, some slurred or tied on."""
    value = NoteValue("quarter")
    events: list[Event] = []
    for beat in range(4):
        at = Position(Fraction(beat))
        if draw(st.integers(0, 3)) == 0:
            events.append(Rest(at, value.length, value))
        else:
            tones = tuple(draw(st.lists(pitches, min_size=1, max_size=2, unique=True)))
            events.append(Note(at, value.length, tones, value))
    return bar_of(events, key=draw(keys))


@st.composite
def parts(draw: st.DrawFn) -> Part:
    """Some bars, each for an instrument of its own choice, a tie over a bar line among them."""
    found = draw(st.lists(bars(), min_size=1, max_size=5))
    part = with_bars("Flute", found)
    names = draw(st.lists(instruments, min_size=len(found), max_size=len(found)))
    changed = tuple(
        replace(bar, instrument=played_on(fact.name))
        for bar, fact in zip(part.bars, names, strict=True)
    )
    return replace(part, bars=changed)


both = st.sampled_from(list(How))


@given(parts(), instruments)
def test_what_sounds_is_the_same_but_for_octaves(part: Part, target: InstrumentFact) -> None:
    new = rewrite(part, target.name).part
    for old, heard in zip(sounding(part), sounding(new), strict=True):
        assert (old.midi - heard.midi) % 12 == 0


@given(parts(), instruments)
def test_what_is_written_is_the_same_but_for_octaves(part: Part, target: InstrumentFact) -> None:
    new = rewrite(part, target.name, How.WRITTEN).part
    assert [bar.key for bar in new.bars] == [bar.key for bar in part.bars]
    for old, note in zip(notes_of(part), notes_of(new), strict=True):
        assert [(t.step, t.alter) for t in pitches_of(old)] == [
            (t.step, t.alter) for t in pitches_of(note)
        ]


@given(parts(), instruments, both)
def test_no_more_than_seven_signs(part: Part, target: InstrumentFact, how: How) -> None:
    for bar in rewrite(part, target.name, how).part.bars:
        assert abs(bar.key.fifths) <= 7
        assert len({step for step, alter in bar.key.custom if alter}) <= 7
        assert all(abs(alter) <= 2 for _, alter in bar.key.custom)


@given(parts(), instruments, both)
def test_nothing_outside_the_range_is_left_unnamed(
    part: Part, target: InstrumentFact, how: How
) -> None:
    new = rewrite(part, target.name, how)
    assert target.low is not None
    assert target.high is not None
    outside = [
        (pitch, bar.number)
        for bar in new.part.bars
        for note in notes_of(replace(part, bars=(bar,)))
        for pitch in pitches_of(note)
        if not target.low.midi <= pitch.midi <= target.high.midi
    ]
    assert [(one.pitch, one.number) for one in new.outside] == outside
    told = " ".join(new.part.remarks)
    distinct = {pitch for pitch, _ in outside}
    apart = re.findall(r" lies (?:below|above) the range", told)
    assert len(apart) == min(6, len(distinct))
    assert all(str(pitch) in re.split(r"[ ,]+", told) for pitch in distinct)
    assert ("outside the range too" in told) == (len(distinct) > 6)


def pitch_in(bar: Bar, note: Note, how: How) -> Fraction:
    """The first pitch of a note, as what must stay is measured: heard, or read."""
    pitch = pitches_of(note)[0]
    moved = bar.instrument.transposition.sounding(pitch) if how is How.SOUNDING else pitch
    return moved.midi


@given(parts(), instruments, both)
def test_no_run_is_torn_by_an_octave(part: Part, target: InstrumentFact, how: How) -> None:
    """Between two attacks without a rest the heard (or read) interval stays as it was."""
    new = rewrite(part, target.name, how).part
    shifts: list[Fraction | None] = []
    for old_bar, new_bar in zip(part.bars, new.bars, strict=True):
        for old, event in zip(old_bar.voices[0].events, new_bar.voices[0].events, strict=True):
            if isinstance(old, Note) and isinstance(event, Note):
                shift = pitch_in(new_bar, event, how) - pitch_in(old_bar, old, how)
                if shifts and shifts[-1] is not None:
                    assert shift == shifts[-1]
                shifts.append(shift)
            else:
                shifts.append(None)


@given(parts(), instruments, both)
def test_everything_else_stays(part: Part, target: InstrumentFact, how: How) -> None:
    new = rewrite(part, target.name, how).part
    for old, bar in zip(part.bars, new.bars, strict=True):
        same = replace(
            bar,
            key=old.key,
            clef=old.clef,
            clef_changes=old.clef_changes,
            instrument=old.instrument,
            voices=old.voices,
        )
        assert same == old
    for before, note in zip(notes_of(part), notes_of(new), strict=True):
        assert replace(note, tones=before.tones, octave_line=0) == before


@given(parts(), instruments)
def test_there_and_back(part: Part, target: InstrumentFact) -> None:
    """The same keys of a piano, octaves aside; and exactly where nothing had to move."""
    flute = find_fact("Flute")
    start = rewrite(part, flute.name).part
    there = rewrite(start, target.name).part
    back = rewrite(there, flute.name).part
    for old, new in zip(notes_of(start), notes_of(back), strict=True):
        assert [t.midi % 12 for t in pitches_of(old)] == [t.midi % 12 for t in pitches_of(new)]
    if sounding(there) == sounding(start) == sounding(back):
        assert [n.tones for n in notes_of(start)] == [n.tones for n in notes_of(back)]
