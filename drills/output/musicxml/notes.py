"""Notes, rests and grace notes as MusicXML ``note`` elements, in the order of the schema."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import prod
from typing import Final

from lxml import etree

from drills.instruments.general_midi import drum_name
from drills.music.notes import Articulation, Event, Grace, Note, Rest, TupletBracket
from drills.music.pitch import Pitch, Tone
from drills.music.time import Length, NoteValue
from drills.output.musicxml.accidentals import Accidentals
from drills.output.musicxml.beams import Levels, grace_levels
from drills.output.musicxml.elements import add, decimal
from drills.output.musicxml.tuplets import TupletSpan

_ORNAMENTS: Final = frozenset(
    {
        Articulation.TRILL,
        Articulation.TURN,
        Articulation.INVERTED_TURN,
        Articulation.MORDENT,
        Articulation.INVERTED_MORDENT,
        Articulation.TREMOLO,
    }
)
_TREMOLO_STROKES: Final = 3
"""The model keeps no number of strokes; three is an unmeasured tremolo."""
_TYPES: Final = {Articulation.STRONG_ACCENT: {"type": "up"}}
_DEEPEST_SLUR: Final = 16
"""``number-level`` of the schema goes from 1 to 16."""


@dataclass(frozen=True, slots=True)
class Pen:
    """What every note of a document has in common."""

    divisions: int
    """Of a quarter."""
    instruments: Mapping[str, str] = field(default_factory=dict)
    """Name of an instrument or drum -> its id; empty where the part has one only."""
    slurs: Mapping[int, int] = field(default_factory=dict)
    """Number of a slur in a drill -> the number that MusicXML gives it."""
    named: bool = False
    """Every note has an id that tells where it stands (note_id)."""

    def duration(self, length: Length) -> int:
        """A length in divisions; exact by the choice of ``divisions``."""
        return int(length.quarters * self.divisions)


@dataclass(frozen=True, slots=True)
class Stem:
    """What the voice knows about one of its notes."""

    voice: str
    instrument: str
    levels: Levels
    spans: Sequence[TupletSpan]
    """Its tuplets, outermost first."""
    id: str = ""
    """Of the note, where notes are named."""


def slur_numbers(notes: Sequence[Note]) -> dict[int, int]:
    """Slurs that begin and end among ``notes`` -> numbers as MusicXML reuses them.

    A slur without its other end, or with more than one, is left out.
    """
    sites: list[Note | Grace] = []
    for note in notes:
        sites += [*note.graces, note, *note.graces_after]
    begins = [(slur, at) for at, site in enumerate(sites) for slur in site.slur_starts]
    ends = [(slur, at) for at, site in enumerate(sites) for slur in site.slur_stops]
    count = Counter(slur for slur, _ in (*begins, *ends))
    whole = {slur: end for slur, end in ends if count[slur] == 2}
    numbers: dict[int, int] = {}
    last_of: dict[int, int] = {}
    for slur, begin in begins:
        free = next((n for n in range(1, _DEEPEST_SLUR + 1) if last_of.get(n, -1) < begin), None)
        if free is not None and whole.get(slur, -1) > begin:
            numbers[slur] = free
            last_of[free] = whole[slur]
    return numbers


def add_note(measure: etree._Element, note: Note, pen: Pen, stem: Stem, signs: Accidentals) -> None:
    """A note or chord without its grace notes."""
    for head, tone in enumerate(note.tones):
        made = add(measure, "note", **({"print_object": "no"} if note.hidden else {}))
        if stem.id and head == 0:
            made.set("id", stem.id)
        if note.cue:
            add(made, "cue")
        _add_tone(made, tone, chord=head > 0)
        add(made, "duration", pen.duration(note.length))
        for kind in _ties(note) if not note.cue else ():
            add(made, "tie", type=kind)
        _add_instrument(made, tone, pen, stem)
        _add_value(made, note.value, stem.voice, _accidental(tone, signs, note.tie_stop))
        _add_time_modification(made, note, stem.spans)
        if head == 0:
            _add_beams(made, stem.levels)
        _add_notations(made, note, pen, stem, first=head == 0)


def add_graces(
    measure: etree._Element, graces: Sequence[Grace], pen: Pen, stem: Stem, signs: Accidentals
) -> None:
    """The grace notes before or after one note, in order."""
    for grace, beams in zip(graces, grace_levels(graces), strict=True):
        for head, tone in enumerate(grace.tones):
            made = add(measure, "note")
            add(made, "grace", **({"slash": "yes"} if grace.slashed else {}))
            _add_tone(made, tone, chord=head > 0)
            _add_instrument(made, tone, pen, stem)
            _add_value(made, grace.value, stem.voice, _accidental(tone, signs, tied=False))
            if head == 0:
                _add_beams(made, beams)
                _add_slurs(made, grace, pen)


def add_rest(measure: etree._Element, rest: Rest, pen: Pen, stem: Stem) -> None:
    """A rest; one without a value stands for the whole bar."""
    made = add(measure, "note", **({"print_object": "no"} if rest.hidden else {}))
    add(made, "rest", **({"measure": "yes"} if rest.value is None else {}))
    add(made, "duration", pen.duration(rest.length))
    if rest.value is None:
        add(made, "voice", stem.voice)
        return
    _add_value(made, rest.value, stem.voice, "")
    _add_time_modification(made, rest, stem.spans)
    brackets = [(b, s) for b, s in zip(rest.tuplets, stem.spans, strict=False)]
    if any(bracket.starts or bracket.stops for bracket, _ in brackets):
        _add_tuplets(add(made, "notations"), brackets)


def _add_tone(note: etree._Element, tone: Tone, chord: bool) -> None:
    if chord:
        add(note, "chord")
    if isinstance(tone, Pitch):
        pitch = add(note, "pitch")
        add(pitch, "step", tone.step)
        if tone.alter:
            add(pitch, "alter", decimal(tone.alter))
        add(pitch, "octave", tone.octave)
    else:
        unpitched = add(note, "unpitched")
        add(unpitched, "display-step", tone.step)
        add(unpitched, "display-octave", tone.octave)


def _add_instrument(note: etree._Element, tone: Tone, pen: Pen, stem: Stem) -> None:
    name = stem.instrument if isinstance(tone, Pitch) else drum_name(tone)
    if name in pen.instruments:
        add(note, "instrument", id=pen.instruments[name])


def _accidental(tone: Tone, signs: Accidentals, tied: bool) -> str:
    return signs.printed(tone, tied) if isinstance(tone, Pitch) else ""


def _add_value(note: etree._Element, value: NoteValue, voice: str, accidental: str) -> None:
    add(note, "voice", voice)
    add(note, "type", value.kind)
    for _ in range(value.dots):
        add(note, "dot")
    if accidental:
        add(note, "accidental", accidental)


def _add_time_modification(note: etree._Element, event: Event, spans: Sequence[TupletSpan]) -> None:
    if not event.tuplets:
        return
    made = add(note, "time-modification")
    add(made, "actual-notes", prod(bracket.ratio.actual for bracket in event.tuplets))
    add(made, "normal-notes", prod(bracket.ratio.normal for bracket in event.tuplets))
    unit = spans[0].unit if len(spans) == 1 else None
    if unit is not None and unit != event.value:
        add(made, "normal-type", unit.kind)
        for _ in range(unit.dots):
            add(made, "normal-dot")


def _add_beams(note: etree._Element, levels: Levels) -> None:
    for level, word in enumerate(levels, start=1):
        add(note, "beam", word, number=str(level))


def _ties(note: Note) -> list[str]:
    return [kind for kind, has in (("stop", note.tie_stop), ("start", note.tie_start)) if has]


def _add_notations(made: etree._Element, note: Note, pen: Pen, stem: Stem, first: bool) -> None:
    """Ties on every head of a chord, all else on the first; nothing where there is nothing."""
    notations = etree.Element("notations")
    for kind in _ties(note) if not note.cue else ():
        add(notations, "tied", type=kind)
    if first:
        _add_slurs_to(notations, note, pen)
        _add_tuplets(notations, list(zip(note.tuplets, stem.spans, strict=False)))
        _add_signs(notations, note.articulations)
    if len(notations):
        made.append(notations)


def _add_slurs(made: etree._Element, grace: Grace, pen: Pen) -> None:
    notations = etree.Element("notations")
    _add_slurs_to(notations, grace, pen)
    if len(notations):
        made.append(notations)


def _add_slurs_to(notations: etree._Element, site: Note | Grace, pen: Pen) -> None:
    for kind, slurs in (("stop", site.slur_stops), ("start", site.slur_starts)):
        for slur in slurs:
            if slur in pen.slurs:
                add(notations, "slur", type=kind, number=str(pen.slurs[slur]))


def _add_tuplets(
    notations: etree._Element, brackets: Sequence[tuple[TupletBracket, TupletSpan]]
) -> None:
    """Starts from the outermost, stops from the innermost; nested ones tell their own ratio."""
    nested = len(brackets) > 1
    for bracket, span in brackets:
        if not bracket.starts:
            continue
        shown = "yes" if span.bracket else "no"
        made = add(notations, "tuplet", type="start", number=str(span.depth + 1), bracket=shown)
        if nested or span.unit is not None:
            _add_portion(made, "tuplet-actual", bracket.ratio.actual, span.unit)
            _add_portion(made, "tuplet-normal", bracket.ratio.normal, span.unit)
    for bracket, span in reversed(brackets):
        if bracket.stops:
            add(notations, "tuplet", type="stop", number=str(span.depth + 1))


def _add_portion(tuplet: etree._Element, tag: str, count: int, unit: NoteValue | None) -> None:
    portion = add(tuplet, tag)
    add(portion, "tuplet-number", count)
    if unit is not None:
        add(portion, "tuplet-type", unit.kind)
        for _ in range(unit.dots):
            add(portion, "tuplet-dot")


def _add_signs(notations: etree._Element, signs: Sequence[Articulation]) -> None:
    if Articulation.FERMATA in signs:
        add(notations, "fermata")
    ornaments = [sign for sign in signs if sign in _ORNAMENTS]
    if ornaments:
        holder = add(notations, "ornaments")
        for sign in ornaments:
            if sign is Articulation.TREMOLO:
                add(holder, "tremolo", _TREMOLO_STROKES, type="single")
            else:
                add(holder, sign.value)
    plain = [s for s in signs if s not in _ORNAMENTS and s is not Articulation.FERMATA]
    if plain:
        holder = add(notations, "articulations")
        for sign in plain:
            add(holder, sign.value, **_TYPES.get(sign, {}))
