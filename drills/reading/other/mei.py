"""MEI files (Music Encoding Initiative, versions 3 to 5) -> MusicXML, by music21.

The tree is parsed by the same hardened parser as MusicXML, and only then handed on.  Two
things are put in order before: sung words, which music21 may refuse and no player needs,
go; and clef, key and metre that stand as elements inside a staff's definition (MEI
guidelines, "cmn") become the attributes that music21 looks for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from lxml import etree

from drills.errors import ReadError
from drills.reading.check import check_size
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
    text = etree.tostring(root, encoding="unicode")
    score = read_stream(lambda: MeiToM21Converter(text).run(), KIND, foreign.where)
    return Translation(document(score, KIND, foreign.where), tuple(_remarks(root)))


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


def _remarks(root: etree._Element) -> Iterator[str]:
    """What the file does not say, or what is not taken from it."""
    for told, missing in _SILENT:
        if missing(root):
            yield told


def _lacks(*names: str) -> Callable[[etree._Element], bool]:
    return lambda root: not any(element.get(name) for element in root.iter() for name in names)


_SILENT: Final = (
    ("The MEI file gives no key signature; every accidental is printed.", _lacks("key.sig")),
    ("The MEI file gives no metre; bars are as long as their notes.", _lacks("meter.count")),
)
