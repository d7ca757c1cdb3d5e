"""All of it: a part, an instrument and the spots that matter -> the part rewritten.

What is decided by what.  Key and spelling are decided by the whole part, since a
player reads them everywhere alike.  Octave, clef and the notes that are named as
outside the range go by the notes that are drilled, so that a low bar elsewhere
moves no spot; without spans the whole part is drilled.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from drills.errors import UsageError
from drills.music.notes import Note, Voice
from drills.music.pitch import Pitch, Tone, Unpitched
from drills.music.score import Bar, Clef, Instrument, Part
from drills.music.time import START, Position
from drills.places.finding import Span
from drills.rewriting.asked import How, Rewriting
from drills.rewriting.clefs import clefs_for, with_octave_lines
from drills.rewriting.flow import (
    Placed,
    by_voice,
    counted,
    pitches_of,
    placed_notes,
    stretches,
)
from drills.rewriting.keys import Reading, Source, readings
from drills.rewriting.octaves import octaves
from drills.rewriting.spelling import spelled, spelled_chord
from drills.rewriting.telling import Outside, outside_range, told

_Place = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Rewritten:
    """A part for another instrument, and what does not fit it."""

    part: Part
    outside: tuple[Outside, ...]
    """Every note outside the range between the first and the last that is drilled."""


def rewritten(part: Part, wanted: Rewriting | None, spans: Sequence[Span] = ()) -> Part:
    """The part rewritten for another instrument; the part itself where none is wanted.

    ``spans`` are the stretches that will be drilled, as found in ``part``; they hold
    in the new part as well.  What was done and what lies outside the range are
    remarks of the part.  Raises UsageError where drums would have to become pitches
    or pitches drums.
    """
    return part if wanted is None else rewriting_of(part, wanted, spans).part


def rewriting_of(part: Part, wanted: Rewriting, spans: Sequence[Span] = ()) -> Rewritten:
    """As ``rewritten``, with the notes outside the range as data."""
    notes = placed_notes(part)
    drilled = counted(part, notes, spans)
    _check(part, wanted, [one for one in notes if one.place in drilled])
    if not wanted.instrument.pitched:
        bars = tuple(replace(bar, instrument=_instrument(wanted)) for bar in part.bars)
        return _finished(part, wanted, notes, drilled, bars=bars, shifts={})
    drums = {one.bar for one in notes if any(isinstance(t, Unpitched) for t in one.note.tones)}
    read = _readings(part, wanted, notes)
    new = _spelled(part, notes, read)
    phrases = stretches(part, new)
    shifts = octaves(
        [[pitches_of(one.note) for one in phrase if one.place in drilled] for phrase in phrases],
        wanted.instrument.low,
        wanted.instrument.high,
    )
    by_place = {
        one.place: shift for phrase, shift in zip(phrases, shifts, strict=True) for one in phrase
    }
    new = tuple(replace(one, note=_shifted(one.note, by_place[one.place])) for one in new)
    new, clefs = _with_clefs(part, new, wanted, drilled)
    found = {one.place: one.note for one in new}
    bars = tuple(
        bar if bar.index in drums else _bar(bar, wanted, read, found, clefs) for bar in part.bars
    )
    moved = {one.bar: by_place[one.place] for one in notes if one.place in drilled}
    return _finished(part, wanted, new, drilled, bars=bars, shifts=moved)


def _finished(
    part: Part,
    wanted: Rewriting,
    notes: Sequence[Placed],
    drilled: frozenset[_Place],
    *,
    bars: tuple[Bar, ...],
    shifts: Mapping[int, int],
) -> Rewritten:
    """The new part with its name and its remarks."""
    chosen = [one for one in notes if one.place in drilled]
    first = min((one.bar for one in chosen), default=0)
    last = max((one.start for one in chosen), default=Fraction(-1))
    printed = [one for one in notes if one.plays and one.bar >= first and one.start <= last]
    outside = outside_range(part, printed, wanted.instrument)
    pitches = [pitch for one in chosen for pitch in pitches_of(one.note)]
    new = replace(
        part,
        name=f"{part.name or 'Part'}, for {wanted.instrument.name}",
        instrument=_instrument(wanted),
        bars=bars,
        remarks=(*part.remarks, *told(part, wanted, shifts, chosen, outside, new=pitches)),
    )
    return Rewritten(new, outside)


def _instrument(wanted: Rewriting) -> Instrument:
    fact = wanted.instrument
    return Instrument(fact.name, fact.family, fact.transposition, known=True)


def _check(part: Part, wanted: Rewriting, drilled: Sequence[Placed]) -> None:
    """Raise UsageError where a drum would have to become a pitch, or a pitch a drum."""
    name = wanted.instrument.name
    for one in drilled:
        drum = any(isinstance(tone, Unpitched) for tone in one.note.tones)
        if drum == wanted.instrument.pitched:
            number = part.bars[one.bar].number
            what = "unpitched percussion" if drum else "pitches"
            other = (
                "an instrument that plays pitches"
                if drum
                else "unpitched percussion; choose an instrument that plays pitches"
            )
            raise UsageError(
                f"{part.name or 'the part'}, bar {number}: this is music of {what} and cannot "
                f"be rewritten for {name}, {other}"
            )


# --- pitches -------------------------------------------------------------------


def _readings(part: Part, wanted: Rewriting, notes: Sequence[Placed]) -> dict[Source, Reading]:
    sources = {
        (bar.instrument.transposition, key)
        for bar in part.bars
        for key in (bar.key, *(key for _, key in bar.key_changes))
    }
    keeps = wanted.how is How.WRITTEN
    return readings(sources, notes, None if keeps else wanted.instrument.transposition)


def _spelled(
    part: Part, notes: Sequence[Placed], read: Mapping[Source, Reading]
) -> tuple[Placed, ...]:
    """The notes with their new tones, octaves of the range aside."""
    found: dict[_Place, Note] = {}
    for voice in by_voice(part, notes).values():
        for one, note in zip(voice, spelled(voice, read), strict=True):
            found[one.place] = note
    return tuple(replace(one, note=found[one.place]) for one in notes)


def _shifted(note: Note, octaves_up: int) -> Note:
    """A note with all that is printed at it, some octaves higher."""
    if not octaves_up:
        return note
    return replace(
        note,
        tones=_tones_up(note.tones, octaves_up),
        graces=tuple(replace(g, tones=_tones_up(g.tones, octaves_up)) for g in note.graces),
        graces_after=tuple(
            replace(g, tones=_tones_up(g.tones, octaves_up)) for g in note.graces_after
        ),
    )


def _tones_up(tones: tuple[Tone, ...], up: int) -> tuple[Tone, ...]:
    return tuple(
        Pitch(tone.step, tone.alter, tone.octave + up) if isinstance(tone, Pitch) else tone
        for tone in tones
    )


# --- clefs ---------------------------------------------------------------------

_Clefs = tuple[tuple[int, Position, Clef], ...]
"""Bar, place in it, and the clef from there on."""


def _with_clefs(
    part: Part, notes: Sequence[Placed], wanted: Rewriting, drilled: frozenset[_Place]
) -> tuple[tuple[Placed, ...], _Clefs]:
    """The notes with octave lines where they need them, and every change of clef."""
    cut = stretches(part, notes, at_bar_lines=True)
    clefs = clefs_for(
        [[_steps(one.note) for one in stretch if one.place in drilled] for stretch in cut],
        wanted.instrument.clefs,
    )
    lined: dict[_Place, Note] = {}
    for stretch, clef in zip(cut, clefs, strict=True):
        for voice in by_voice(part, stretch).values():
            made = with_octave_lines([one.note for one in voice], clef)
            lined |= {one.place: note for one, note in zip(voice, made, strict=True)}
    changes = _changes(notes, cut, clefs)
    return tuple(replace(one, note=lined[one.place]) for one in notes), changes


def _steps(note: Note) -> tuple[int, ...]:
    return tuple(pitch.diatonic for pitch in pitches_of(note))


def _changes(
    notes: Sequence[Placed], cut: Sequence[Sequence[Placed]], clefs: Sequence[Clef]
) -> _Clefs:
    """Where each clef begins: at the bar line where nothing sounds before it in its bar."""
    first_in_bar: dict[int, Position] = {}
    for one in notes:
        first_in_bar.setdefault(one.bar, one.note.start)
    found: list[tuple[int, Position, Clef]] = []
    for stretch, clef in zip(cut, clefs, strict=True):
        if found and found[-1][2] == clef:
            continue
        bar, start = stretch[0].bar, stretch[0].note.start
        found.append((bar, START if start == first_in_bar[bar] else start, clef))
    return tuple(found)


# --- bars ----------------------------------------------------------------------


def _bar(
    bar: Bar,
    wanted: Rewriting,
    read: Mapping[Source, Reading],
    found: Mapping[_Place, Note],
    clefs: _Clefs,
) -> Bar:
    """A bar with everything in it that depends on the instrument."""
    moved = bar.instrument.transposition
    before = [clef for index, start, clef in clefs if (index, start) <= (bar.index, START)]
    return replace(
        bar,
        instrument=_instrument(wanted),
        key=read[moved, bar.key].key,
        key_changes=tuple((at, read[moved, key].key) for at, key in bar.key_changes),
        clef=before[-1] if before else (clefs[0][2] if clefs else wanted.instrument.clef),
        clef_changes=tuple(
            (start, clef) for index, start, clef in clefs if index == bar.index and start > START
        ),
        chords=tuple(
            spelled_chord(chord, read[moved, bar.key_at(chord.start)]) for chord in bar.chords
        ),
        voices=tuple(
            Voice(
                voice.name,
                tuple(
                    found.get((bar.index, voice_index, index), event)
                    for index, event in enumerate(voice.events)
                ),
            )
            for voice_index, voice in enumerate(bar.voices)
        ),
    )
