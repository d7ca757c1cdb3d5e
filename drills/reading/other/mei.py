"""MEI files (Music Encoding Initiative, versions 3 to 5) -> MusicXML, by music21.

The tree is parsed by the same hardened parser as MusicXML, and only then handed on.  Two
things are put in order before: sung words, which music21 may refuse and no player needs,
go; and clef, key and metre that stand as elements inside a staff's definition (MEI
guidelines, "cmn") become the attributes that music21 looks for.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from lxml import etree

from drills.errors import ReadError
from drills.reading.check import check_size
from drills.reading.given import AS_BARS, Given, Silence
from drills.reading.guard import parse_document
from drills.reading.limits import Limits
from drills.reading.offline import without_network_client
from drills.reading.other.foreign import Foreign, Translation
from drills.reading.other.streams import document, read_stream

with without_network_client():
    from music21.mei.base import MeiToM21Converter

KIND: Final = "MEI"
NAMESPACE: Final = "http://www.music-encoding.org/ns/mei"
_MEI: Final = f"{{{NAMESPACE}}}"
_UNSUNG: Final = ("verse", "syl", "lyrics", "refrain")
_AS_ATTRIBUTES: Final = {
    "keySig": {"sig": "key.sig", "mode": "key.mode"},
    "meterSig": {"count": "meter.count", "unit": "meter.unit", "sym": "meter.sym"},
    "clef": {
        "shape": "clef.shape",
        "line": "clef.line",
        "dis": "clef.dis",
        "dis.place": "clef.dis.place",
    },
}
"""Children of a definition, and the attributes of it that say the same."""
_COUNTED: Final = ("note", "rest", "chord", "mRest", "space")


def from_mei(foreign: Foreign) -> Translation:
    """The score as MusicXML; raises ReadError and LimitError."""
    check_size(foreign.data, foreign.limits, foreign.where)
    root = parse_document(foreign.data, foreign.limits, foreign.where)
    _check(root, foreign.limits, foreign.where)
    _put_in_order(root)
    silence = _silence(root)
    _complete(root, silence, foreign.given)
    text = etree.tostring(root, encoding="unicode")
    score = read_stream(lambda: MeiToM21Converter(text).run(), KIND, foreign.where)
    return Translation(document(score, KIND, foreign.where), tuple(_remarks(root)), silence)


def _check(root: etree._Element, limits: Limits, where: str) -> None:
    bars = _count(root, "measure")
    if not bars or not any(_count(root, tag) for tag in _COUNTED):
        raise ReadError(
            f"{where}: the MEI file has no bars with notes (music without bars cannot be read); "
            "export the score as MusicXML"
        )
    limits.check("bars", bars, where)
    staves = len({element.get("n") for element in root.iter(f"{_MEI}staffDef")})
    limits.check("parts", staves, where)
    notes = sum(_count(root, tag) for tag in _COUNTED)
    limits.check("notes", notes // max(1, staves), where)
    for name, limit in _NUMBERS.items():
        for element in root.iter(etree.Element):
            text = element.get(name) or ""
            if len(text) > 9 or (text.isdigit() and int(text) > getattr(limits, limit)):
                raise limits.exceeded(limit, text[:12], where)


_NUMBERS: Final = {
    "dots": "dots",
    "num": "tuplet",
    "numbase": "tuplet",
    "meter.count": "beats",
    "count": "beats",
}
"""Attributes that ask for work, and the limits that hold for them."""


def _count(root: etree._Element, tag: str) -> int:
    return sum(1 for _ in root.iter(f"{_MEI}{tag}"))


def _put_in_order(root: etree._Element) -> None:
    for tag in _UNSUNG:
        for element in list(root.iter(f"{_MEI}{tag}")):
            parent = element.getparent()
            if parent is not None:
                parent.remove(element)
    for definition in ("scoreDef", "staffDef"):
        for element in root.iter(f"{_MEI}{definition}"):
            for child, names in _AS_ATTRIBUTES.items():
                _hoist(element, child, names)
    for number, measure in enumerate(root.iter(f"{_MEI}measure"), start=1):
        if not (measure.get("n") or "").isdigit():
            measure.set("n", str(number))


def _hoist(definition: etree._Element, child: str, names: dict[str, str]) -> None:
    """What an element inside a definition says, as attributes of the definition."""
    found = definition.find(f"{_MEI}{child}")
    if found is None:
        return
    for name, attribute in names.items():
        value = found.get(name)
        if value is not None and definition.get(attribute) is None:
            definition.set(attribute, value)
    definition.remove(found)


def _silence(root: etree._Element) -> Silence:
    metre, key = _says(root, "meter.count"), _says(root, "key.sig")
    return Silence("" if metre else AS_BARS, "" if key else "no key")


def _says(root: etree._Element, name: str) -> bool:
    return any(element.get(name) for element in root.iter(etree.Element))


def _complete(root: etree._Element, silence: Silence, given: Given) -> None:
    """What the player gives, in every staff's definition."""
    for staff in root.iter(f"{_MEI}staffDef"):
        if silence.metre and given.metre is not None:
            staff.set("meter.count", str(given.metre.count))
            staff.set("meter.unit", str(given.metre.unit))
        if silence.key and given.key is not None:
            fifths = given.key.fifths
            staff.set("key.sig", f"{abs(fifths)}{'f' if fifths < 0 else 's'}" if fifths else "0")


def _remarks(root: etree._Element) -> Iterator[str]:
    """What the file does not say."""
    silence = _silence(root)
    if silence.key:
        yield "The MEI file gives no key signature; every accidental is printed."
    if silence.metre:
        yield "The MEI file gives no metre; bars are as long as their notes."
