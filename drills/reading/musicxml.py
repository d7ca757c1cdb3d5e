"""MusicXML files -> Part.  The only module that knows music21.

music21 reads what a note is: its pitch or drum, its chord, its articulations
and ornaments.  What music21 cannot say exactly (it takes lengths from rounded
durations, drops cues' marks, guesses bar numbers) is read from the XML itself;
see timing.py, tuplets.py, ties.py, harvest.py.  The two readings are joined by
a key: the copy of the part that music21 sees carries in each note's ``color``
the note's place in the part, and music21 hands that attribute on unchanged.

music21 never sees the file.  It is given a tree of our own making, of one part,
already checked; it neither guesses a format nor touches a cache or the network.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

from lxml import etree
from music21.exceptions21 import Music21Exception
from music21.musicxml.xmlToM21 import MusicXMLImporter
from music21.note import GeneralNote
from music21.stream import Score

from drills.errors import ReadError
from drills.music.pitch import Pitch, Tone, Unpitched
from drills.music.score import Articulation, Credits, Part
from drills.reading.assemble import StaffSource, assemble
from drills.reading.clusters import Cluster, Head, RawBar, raw_bars
from drills.reading.credits import read_credits
from drills.reading.elsewhere import OtherParts
from drills.reading.guard import ScoreTree, open_tree
from drills.reading.harvest import SideData, harvest
from drills.reading.limits import Limits, place_of
from drills.reading.partlist import PartEntry, ScorePart, choose, list_entries, score_parts
from drills.reading.voices import Sound
from drills.reading.xmltext import text_of

_ARTICULATIONS: Final = {
    "Accent": Articulation.ACCENT,
    "StrongAccent": Articulation.STRONG_ACCENT,
    "Staccato": Articulation.STACCATO,
    "Staccatissimo": Articulation.STACCATISSIMO,
    "Tenuto": Articulation.TENUTO,
    "DetachedLegato": Articulation.DETACHED_LEGATO,
    "BreathMark": Articulation.BREATH_MARK,
    "Fermata": Articulation.FERMATA,
    "Trill": Articulation.TRILL,
    "Turn": Articulation.TURN,
    "InvertedTurn": Articulation.INVERTED_TURN,
    "Mordent": Articulation.MORDENT,
    "InvertedMordent": Articulation.INVERTED_MORDENT,
    "Tremolo": Articulation.TREMOLO,
    "Scoop": Articulation.SCOOP,
    "Plop": Articulation.PLOP,
    "Doit": Articulation.DOIT,
    "Falloff": Articulation.FALLOFF,
}
"""music21's classes of signs that stay with a note."""
_SIGNS: Final = ("articulations", "ornaments")
_PASSED_ON: Final = {str(sign) for sign in Articulation} | {"delayed-turn", "delayed-inverted-turn"}
_FOREIGN: Final = (
    Music21Exception,
    ArithmeticError,
    AttributeError,
    LookupError,
    TypeError,
    ValueError,
)
"""What music21 may raise on a note that it cannot make sense of."""


@dataclass(frozen=True, slots=True)
class ScoreFile:
    """A MusicXML file that was opened within limits."""

    path: Path
    entries: tuple[PartEntry, ...]
    """The players: one entry for each staff of each part."""
    credits: Credits
    parts: tuple[ScorePart, ...] = field(repr=False, compare=False)
    tree: ScoreTree = field(repr=False, compare=False)

    @property
    def where(self) -> str:
        """How messages about the file begin."""
        return place_of(self.path)


def open_score(path: Path, limits: Limits | None = None) -> ScoreFile:
    """Open a .musicxml, .xml or .mxl file within limits and list its players.

    Cheap: no part is read yet.  Raises ReadError, LimitError, NotMusicXMLError.
    """
    limits = limits or Limits()
    tree = open_tree(path, limits)
    parts = score_parts(tree.root, limits)
    return ScoreFile(path, list_entries(parts), read_credits(tree.root), parts, tree)


def read_part(score: ScoreFile, choice: str | None = None) -> Part:
    """The part that ``choice`` names: by name, the beginning of it, number or identifier.

    None takes the only part there is.  Raises UsageError where the choice fits
    no part or several, ReadError where the part cannot be read.
    """
    return _read(
        score, choose(score.entries, choice, score.where), harvest(score.tree.root, score.where)
    )


def read_all(score: ScoreFile) -> tuple[Part, ...]:
    """Every part of the score, each staff of a part for itself."""
    side = harvest(score.tree.root, score.where)
    return tuple(_read(score, entry, side) for entry in score.entries)


def _read(score: ScoreFile, entry: PartEntry, side: SideData) -> Part:
    part = score.parts[entry.number - 1]
    raw = raw_bars(score.tree.part(part.index), entry.staff, score.where)
    sounds = dict(_sounds(raw, score.where))
    others = OtherParts(score.tree, part.index)
    first = part.first_transposition
    source = StaffSource(
        raw,
        entry.staff,
        sounds,
        side,
        part.index,
        lambda _index, transposition: part.instrument(transposition if first else None),
        others.latest_end,
    )
    bars, lost = assemble(source)
    return Part(
        name=entry.name,
        instrument=bars[0].instrument,
        bars=bars,
        credits=score.credits,
        source=str(score.path),
        part_id=entry.part_id,
        staff=entry.staff,
        remarks=lost,
    )


def _sounds(raw: Sequence[RawBar], where: str) -> Iterator[tuple[int, Sound]]:
    """Tones and articulations of every cluster, by its key."""
    heads = _ask_music21(_tree_for_music21(raw), where)
    for bar in raw:
        for cluster in bar.clusters:
            found = [heads[head.key] for head in _visible(cluster) if head.key in heads]
            if found:
                signs = dict.fromkeys(sign for _, signs in found for sign in signs)
                yield cluster.key, Sound(tuple(tone for tone, _ in found), tuple(signs))


def _visible(cluster: Cluster) -> list[Head]:
    return [head for head in cluster.heads if not head.hidden] or cluster.heads


def _tree_for_music21(raw: Sequence[RawBar]) -> ElementTree.Element:
    """A partwise score of one part with nothing but the heads of its notes.

    Every note is a quarter and all stand in one long bar: lengths and bars are not
    music21's business here, and a bar at a time costs it four times as long.
    """
    score = ElementTree.Element("score-partwise", version="4.0")
    listed = ElementTree.SubElement(
        ElementTree.SubElement(score, "part-list"), "score-part", id="P1"
    )
    ElementTree.SubElement(listed, "part-name").text = ""
    part = ElementTree.SubElement(score, "part", id="P1")
    measure = ElementTree.SubElement(part, "measure", number="1")
    attributes = ElementTree.SubElement(measure, "attributes")
    ElementTree.SubElement(attributes, "divisions").text = "1"
    for bar in raw:
        for cluster in bar.clusters:
            _copy_cluster(cluster, measure)
    return score


def _copy_cluster(cluster: Cluster, measure: ElementTree.Element) -> None:
    for place, head in enumerate(cluster.heads):
        note = ElementTree.SubElement(measure, "note", color=str(head.key))
        if place:
            ElementTree.SubElement(note, "chord")
        for tag in ("pitch", "unpitched"):
            found = head.element.find(tag)
            if found is not None:
                copied = ElementTree.SubElement(note, tag)
                for child in found:
                    ElementTree.SubElement(copied, str(child.tag)).text = text_of(child)
        ElementTree.SubElement(note, "duration").text = "1"
        ElementTree.SubElement(note, "type").text = "quarter"
        _copy_signs(head.element, note)


def _copy_signs(original: etree._Element, note: ElementTree.Element) -> None:
    notations = None
    for group in original.iterfind("notations"):
        for signs in group:
            inside = (
                [signs] if signs.tag == "fermata" else list(signs) if signs.tag in _SIGNS else []
            )
            wanted = [sign for sign in inside if sign.tag in _PASSED_ON]
            if not wanted:
                continue
            if notations is None:
                notations = ElementTree.SubElement(note, "notations")
            home = notations
            if signs.tag in _SIGNS:
                home = ElementTree.SubElement(notations, str(signs.tag))
            for sign in wanted:
                if sign.tag == "tremolo" and sign.get("type", "single") != "single":
                    continue
                ElementTree.SubElement(home, str(sign.tag))


def _ask_music21(
    tree: ElementTree.Element, where: str
) -> dict[int, tuple[Tone, tuple[Articulation, ...]]]:
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


def _heads(score: Score) -> Iterator[tuple[int, tuple[Tone, tuple[Articulation, ...]]]]:
    for part in score.parts:
        for measure in part.getElementsByClass("Measure"):
            for element in measure.notes:
                signs = tuple(
                    _ARTICULATIONS[type(sign).__name__]
                    for sign in (*element.articulations, *element.expressions)
                    if type(sign).__name__ in _ARTICULATIONS
                )
                members = element.notes if hasattr(element, "notes") else (element,)
                for member in members:
                    yield int(member.style.color), (_tone(member), signs)


def _tone(member: GeneralNote) -> Tone:
    if not hasattr(member, "pitch"):
        return Unpitched(member.displayStep, member.displayOctave)
    pitch = member.pitch
    alter = Fraction(pitch.accidental.alter if pitch.accidental else 0).limit_denominator(1000)
    return Pitch(pitch.step, alter, pitch.octave)
