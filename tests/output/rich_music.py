"""Bars that hold everything that a printed part may hold; made by hand, meant to be odd."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from drills.music.notes import Articulation, Beam, Event, Grace, Note, Rest, TupletBracket, Voice
from drills.music.pitch import KeySignature, Pitch, Unpitched
from drills.music.score import (
    Bar,
    ChordDegree,
    ChordSymbol,
    Clef,
    Direction,
    RehearsalMark,
    TempoMark,
)
from drills.music.time import (
    Length,
    NoteValue,
    TimeSignature,
    Tuplet,
    length,
    position,
)
from drills.sheets.excerpt import Excerpt, NoteNumber

QUARTER, EIGHTH, HALF = NoteValue("quarter"), NoteValue("eighth"), NoteValue("half")
SIXTEENTH, WHOLE = NoteValue("16th"), NoteValue("whole")
TRIPLET, QUINTUPLET = Tuplet(3, 2), Tuplet(5, 4)


class Pen:
    """Writes one bar's events one after another."""

    def __init__(self) -> None:
        self.events: list[Event] = []
        self.at = position(0)

    def note(self, names: str, value: NoteValue = QUARTER, **more: object) -> Pen:
        """A note, or a chord of names with blanks between."""
        made = Note(
            self.at,
            self._lasts(value, more),
            tuple(Pitch.parse(name) for name in names.split()),
            value,
            **more,  # type: ignore[arg-type]
        )
        return self.add(made)

    def drum(self, name: str, value: NoteValue = QUARTER) -> Pen:
        step, octave = name[0], int(name[1:])
        return self.add(Note(self.at, value.length, (Unpitched(step, octave),), value))

    def rest(self, value: NoteValue = QUARTER, **more: object) -> Pen:
        return self.add(Rest(self.at, self._lasts(value, more), value, **more))  # type: ignore[arg-type]

    def silence(self, lasts: Length) -> Pen:
        """The rest that stands for a whole bar."""
        return self.add(Rest(self.at, lasts, None))

    def gap(self, lasts: Length) -> Pen:
        self.at = self.at + lasts
        return self

    def _lasts(self, value: NoteValue, more: dict[str, object]) -> Length:
        lasts = value.length
        for bracket in more.get("tuplets", ()):  # type: ignore[attr-defined]
            lasts = lasts * bracket.ratio.factor
        return lasts

    def add(self, event: Event) -> Pen:
        self.events.append(event)
        self.at = event.start + event.length
        return self

    def bar(self, index: int, time: str = "4/4", **more: object) -> Bar:
        """All that was written, as a bar of that length."""
        lasts = more.pop("length", None) or self.at - position(0)
        voices = (Voice("1", tuple(self.events)),)
        number = str(more.pop("number", index))
        return Bar(index, number, lasts, TimeSignature.parse(time), voices=voices, **more)  # type: ignore[arg-type]


ODD_KEY = KeySignature(0, custom=(("F", Fraction(1)), ("B", Fraction(-1))))


def _in(ratio: Tuplet, place: int, count: int) -> TupletBracket:
    return TupletBracket(ratio, starts=place == 0, stops=place == count - 1)


def triplet_bar(index: int) -> Bar:
    """A beamed triplet, a triplet of quarter and eighth, a triplet inside a quintuplet."""
    pen = Pen()
    beams = (Beam.START, Beam.CONTINUE, Beam.STOP)
    for place, (name, beam) in enumerate(zip(("C5", "D5", "E5"), beams, strict=True)):
        pen.note(name, EIGHTH, tuplets=(_in(TRIPLET, place, 3),), beam=beam)
    pen.note("F5", QUARTER, tuplets=(_in(TRIPLET, 0, 2),))
    pen.rest(EIGHTH, tuplets=(_in(TRIPLET, 1, 2),))
    outer = [_in(QUINTUPLET, place, 5) for place in range(5)]
    pen.note("G5", EIGHTH, tuplets=(outer[0],))
    for place in range(3):
        pen.note("B5", EIGHTH, tuplets=(outer[1], _in(TRIPLET, place, 3)))
    pen.note("A5", EIGHTH, tuplets=(outer[3],))
    pen.note("G5", EIGHTH, tuplets=(outer[4],))
    return pen.bar(index, length=length(4))


def signs_bar(index: int) -> Bar:
    """Every articulation, two notes each; dynamics known and unknown; words; chord symbols."""
    pen = Pen()
    for sign in Articulation:
        pen.note("C5", EIGHTH, articulations=(sign,))
    lasts = pen.at - position(0)
    return replace(
        pen.bar(index, "9/4"),
        directions=(
            Direction(position(0), "dynamic", "sfz"),
            Direction(position(2), "dynamic", "sffpp"),
            Direction(position(3), "words", 'dolce "molto" \\ #(exit) %{'),
        ),
        chords=(
            ChordSymbol(position(0), "Bb", "major-seventh", bass="D"),
            ChordSymbol(position(2), "F#", "half-diminished"),
            ChordSymbol(
                position(4), "C", "dominant", degrees=(ChordDegree(9, Fraction(-1), "add"),)
            ),
            ChordSymbol(position(6), "", "none"),
        ),
        length=lasts,
    )


def quarter_tones() -> Pen:
    """A quarter tone sharp and flat, and three quarters either way."""
    pen = Pen()
    for step, alter in (("C", (1, 2)), ("D", (-1, 2)), ("E", (3, 2)), ("F", (-3, 2))):
        tone = Pitch(step, Fraction(*alter), 5)
        pen.add(Note(pen.at, QUARTER.length, (tone,), QUARTER))
    return pen


def halves(index: int) -> Bar:
    return Pen().note("C5", HALF).note("D5", HALF).bar(index)


def rich_bars() -> tuple[Bar, ...]:
    """Nineteen bars: each has something that a plain bar has not."""
    slash = Grace((Pitch.parse("B4"),), EIGHTH, slashed=True, slur_starts=(7,))
    run = tuple(Grace((Pitch.parse(name),), SIXTEENTH, slashed=False) for name in ("G4", "A4"))
    tenor = Clef("C", 4)
    return (
        Pen().note("G4").bar(0, number="0", offset=length(3), marks=(RehearsalMark('A "1"'),)),
        Pen()
        .note("C5 E5 G5", HALF, slur_starts=(1,), tie_start=True)
        .note("C5 E5 G5", QUARTER, tie_stop=True)
        .note("D5", slur_stops=(1,))
        .bar(1, tempos=(TempoMark(position(0), QUARTER, Fraction(120), "Allegro"),)),
        Pen()
        .note("C5", slur_stops=(7,), graces=(slash,))
        .note("D5", graces=run)
        .note("E5", HALF, graces_after=run)
        .bar(2, starts_repeat=True),
        quarter_tones().bar(3, ending="1"),
        Pen().note("C##5").note("Dbb5").rest(HALF).bar(4, ending="1", ends_repeat=2),
        Pen().silence(length(4)).bar(5, ending="2", number="5a"),
        triplet_bar(6),
        signs_bar(7),
        Pen()
        .note("C7", octave_line=1)
        .note("D7", octave_line=1)
        .note("C5", HALF)
        .bar(8, key=KeySignature(4)),
        Pen()
        .note("C4")
        .note("D4")
        .note("E4")
        .note("F4")
        .bar(
            9,
            clef=Clef("F", 4),
            clef_changes=((position(2), tenor),),
            key_changes=((position(1), KeySignature(-6)),),
        ),
        Pen().rest(HALF, hidden=True).gap(length(1)).note("A3").bar(10, clef=tenor),
        Pen().note("C5", WHOLE).bar(11, key=ODD_KEY),
        replace(
            Pen().note("C5", HALF).note("D5", HALF).bar(12), time=TimeSignature((4,), 4, "common")
        ),
        replace(
            Pen().note("C5", HALF).note("D5", HALF).bar(13), time=TimeSignature((2,), 2, "cut")
        ),
        Pen().note("C5", NoteValue("quarter", 1)).note("D5").bar(14, "3+2/8", final=True),
        Pen()
        .note("C5", NoteValue("half", 1))
        .note("D5", NoteValue("half", 2))
        .bar(15, "4/4", time_shown=False),
        Pen().note("C5", QUARTER, cue=True).note("D5", QUARTER, hidden=True).rest(HALF).bar(16),
        Pen().note("C5", HALF).note("D5", HALF).note("E5").bar(17, length=length(4)),
        Pen().note("E5", EIGHTH, tie_stop=True).note("F5", EIGHTH).bar(18, number=""),
    )


def rich_excerpt() -> Excerpt:
    """The rich bars with some of their notes numbered, cut open at the end."""
    bars = rich_bars()
    numbers = tuple(
        NoteNumber(bar.index, event.start, count)
        for count, (bar, event) in enumerate(
            [
                (bar, event)
                for bar in bars
                for event in bar.voices[0].events
                if isinstance(event, Note) and event.is_attack
            ],
            1,
        )
    )
    return Excerpt(bars, numbers, open_ended=True)


def drum_bars() -> tuple[Bar, ...]:
    """Two bars for a drum kit: heads on and outside the staff."""
    clef = Clef("percussion", 0)
    return (
        Pen().drum("F4").drum("C5").drum("F4").drum("C5").bar(0, clef=clef),
        Pen().drum("G5", EIGHTH).drum("G5", EIGHTH).drum("A5").drum("D4", HALF).bar(1, clef=clef),
    )


def sounding(bars: tuple[Bar, ...]) -> list[tuple[int, Fraction, Fraction]]:
    """What the bars say: MIDI number, start and length in quarters of every sounding note.

    Ties are joined; cues sound, hidden notes do not; grace notes are left out.
    """
    found: list[tuple[int, Fraction, Fraction]] = []
    open_ties: dict[int, int] = {}
    bar_start = Fraction(0)
    for bar in bars:
        for event in bar.voices[0].events if bar.voices else ():
            if not isinstance(event, Note) or event.hidden:
                continue
            start = bar_start + event.start.quarters
            for tone in event.tones:
                number = _midi(tone)
                if event.tie_stop and number in open_ties:
                    at = open_ties.pop(number)
                    old = found[at]
                    found[at] = (old[0], old[1], start + event.length.quarters - old[1])
                    if event.tie_start:
                        open_ties[number] = at
                    continue
                if event.tie_start:
                    open_ties[number] = len(found)
                found.append((number, start, event.length.quarters))
        ends = [event.start + event.length for event in bar.voices[0].events]
        bar_start += max([position(0) + bar.length, *ends]).quarters
    return sorted(found, key=lambda note: (note[1], note[0]))


def _midi(tone: Pitch | Unpitched) -> int:
    """The MIDI number; of a drum, that of its display pitch."""
    if isinstance(tone, Unpitched):
        return int(Pitch(tone.step, Fraction(0), tone.octave).midi)
    return int(tone.midi)
