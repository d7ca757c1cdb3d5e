"""Small sheets written by hand, in a shorthand that can be read in the test.

A bar is text: ``C4/8. D4/16 {3:2 E4/8 F4/8 G4/8} r/4``.  A note is its tones
(``C4+E4`` a chord, ``x:C5`` an unpitched head), a stroke and its value (``8.``
is a dotted eighth, ``R`` a rest of the whole bar), then signs: ``~`` tied on,
``(`` and ``)`` a slur, ``>`` an accent, ``[``, ``-`` and ``]`` the outermost
beam.  A grace note before it is ``'G4/16'``.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from hypothesis import assume, strategies

from drills.music.notes import Articulation, Beam, Event, Grace, Note, Rest, TupletBracket, Voice
from drills.music.pitch import Pitch, Tone, Transposition, Unpitched
from drills.music.score import Bar, Credits, Instrument
from drills.music.tempo import Tempo
from drills.music.time import Length, NoteValue, Position, TimeSignature, Tuplet, length, position
from drills.places.finding import Place, Span
from drills.places.spots import Attack, Run, Spot
from drills.sheets.blocks import Block, BlockKind
from drills.sheets.drill import Drill, DrillKind
from drills.sheets.excerpt import Excerpt, NoteNumber
from drills.sheets.ladder import Ladder
from drills.sheets.sheet import Sheet

KINDS = {
    "1": "whole",
    "2": "half",
    "4": "quarter",
    "8": "eighth",
    "16": "16th",
    "32": "32nd",
    "64": "64th",
}
BEAMS = {"[": Beam.START, "-": Beam.CONTINUE, "]": Beam.STOP}

CLARINET = Instrument("clarinet in B flat", "woodwind", Transposition(-1, -2), known=True)
ALTO = Instrument("alto saxophone", "woodwind", Transposition(-5, -9), known=True)
OBOE = Instrument("oboe", "woodwind")


def tone(text: str) -> Tone:
    """``C#4`` or, for an unpitched head, ``snare:C5``."""
    name, _, rest = text.rpartition(":")
    if name:
        return Unpitched(rest[0], int(rest[1:]), name)
    return Pitch.parse(text)


def tones(text: str) -> tuple[Tone, ...]:
    """``C4|E4|G4`` is a chord."""
    return tuple(tone(one) for one in text.split("|"))


def value(text: str) -> NoteValue:
    """``8.`` is a dotted eighth."""
    return NoteValue(KINDS[text.rstrip(".")], text.count("."))


class _Reader:
    def __init__(self) -> None:
        self.at = position(0)
        self.events: list[Event] = []
        self.open: list[TupletBracket] = []
        self.graces: list[Grace] = []
        self.tied = False
        self.slurs = 0
        self.open_slurs: list[int] = []

    def take(self, token: str, whole: Length) -> None:
        if token.startswith("{"):
            actual, normal = token[1:].split(":")
            self.open.append(TupletBracket(Tuplet(int(actual), int(normal)), starts=True))
        elif token.startswith("'"):
            head, kind = token.strip("'").split("/")
            self.graces.append(Grace(tones(head), value(kind)))
        else:
            self._event(token, whole)

    def _event(self, token: str, whole: Length) -> None:
        closing = len(token) - len(token.rstrip("}"))
        found = re.fullmatch(r"([^/]+)/(\d+\.*|R)([^}]*)}*", token)
        assert found is not None, token
        head, kind, signs = found.groups()
        written = None if kind == "R" else value(kind)
        lasts = whole if written is None else written.length
        for bracket in self.open:
            lasts = lasts * bracket.ratio.factor
        ended = len(self.open) - closing
        brackets = tuple(replace(b, stops=i >= ended) for i, b in enumerate(self.open))
        if head == "r":
            self.events.append(Rest(self.at, lasts, written, brackets))
        else:
            assert written is not None
            self.events.append(self._note(head, written, lasts, brackets, signs))
        self.open = [replace(b, starts=False) for b in self.open[:ended]]
        self.at = self.at + lasts

    def _note(
        self,
        head: str,
        written: NoteValue,
        lasts: Length,
        brackets: tuple[TupletBracket, ...],
        signs: str,
    ) -> Note:
        self.slurs += 1
        stops = (self.open_slurs.pop() if self.open_slurs else self.slurs,) if ")" in signs else ()
        starts = (self.slurs,) if "(" in signs else ()
        self.open_slurs += starts
        note = Note(
            self.at,
            lasts,
            tones(head),
            written,
            brackets,
            tie_start="~" in signs,
            tie_stop=self.tied,
            graces=tuple(self.graces),
            articulations=(Articulation.ACCENT,) if ">" in signs else (),
            slur_starts=starts,
            slur_stops=stops,
            beam=next((BEAMS[s] for s in signs if s in BEAMS), None),
        )
        self.graces, self.tied = [], "~" in signs
        return note

    def end_of_bar(self) -> tuple[Voice, Length]:
        """What was taken since the last bar line."""
        voice, lasts = Voice("1", tuple(self.events)), self.at - position(0)
        self.events, self.at = [], position(0)
        return voice, lasts


def bars(text: str, time: str = "4/4", instrument: Instrument = OBOE) -> tuple[Bar, ...]:
    """Bars divided by ``|``; ties and slurs lead over a bar line."""
    signature = TimeSignature.parse(time)
    reader = _Reader()
    found: list[Bar] = []
    for index, one in enumerate(text.split(" | ")):
        for token in one.split():
            reader.take(token, signature.bar_length)
        voice, lasts = reader.end_of_bar()
        made = Bar(index, str(index + 1), lasts, signature, instrument=instrument, voices=(voice,))
        found.append(made)
    return tuple(found)


def drill(
    music: tuple[Bar, ...],
    label: str = "1-2",
    repeated: bool = True,
    kind: DrillKind = DrillKind.CELL,
    ranges: tuple[tuple[int, int], ...] = (),
) -> Drill:
    """A drill around bars made by hand."""
    attacks = [e for b in music for v in b.voices for e in v.events if isinstance(e, Note)]
    size = sum(note.is_attack for note in attacks)
    return Drill(kind, label, "even", size, ranges or ((1, size),), music, repeated)


def line_of(music: tuple[Bar, ...]) -> tuple[Attack, ...]:
    """The attacks of some bars, numbered, ties joined."""
    found: list[Attack] = []
    for note in (e for b in music for v in b.voices for e in v.events if isinstance(e, Note)):
        if note.tie_stop:
            found[-1] = replace(found[-1], length=found[-1].length + note.length)
        else:
            found.append(
                Attack(
                    note.tones,
                    note.length,
                    note.graces,
                    articulations=note.articulations,
                    number=len(found) + 1,
                    origin=note.origin,
                )
            )
    return tuple(found)


def sheet(
    *groups: Block,
    music: tuple[Bar, ...] = (),
    tempo: Tempo | None = None,
    title: str = "Harbour March",
    part: str = "Clarinet 2",
) -> Sheet:
    """A sheet around drills made by hand; its spot is ``music``."""
    music = music or groups[0].drills[0].bars
    line = line_of(music)
    span = Span(
        Place(0, position(0)), Place(len(music), position(0)), False, "1", "bar 1, the whole bar"
    )
    tempo = tempo or Tempo(Fraction(120), length(1), "bar 1 of the score")
    ladder = Ladder(NoteValue("quarter"), (Fraction(60), tempo.number), ())
    numbers = tuple(NoteNumber(0, Position(Fraction(0)), attack.number) for attack in line[:1])
    return Sheet(
        Credits(title, "harbour band", "free to copy"),
        part,
        Spot(span, "1", (Run(line),), ()),
        "Bar 1, the whole bar",
        tempo,
        Excerpt(music, numbers, open_ended=False),
        groups,
        ladder,
        ("Rest often; stop at pain.",),
    )


def group(*drills: Drill, title: str = "Two notes at a time") -> Block:
    """Drills under one heading."""
    kinds = {one.drills: one for one in reversed(BlockKind) if one is not BlockKind.LINE}
    slow = Ladder(NoteValue("quarter"), (Fraction(60),), ())
    return Block("block", kinds[drills[0].kind], title, "Once right.", drills, slow)


# --- random music ---------------------------------------------------------------

FIGURES = (
    "*/4",
    "*/8 */8",
    "*/8. */16",
    "*/16 */8.",
    "*/16 */8 */16",
    "*/64 */64 */32 */16 */8",
    "*/32. */64 */16 */8",
    "{3:2 */8 */8 */8}",
    "{3:2 */4 */8}",
    "{5:4 */16 */16 */16 */16 */16}",
    "{6:4 */16 */16 */8 */16 */16}",
    "{7:4 */16 */16 */16 */16 */16 */16 */16}",
    "{3:2 */8 {3:2 */16 */16 */16} */8}",
    "{3:2 {5:4 */32 */32 */32 */32 */32} */8 */8}",
    "r/8 */8",
    "*/8 r/8",
    "r/4",
    "'*/16' */4",
    "'*/16' '*/16' */8 */8>",
)
"""What fills one quarter; ``*`` stands for a pitch."""

TONES = ("C4", "F#4", "Gb4", "A4", "Bb4", "B4", "C5", "C#5", "D5", "Eb5", "F##5", "Cb6", "C5|E5")
TIMES = ("2/4", "3/4", "4/4", "5/4")


@strategies.composite
def texts(draw: strategies.DrawFn, beats: int, most_bars: int = 3) -> str:
    """Bars in the shorthand: random figures and pitches, some neighbours tied."""
    count = draw(strategies.integers(1, most_bars))
    figures = strategies.lists(strategies.sampled_from(FIGURES), min_size=beats, max_size=beats)
    tokens = " | ".join(" ".join(draw(figures)) for _ in range(count)).split()
    neighbours = [i for i, token in enumerate(tokens) if token[0] not in "{|"]
    tied = False
    for place, index in enumerate(neighbours):
        token = tokens[index]
        if token.startswith("r"):
            continue
        if not tied:
            tone_text = draw(strategies.sampled_from(TONES))
        follows = tokens[neighbours[place + 1]] if place + 1 < len(neighbours) else "r"
        tied = token[0] == follows[0] == "*" and draw(strategies.integers(0, 4)) == 0
        head, closing = token.rstrip("}"), token[len(token.rstrip("}")) :]
        tokens[index] = head.replace("*", tone_text) + ("~" if tied else "") + closing
    return " ".join(tokens)


@strategies.composite
def drills(draw: strategies.DrawFn) -> Drill:
    """A drill of random music for a random instrument."""
    time = draw(strategies.sampled_from(TIMES))
    instrument = draw(strategies.sampled_from((CLARINET, ALTO, OBOE)))
    text = draw(texts(int(time[0])))
    assume(set(text.split()) - {"|"} - {word for word in text.split() if word.startswith("r")})
    music = bars(text, time, instrument)
    return drill(
        music, draw(strategies.sampled_from(("1-2", "dotted"))), draw(strategies.booleans())
    )


@strategies.composite
def sheets(draw: strategies.DrawFn) -> Sheet:
    """A sheet of one or two groups of random drills."""
    found = draw(strategies.lists(drills(), min_size=1, max_size=3))
    groups = [group(*found)]
    if draw(strategies.booleans()):
        groups.append(group(draw(drills()), title="The whole line in rhythms"))
    return sheet(*groups)
