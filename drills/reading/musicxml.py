"""MusicXML files -> Part.  The only module that knows music21.

music21 reads what a note is: its pitch or drum, its chord, its articulations
and ornaments.  What music21 cannot say exactly (it takes lengths from rounded
durations, reads cues as the player's notes, guesses bar numbers) is read from
the XML itself; see timing.py, tuplets.py, ties.py, harvest.py.  The two
readings are joined by a key: the copy of the part that music21 sees carries in
each note's ``color`` the note's place in the part, and music21 hands that
attribute on unchanged, also for the members of a chord.

music21 never sees the file.  It is given a tree of our own making, of one part,
already checked; it neither guesses a format nor touches a cache or the network.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
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
from drills.music.pitch import STEPS, Pitch, Tone, Transposition, Unpitched
from drills.music.score import Articulation, Credits, Instrument, Part
from drills.reading.assemble import StaffSource, assemble
from drills.reading.clusters import Cluster, Head, RawBar, raw_bars
from drills.reading.credits import read_credits
from drills.reading.elsewhere import OtherParts
from drills.reading.guard import ScoreTree, open_tree
from drills.reading.harvest import SideData, harvest
from drills.reading.limits import Limits
from drills.reading.partlist import PartEntry, ScorePart, choose, list_entries, score_parts
from drills.reading.remarks import about_part
from drills.reading.voices import Sound
from drills.reading.xmltext import as_decimal, as_int, bar_of, child_text

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
_SIGN_GROUPS: Final = ("articulations", "ornaments")
_SIGNS: Final = {str(sign) for sign in Articulation} | {"delayed-turn", "delayed-inverted-turn"}
"""The elements that music21 is shown; their names are those of Articulation."""
_OCTAVES: Final = range(-1, 12)
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
        return self.tree.where


def open_score(path: Path, limits: Limits | None = None) -> ScoreFile:
    """Open a .musicxml, .xml or .mxl file within limits and list its players.

    Cheap: no part is read yet.  Raises ReadError, LimitError, NotMusicXMLError.
    """
    tree = open_tree(path, limits or Limits())
    parts = score_parts(tree.root, tree.limits)
    return ScoreFile(path, list_entries(parts), read_credits(tree.root), parts, tree)


def read_part(score: ScoreFile, choice: str | None = None) -> Part:
    """The part that ``choice`` names: a name, the beginning of one, a number, an identifier.

    None takes the only part there is, of several staves the first.  Raises
    UsageError where the choice fits no part or several, ReadError or LimitError
    where the part cannot be read.
    """
    entry = choose(score.entries, choice, score.where)
    return _read(score, entry, harvest(score.tree.root, score.where))


def read_all(score: ScoreFile) -> tuple[Part, ...]:
    """Every part of the score, each staff of a part for itself; errors as for read_part."""
    side = harvest(score.tree.root, score.where)
    return tuple(_read(score, entry, side) for entry in score.entries)


def _read(score: ScoreFile, entry: PartEntry, side: SideData) -> Part:
    part = score.parts[entry.part]
    raw = raw_bars(score.tree.part(part.index), entry.staff, score.tree.limits, score.where)
    source = StaffSource(
        raw,
        entry.staff,
        dict(_sounds(raw, part, score.where)),
        side,
        part.index,
        _Players(part, raw).instrument,
        OtherParts(score.tree, part.index).latest_end,
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
        remarks=(*about_part(bars, entry.staves, entry.staff), *remarks),
    )


class _Players:
    """Which instrument is played in each bar, where the notes say that it changes.

    A part of drums names an instrument for each note: that is no change.
    """

    def __init__(self, part: ScorePart, raw: Sequence[RawBar]) -> None:
        self._part = part
        self._playing: list[str] = []
        drums = any(head.unpitched for bar in raw for c in bar.clusters for head in c.heads)
        now = ""
        for bar in raw:
            if len(part.players) > 1 and not drums:
                now = next(filter(None, map(_player, bar.clusters)), now)
            self._playing.append(now)

    def instrument(self, index: int, transposition: Transposition | None) -> Instrument:
        """What is played in the bar of that index."""
        return self._part.instrument(transposition, self._playing[index])


def _player(cluster: Cluster) -> str:
    found = cluster.element.find("instrument") if cluster.heads else None
    return "" if found is None else found.get("id") or ""


def _sounds(raw: Sequence[RawBar], part: ScorePart, where: str) -> Iterator[tuple[int, Sound]]:
    """Tones and articulations of every cluster with a note, by its key."""
    heads = _ask_music21(_tree_for_music21(raw, where), where)
    for bar in raw:
        for cluster in bar.clusters:
            visible = [head for head in cluster.heads if not head.hidden] or cluster.heads
            if visible:
                signs = dict.fromkeys(sign for head in visible for sign in heads[head.key][1])
                tones = (_named(heads[head.key][0], head, part) for head in visible)
                yield cluster.key, Sound(tuple(dict.fromkeys(tones)), tuple(signs))


def _named(tone: Tone, head: Head, part: ScorePart) -> Tone:
    """The tone with what music21 does not keep: a drum's name, a rare alteration."""
    if isinstance(tone, Unpitched):
        player = head.element.find("instrument")
        name = part.name_of(player.get("id") or "") if player is not None else ""
        return replace(tone, instrument=name) if name else tone
    alter = as_decimal(child_text(head.element, "pitch/alter")) or Fraction(0)
    return tone if alter == tone.alter else replace(tone, alter=alter)


def _tree_for_music21(raw: Sequence[RawBar], where: str) -> ElementTree.Element:
    """A partwise score of one part with nothing but the heads of its notes.

    Every note is a quarter and all stand in one long bar: lengths and bars are not
    music21's business here, and a bar at a time costs it four times as long.
    """
    score = ElementTree.Element("score-partwise", version="4.0")
    parts = ElementTree.SubElement(score, "part-list")
    ElementTree.SubElement(ElementTree.SubElement(parts, "score-part", id="P1"), "part-name")
    part = ElementTree.SubElement(score, "part", id="P1")
    measure = ElementTree.SubElement(part, "measure", number="1")
    attributes = ElementTree.SubElement(measure, "attributes")
    ElementTree.SubElement(attributes, "divisions").text = "1"
    for bar in raw:
        for cluster in bar.clusters:
            for place, head in enumerate(cluster.heads):
                _copy_note(head, measure, in_chord=place > 0, where=where)
    return score


def _copy_note(head: Head, measure: ElementTree.Element, *, in_chord: bool, where: str) -> None:
    note = ElementTree.SubElement(measure, "note", color=str(head.key))
    if in_chord:
        ElementTree.SubElement(note, "chord")
    if head.unpitched:
        _copy_position(head, note, ("unpitched", "display-step", "display-octave"), where)
    else:
        pitch = _copy_position(head, note, ("pitch", "step", "octave"), where)
        ElementTree.SubElement(pitch, "alter").text = str(_alter(head, where))
    ElementTree.SubElement(note, "duration").text = "1"
    ElementTree.SubElement(note, "type").text = "quarter"
    _copy_signs(head.element, note)


def _copy_position(
    head: Head, note: ElementTree.Element, tags: tuple[str, str, str], where: str
) -> ElementTree.Element:
    """Step and octave; a drum without a place stands on the middle line."""
    parent, step_tag, octave_tag = tags
    step = child_text(head.element, f"{parent}/{step_tag}")
    octave = child_text(head.element, f"{parent}/{octave_tag}")
    if head.unpitched and not step:
        step, octave = "B", "4"
    if step not in STEPS or as_int(octave) not in _OCTAVES:
        raise ReadError(
            f"{where}, bar {bar_of(head.element)}: {f'{step}{octave}'[:40]!r} is no pitch; "
            "export the score again"
        )
    copied = ElementTree.SubElement(note, parent)
    ElementTree.SubElement(copied, step_tag).text = step
    ElementTree.SubElement(copied, octave_tag).text = str(as_int(octave))
    return copied


def _alter(head: Head, where: str) -> float:
    """The alteration in semitones, to the nearest quarter tone, which music21 knows."""
    text = child_text(head.element, "pitch/alter")
    alter = as_decimal(text) if text else Fraction(0)
    if alter is None or abs(alter) > 3:
        raise ReadError(
            f"{where}, bar {bar_of(head.element)}: an alteration of {text[:40]!r} semitones "
            "is no pitch; export the score again"
        )
    return float(round(alter / _HALF) * _HALF)


def _copy_signs(original: etree._Element, note: ElementTree.Element) -> None:
    """Articulations, ornaments and fermatas, without what they carry."""
    home: ElementTree.Element | None = None
    for notations in original.iterfind("notations"):
        for group in notations:
            inside = group if group.tag in _SIGN_GROUPS else (group,)
            for sign in inside:
                if sign.tag not in _SIGNS or sign.get("type") in {"start", "stop"}:
                    continue
                if home is None:
                    home = ElementTree.SubElement(note, "notations")
                parent = home if group is sign else ElementTree.SubElement(home, str(group.tag))
                ElementTree.SubElement(parent, str(sign.tag))


def _ask_music21(
    tree: ElementTree.Element, where: str
) -> dict[int, tuple[Tone, tuple[Articulation, ...]]]:
    """What music21 says of every note head, by its key."""
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
    for measure in score.parts[0].getElementsByClass("Measure"):
        for element in measure.notes:
            signs = tuple(
                _ARTICULATIONS[type(sign).__name__]
                for sign in (*element.articulations, *element.expressions)
                if type(sign).__name__ in _ARTICULATIONS
            )
            for member in getattr(element, "notes", (element,)):
                yield int(member.style.color), (_tone(member), signs)


def _tone(note: GeneralNote) -> Tone:
    if not hasattr(note, "pitch"):
        return Unpitched(note.displayStep, note.displayOctave)
    pitch = note.pitch
    alter = Fraction(pitch.accidental.alter) if pitch.accidental else Fraction(0)
    return Pitch(pitch.step, alter, pitch.octave)
