"""Chords from the notes that sound together.

Problem.  Where a score prints no chord symbols, what sounds must be named, although
not every note belongs to a chord and no sign says where the chord changes.

Method.  The notes of each part are joined to tones (sound.py); what sounds is summed
from border to border, a note that moves by step counting less against a chord that
it is foreign to (evidence.py); the cheapest path over all borders chooses the
changes and, on each stretch, a root and a kind (segments.py, templates.py,
weights.py); the spelling names them (naming.py).  The idea of a cheapest path over
segments that are matched with templates is that of B. Pardo and W. Birmingham, "Algorithms
for chordal analysis", Computer Music Journal 26(2), 2002 (from memory).  How often the
result agrees with analyses by people is measured in tests/harmony/test_chorales.py.

What is no chord.  Nothing for longer than a bar (a chord goes on through a shorter rest),
one tone alone, and two tones a step apart are NO_CHORD by themselves; where they stand
within reach of a chord that has them, they are part of it.  A line alone whose certainty is
1/10 or less says nothing either.  One tone that several parts hold in the bass for two beats
or more is the kind "pedal", a bare fifth is "power", a bare third a triad without its fifth,
of low certainty.

Certainty.  How far the notes speak for a reading is the product of five shares: of the
sound that belongs to the chord; of the chord's tones that sound; of one tone by which the
reading is ahead of the next best one with other tones (1 if by a whole tone or more); of
the time in which several tones sound together, counted half (a line alone that
breaks a chord has at most 1/2); and of the time in which a bass sounds, counted a
quarter (upper voices alone may lack the root).  Halved where nobody plays the root, where a
chord whose every tone may be the root is not spelled from one of them, or a diminished triad
is spelled as part of a diminished seventh on another root.  The certainty is in how many of a
hundred such places people name the same root and triad (CALIBRATION in weights.py): where it
says 0.8, eight in ten agree.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from drills.harmony.chord import Harmony, Heard
from drills.harmony.evidence import evidence_of
from drills.harmony.naming import SILENT, named
from drills.harmony.segments import segments_of
from drills.harmony.sound import Clock, Tone, tones_of
from drills.harmony.weights import WEIGHTS
from drills.music.grid import GridBar


def read_harmonies(notes: Sequence[Heard], bars: Sequence[GridBar]) -> tuple[Harmony, ...]:
    """Name what sounds together, without gap or overlap, from the first to the last moment.

    ``notes`` in any order, ``bars`` the whole row they stand in; where bars are
    missing, 4/4 from 0 on is assumed.  The harmonies reach over all bars and notes;
    none where there are neither.  Roots and basses sound, as the pitches of ``notes``
    do.  Neighbouring harmonies always differ.
    """
    clock = Clock(notes, bars)
    tones = tones_of(notes, clock)
    found: list[Harmony] = []
    for stretch in _stretches(tones, clock):
        segments = segments_of(evidence_of(stretch, clock, WEIGHTS), clock, WEIGHTS)
        for segment, chord in zip(segments, named(segments, stretch), strict=True):
            found.append(Harmony(clock.time(segment.start), clock.time(segment.end), chord))
    starts = [bar.start for bar in bars] + [one.start for one in found[:1]]
    if not starts:
        return ()
    end = max([bar.end for bar in bars] + [one.end for one in found[-1:]])
    return tuple(_without_gaps(_held_through_rests(found, clock, end), min(starts), end))


def _stretches(tones: Sequence[Tone], clock: Clock) -> Iterator[list[Tone]]:
    """Tones by start, cut where nothing sounds for longer than a beat."""
    stretch: list[Tone] = []
    end = 0
    for tone in tones:
        if stretch and tone.start - end > clock.beat(end):
            yield stretch
            stretch = []
        end = max(end, tone.end) if stretch else tone.end
        stretch.append(tone)
    if stretch:
        yield stretch


def _held_through_rests(found: Sequence[Harmony], clock: Clock, end: Fraction) -> list[Harmony]:
    """The chords, each going on where nothing sounds, for a bar at most.

    A harmony is heard on through a rest of the whole band (common practice: no analysis
    starts anew at a rest).  ``end`` is the end of the last bar.
    """
    held: list[Harmony] = []
    for index, one in enumerate(found):
        until = found[index + 1].start if index + 1 < len(found) else end
        if until - one.end > clock.bar_at(one.end).length.quarters:
            until = one.end
        if one.chord == SILENT:
            continue
        if held and held[-1].end == one.start and held[-1].chord == one.chord:
            held[-1] = replace(held[-1], end=until)
        else:
            held.append(replace(one, end=until))
    return held


def _without_gaps(chords: Sequence[Harmony], start: Fraction, end: Fraction) -> Iterator[Harmony]:
    """The same with no chord between them, from start to end."""
    edge, last = Harmony(start, start, SILENT), Harmony(end, end, SILENT)
    for before, after in pairwise([edge, *chords, last]):
        if before.end < after.start:
            yield Harmony(before.end, after.start, SILENT)
        if after is not last:
            yield after
