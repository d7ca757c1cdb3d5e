"""The notes of a part on one time line, and the places where it may be cut.

Problem.  An octave or a clef may change only where a player can take it: not
inside a slur or a tie, and not between two notes of one run, since the leap
would be drilled as a move.

Method.  The notes of all voices in order of time.  The part is cut before a note
where every voice has rested for a beat or longer (the rule by which a run ends),
or for clefs also at a bar line, if no slur, tie or beam leads over the cut.

Conventions.  Times are quarters from the start of the part.  Cues and hidden
notes are nobody's attack: they cut nothing and lie in the stretch around them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from drills.music.lines import bar_starts
from drills.music.notes import Beam, Note
from drills.music.pitch import KeySignature, Pitch, Transposition
from drills.music.score import Bar, Part
from drills.places.finding import Span


@dataclass(frozen=True, slots=True)
class Placed:
    """A note with its place, and what is in force there."""

    note: Note
    bar: int
    """Index of its bar."""
    voice: int
    """Index of its voice in the bar."""
    event: int
    """Index in the voice."""
    start: Fraction
    end: Fraction
    beat: Fraction
    """The beat of its bar, in quarters."""
    key: KeySignature
    moved: Transposition
    """From written to sounding, of the instrument in force."""

    @property
    def place(self) -> tuple[int, int, int]:
        """Bar, voice and event: what the note is found by."""
        return self.bar, self.voice, self.event

    @property
    def plays(self) -> bool:
        """True for a note of this player, tied ones included."""
        return not (self.note.cue or self.note.hidden)


def placed_notes(part: Part) -> tuple[Placed, ...]:
    """Every note of a part in order of time."""
    found = (
        one
        for bar, base in zip(part.bars, bar_starts(part), strict=True)
        for one in _in_bar(bar, base)
    )
    return tuple(sorted(found, key=lambda one: one.start))


def _in_bar(bar: Bar, base: Fraction) -> Iterator[Placed]:
    beat = bar.time.beat.quarters
    for voice_index, voice in enumerate(bar.voices):
        for index, event in enumerate(voice.events):
            if isinstance(event, Note):
                start = base + event.start.quarters
                yield Placed(
                    event,
                    bar.index,
                    voice_index,
                    index,
                    start,
                    start + event.length.quarters,
                    beat,
                    bar.key_at(event.start),
                    bar.instrument.transposition,
                )


def pitches_of(note: Note) -> tuple[Pitch, ...]:
    """Every pitch that is printed with a note, those of its grace notes included."""
    graces = (tone for grace in (*note.graces, *note.graces_after) for tone in grace.tones)
    return tuple(tone for tone in (*note.tones, *graces) if isinstance(tone, Pitch))


def by_voice(part: Part, notes: Sequence[Placed]) -> dict[str, list[Placed]]:
    """The notes of each voice, by its name, in order of time."""
    voices: dict[str, list[Placed]] = {}
    for one in notes:
        voices.setdefault(part.bars[one.bar].voices[one.voice].name, []).append(one)
    return voices


def stretches(
    part: Part, notes: Sequence[Placed], *, at_bar_lines: bool = False
) -> tuple[tuple[Placed, ...], ...]:
    """The notes of a part, cut at rests of a beat or longer and, if asked, at bar lines."""
    reach = _reaches(part, notes)
    found: list[list[Placed]] = []
    end, bar = Fraction(-1), -1
    for one in notes:
        if one.plays:
            new_bar = at_bar_lines and one.bar != bar
            if not found or (one.start >= end and (new_bar or one.start - end >= one.beat)):
                found.append([])
            end, bar = max(end, reach.get(one.place, one.end)), one.bar
        elif not found:
            found.append([])
        found[-1].append(one)
    return tuple(tuple(stretch) for stretch in found)


def _reaches(part: Part, notes: Sequence[Placed]) -> dict[tuple[int, int, int], Fraction]:
    """For notes that lead on (under a slur, a tie or a beam) the end of what they lead to."""
    found: dict[tuple[int, int, int], Fraction] = {}
    ends = {slur: one.end for one in notes for slur in one.note.slur_stops}
    for voice in by_voice(part, [one for one in notes if one.plays]).values():
        for one, after in zip(voice, [*voice[1:], None], strict=True):
            graces = (slur for grace in one.note.graces for slur in grace.slur_starts)
            slurs = [ends[s] for s in (*one.note.slur_starts, *graces) if s in ends]
            bound = one.note.tie_start or one.note.beam in {Beam.START, Beam.CONTINUE}
            tied = [after.end] if bound and after is not None else []
            if slurs or tied:
                found[one.place] = max(one.end, *slurs, *tied)
    return found


def counted(
    part: Part, notes: Sequence[Placed], spans: Sequence[Span]
) -> frozenset[tuple[int, int, int]]:
    """Places of the notes that are drilled: those of the spans with their landing notes.

    Without spans it is every note of the player.
    """
    playing = [one for one in notes if one.plays]
    if not spans:
        return frozenset(one.place for one in playing)
    starts = bar_starts(part)
    found: set[tuple[int, int, int]] = set()
    for span in spans:
        low = starts[span.first.bar] + span.first.start.quarters
        high = starts[span.end.bar] + span.end.start.quarters
        for voice in by_voice(part, playing).values():
            inside = [
                one
                for one in voice
                if low <= one.start < high or (span.includes_end and one.start == high)
            ]
            found.update(one.place for one in inside)
            if inside and not span.includes_end:
                found.update(one.place for one in _landing(voice, inside[-1]))
    return frozenset(found)


def _landing(voice: Sequence[Placed], last: Placed) -> Iterator[Placed]:
    """The note after a stretch, if it follows within a beat."""
    after = next((one for one in voice if one.start > last.start), None)
    if after is not None and after.start - last.end < last.beat:
        yield after
