"""Bars typed as ABC 2.1 -> MusicXML for the player of an instrument.

What the reader of ABC only notes and passes over is an error here, which names the word,
and so is a bar that its metre does not fill: the player can put it right at once.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from lxml import etree

from drills.errors import ReadError
from drills.music.pitch import CONCERT
from drills.music.time import TimeSignature
from drills.reading.limits import Limits
from drills.reading.other.abc import Complaint, read_tune
from drills.reading.other.foreign import Translation
from drills.reading.other.player import Player
from drills.reading.other.scorexml import Heading
from drills.reading.other.word_notes import BadWordError

_LEADING: Final = re.compile(
    r"\s*\[?([XTCMLQKV]):[ \t]*((?:[^\s\]]|[ \t](?=(?:major|minor|clef)))+)\]?"
)
_ORDER: Final = "XTCMLQVK"
_USUAL: Final = {"X": "1", "M": "4/4", "L": "1/8", "K": "C"}


def abc_document(
    text: str, player: Player, heading: Heading, limits: Limits, where: str
) -> Translation:
    """The bars as MusicXML; raises BadWordError for a word that is not read."""
    tune, body = _tune(text)
    try:
        document, complaints = read_tune(tune, limits, where)
    except ReadError as error:
        raise BadWordError(str(error).removeprefix(f"{where}: ")) from error
    for complaint in complaints:
        raise BadWordError(_told(complaint, body))
    root = etree.fromstring(document)
    _check_bars(root, body)
    _put_on(root, player, heading)
    return Translation(etree.tostring(root, encoding="UTF-8", xml_declaration=True))


def _tune(text: str) -> tuple[str, str]:
    """The text with the fields that a tune must have, each on a line, and its music."""
    fields = dict(_USUAL)
    at = 0
    while found := _LEADING.match(text, at):
        fields[found[1]] = found[2].strip()
        at = found.end()
    body = text[at:].strip()
    head = "".join(f"{key}:{fields[key]}\n" for key in _ORDER if key in fields)
    return f"{head}{body}\n", body


def _told(complaint: Complaint, body: str) -> str:
    """What is wrong, with the word of the text that it stands in."""
    if not complaint.sign:
        return complaint.message.removeprefix("The ABC reader says: ").rstrip(".")
    bar, number, word = _word_with(complaint.sign, body)
    return f'bar {bar}, word {number}, "{word}": {complaint.sign} is no sign of ABC that is read'


def _word_with(sign: str, body: str) -> tuple[int, int, str]:
    """The first word with a sign: its bar, its place in it, and itself."""
    plain = re.sub(r'"[^"]*"|!([^!]*)!', lambda found: found[0] if found[1] == sign else "", body)
    for bar, text in enumerate(_bars(plain), start=1):
        for number, word in enumerate(text.split(), start=1):
            if sign in word:
                return bar, number, word
    return 1, 1, sign


def _bars(body: str) -> list[str]:
    return [text for text in re.split(r"[|:\]]*\|[|:\]]*", body) if text.strip()]


def _check_bars(root: etree._Element, body: str) -> None:
    """Every bar as long as its metre; the first and the last may be shorter."""
    texts = _bars(body)
    divisions, full = 1, Fraction(4)
    measures = [m for m in root.iterfind("part[1]/measure") if m.find("note") is not None]
    for place, measure in enumerate(measures):
        if (said := measure.findtext("attributes/divisions")) is not None:
            divisions = int(said)
        time = measure.find("attributes/time")
        if time is not None:
            full = TimeSignature.parse(
                f"{time.findtext('beats')}/{time.findtext('beat-type')}"
            ).bar_length.quarters
        length = Fraction(_length(measure), divisions)
        inner = 0 < place < len(measures) - 1
        if length > full or (inner and length < full):
            text = texts[place].strip() if place < len(texts) else ""
            raise BadWordError(
                f'bar {place + 1}, "{text}": it lasts {length} quarters, its metre {full}; set a '
                "bar line, or change L: or M:"
            )


def _length(measure: etree._Element) -> int:
    """What the first voice of a bar adds up to, in divisions."""
    total = 0
    for child in measure:
        if child.tag == "backup":
            break
        counted = child.find("chord") is None and child.find("grace") is None
        if child.tag in {"note", "forward"} and counted:
            total += int(child.findtext("duration") or 0)
    return total


def _put_on(root: etree._Element, player: Player, heading: Heading) -> None:
    """Names, clef and transposition of the player's instrument."""
    fact = player.fact
    for entry in root.iterfind("part-list/score-part"):
        _set_text(entry, "part-name", player.name)
        for child in entry.findall("midi-instrument") + entry.findall("score-instrument"):
            entry.remove(child)
        if fact is not None:
            listed = etree.SubElement(entry, "score-instrument", id=f"{entry.get('id')}-I1")
            etree.SubElement(listed, "instrument-name").text = fact.name
    for note in root.iter("note"):
        for instrument in note.findall("instrument"):
            note.remove(instrument)
    if heading.title and root.find("work/work-title") is None:
        work = etree.Element("work")
        etree.SubElement(work, "work-title").text = heading.title
        root.insert(0, work)
    if fact is None:
        return
    for attributes in _first(root):
        clef = attributes.find("clef")
        if clef is None:
            clef = etree.SubElement(attributes, "clef")
        _set_text(clef, "sign", fact.clef.sign)
        _set_text(clef, "line", str(fact.clef.line))
        if fact.transposition != CONCERT and attributes.find("transpose") is None:
            moved = etree.SubElement(attributes, "transpose")
            etree.SubElement(moved, "diatonic").text = str(fact.transposition.diatonic)
            etree.SubElement(moved, "chromatic").text = str(fact.transposition.chromatic)


def _first(root: etree._Element) -> Sequence[etree._Element]:
    """The attributes at the start of each part."""
    return root.findall("part/measure[1]/attributes[1]")


def _set_text(parent: etree._Element, tag: str, text: str) -> None:
    child = parent.find(tag)
    if child is None:
        child = etree.SubElement(parent, tag)
    child.text = text
