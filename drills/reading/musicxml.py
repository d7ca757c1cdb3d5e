"""MusicXML -> Part, by way of music21; other formats come as MusicXML (opening.py).

music21 reads what a note is: its pitch or drum, its chord, its articulations
and ornaments.  What music21 cannot say exactly (it takes lengths from rounded
durations, reads cues as the player's notes, guesses bar numbers) is read from
the XML itself; see timing.py, tuplets.py, ties.py, harvest.py.

music21 never sees the file.  It is given a tree of our own making, of notes
already checked, each different note or chord of the part once; it neither
guesses a format nor touches a cache or the network.  Each note carries a key in
its ``color``, which music21 hands on unchanged, also for the members of a chord,
and by which its answers are joined to what stands in the file.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import partial
from typing import Final
from xml.etree import ElementTree

from drills.errors import ReadError
from drills.music.notes import Articulation
from drills.music.pitch import Pitch, Tone, Unpitched
from drills.music.score import Credits, Part
from drills.reading.assemble import StaffSource, assemble
from drills.reading.clusters import Cluster, RawBar, raw_bars
from drills.reading.credits import read_credits
from drills.reading.elsewhere import BarEnds
from drills.reading.given import NOTHING_GIVEN, Given
from drills.reading.guard import ScoreTree
from drills.reading.harvest import SideData, harvest
from drills.reading.heads import ARTICULATIONS, WrittenHead, written_head
from drills.reading.limits import Limits
from drills.reading.offline import without_network_client
from drills.reading.opening import opened
from drills.reading.partlist import PartEntry, ScorePart, choose, list_entries, score_parts
from drills.reading.players import Players
from drills.reading.remarks import CONCERT_SCORE, UNNAMED_CHORDS, about_part, chords_from
from drills.reading.source import ScoreSource
from drills.reading.voices import Sound

with without_network_client():
    from music21.exceptions21 import Music21Exception
    from music21.musicxml.xmlToM21 import MusicXMLImporter
    from music21.note import GeneralNote
    from music21.stream import Score

_HALF: Final = Fraction(1, 2)
_FOREIGN: Final = (
    Music21Exception,
    ArithmeticError,
    AttributeError,
    LookupError,
    TypeError,
    ValueError,
)
"""What music21 may raise on a note that it cannot make sense of."""


@dataclass(slots=True)
class _Read:
    """What has been read of a score, so that a book of eighteen parts reads it once."""

    side: SideData | None = None
    ends: BarEnds | None = None
    parts: dict[int, Part] = field(default_factory=dict)
    """By the number of the entry."""


@dataclass(frozen=True, slots=True)
class ScoreFile:
    """A score that was opened within limits; every part is read once."""

    path: ScoreSource
    entries: tuple[PartEntry, ...]
    """The players: one entry for each staff of each part."""
    credits: Credits
    parts: tuple[ScorePart, ...] = field(repr=False, compare=False)
    tree: ScoreTree = field(repr=False, compare=False)
    read: _Read = field(default_factory=_Read, repr=False, compare=False)
    remarks: tuple[str, ...] = ()
    """What its format does not say, and what its reader left out; they are every part's."""
    given: Given = NOTHING_GIVEN
    """Metre and key that a player gave for it, or was asked for."""

    @property
    def where(self) -> str:
        """How messages about the file begin."""
        return self.tree.where


def open_score(
    source: ScoreSource, limits: Limits | None = None, given: Given = NOTHING_GIVEN
) -> ScoreFile:
    """Open a score of any format that is read, or what was typed, and list its players.

    ``given``: metre and key where the file is silent.  Cheap for MusicXML: no part is read yet.
    Raises ReadError, LimitError, NotMusicXMLError; UsageError for typed notes.
    """
    found = opened(source, limits or Limits(), given)
    tree = found.tree
    parts = score_parts(tree.root, tree.limits)
    credits = read_credits(tree.root)
    return ScoreFile(
        source,
        list_entries(parts),
        credits,
        parts,
        tree,
        remarks=found.remarks,
        given=found.given,
    )


def read_part(score: ScoreFile, choice: str | None = None) -> Part:
    """The part that ``choice`` names: a name, the beginning of one, a number, an identifier.

    None takes the only part there is, of several staves the first.  Raises
    UsageError where the choice fits no part or several, ReadError or LimitError
    where the part cannot be read.
    """
    return _part(score, choose(score.entries, choice, score.where))


def read_all(score: ScoreFile) -> tuple[Part, ...]:
    """Every part of the score, each staff of a part for itself; errors as for read_part."""
    return tuple(_part(score, entry) for entry in score.entries)


def _part(score: ScoreFile, entry: PartEntry) -> Part:
    read = score.read
    if entry.number not in read.parts:
        read.side = read.side or harvest(score.tree.root, score.where)
        read.ends = read.ends or BarEnds(score.tree)
        read.parts[entry.number] = _read(score, entry, read.side, read.ends)
    return read.parts[entry.number]


def _read(score: ScoreFile, entry: PartEntry, side: SideData, ends: BarEnds) -> Part:
    part = score.parts[entry.part]
    raw = raw_bars(score.tree.part(part.index), entry.staff, score.tree.limits, score.where)
    source = StaffSource(
        raw,
        entry.staff,
        dict(_sounds(raw, part.names(), score.where)),
        side,
        part.index,
        Players(part, raw).instrument,
        partial(ends.elsewhere, part.index),
        part.on_drum_channel,
    )
    bars, remarks = assemble(source)
    return Part(
        name=entry.name,
        instrument=bars[0].instrument,
        bars=bars,
        credits=score.credits,
        source=str(score.path),
        part_id=entry.part_id,
        staff=entry.staff,
        remarks=(
            *score.remarks,
            *about_part(bars, entry.staves, entry.staff),
            *_about_score(score, part, side),
            *remarks,
        ),
    )


def _about_score(score: ScoreFile, part: ScorePart, side: SideData) -> Iterator[str]:
    """What the rest of the score means for a part."""
    if part.from_concert_score:
        yield CONCERT_SCORE
    source = side.chord_source(part.index)
    if source < 0 and side.unnamed:
        yield UNNAMED_CHORDS
    for other in score.parts:
        if other.index == source != part.index:
            yield chords_from(other.name)


def _sounds(
    raw: Sequence[RawBar], drums: Mapping[str, str], where: str
) -> Iterator[tuple[int, Sound]]:
    """Tones and articulations of every cluster with a note, by its key."""
    different: dict[tuple[WrittenHead, ...], list[Cluster]] = {}
    for bar in raw:
        for cluster in bar.clusters:
            heads = tuple(written_head(head, drums, where) for head in cluster.printed_heads)
            if heads:
                different.setdefault(heads, []).append(cluster)
    answers = _ask_music21(_tree_for_music21(list(different)), where)
    for number, (heads, clusters) in enumerate(different.items()):
        found = [answers[number, place] for place in range(len(heads))]
        tones = tuple(_completed(tone, head) for (tone, _), head in zip(found, heads, strict=True))
        signs = dict.fromkeys(sign for _, signs in found for sign in signs)
        for cluster in clusters:
            yield cluster.key, Sound(tones, tuple(signs))


def _completed(tone: Tone, head: WrittenHead) -> Tone:
    """The tone with what music21 does not keep: a drum's name, a rare alteration."""
    if isinstance(tone, Unpitched):
        return replace(tone, instrument=head.drum)
    return tone if head.alter == tone.alter else replace(tone, alter=head.alter)


def _tree_for_music21(chords: Sequence[tuple[WrittenHead, ...]]) -> ElementTree.Element:
    """A partwise score of one part with nothing but these notes and chords.

    Every note is a quarter and all stand in one long bar: lengths and bars are
    not music21's business here.
    """
    score = ElementTree.Element("score-partwise", version="4.0")
    parts = ElementTree.SubElement(score, "part-list")
    ElementTree.SubElement(ElementTree.SubElement(parts, "score-part", id="P1"), "part-name")
    part = ElementTree.SubElement(score, "part", id="P1")
    measure = ElementTree.SubElement(part, "measure", number="1")
    attributes = ElementTree.SubElement(measure, "attributes")
    ElementTree.SubElement(attributes, "divisions").text = "1"
    for number, heads in enumerate(chords):
        for place, head in enumerate(heads):
            note = ElementTree.SubElement(measure, "note", color=f"{number} {place}")
            if place:
                ElementTree.SubElement(note, "chord")
            _add_head(head, note)
    return score


def _add_head(head: WrittenHead, note: ElementTree.Element) -> None:
    parent = ElementTree.SubElement(note, head.kind)
    display = "display-" if head.kind == "unpitched" else ""
    ElementTree.SubElement(parent, f"{display}step").text = head.step
    if head.alter:
        # music21 knows nothing finer than quarter tones; _completed puts it right.
        nearest = round(head.alter / _HALF) * _HALF
        ElementTree.SubElement(parent, "alter").text = str(float(nearest))
    ElementTree.SubElement(parent, f"{display}octave").text = str(head.octave)
    ElementTree.SubElement(note, "duration").text = "1"
    ElementTree.SubElement(note, "type").text = "quarter"
    if head.signs:
        notations = ElementTree.SubElement(note, "notations")
        for group, sign in head.signs:
            home = ElementTree.SubElement(notations, group) if group else notations
            ElementTree.SubElement(home, sign)


def _ask_music21(
    tree: ElementTree.Element, where: str
) -> dict[tuple[int, int], tuple[Tone, tuple[Articulation, ...]]]:
    """What music21 says of every note head, by the number of its chord and its place there."""
    importer = MusicXMLImporter()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            importer.xmlRootToScore(tree, importer.stream)
            return dict(_heads(importer.stream))
    except _FOREIGN as error:
        raise ReadError(
            f"{where}: a note cannot be read ({error}); export the score again"
        ) from error


def _heads(
    score: Score,
) -> Iterator[tuple[tuple[int, int], tuple[Tone, tuple[Articulation, ...]]]]:
    for measure in score.parts[0].getElementsByClass("Measure"):
        for element in measure.notes:
            signs = tuple(
                ARTICULATIONS[type(sign).__name__]
                for sign in (*element.articulations, *element.expressions)
                if type(sign).__name__ in ARTICULATIONS
            )
            for member in getattr(element, "notes", (element,)):
                number, place = map(int, member.style.color.split())
                yield (number, place), (_tone(member), signs)


def _tone(note: GeneralNote) -> Tone:
    if not hasattr(note, "pitch"):
        return Unpitched(note.displayStep, note.displayOctave)
    pitch = note.pitch
    alter = Fraction(pitch.accidental.alter) if pitch.accidental else Fraction(0)
    return Pitch(pitch.step, alter, pitch.octave)
