"""A real file and dice -> a damaged one: structure, numbers and bytes are changed.

The seeds are the MusicXML test suite of the LilyPond project and the corpus, both as
music21 carries them, and the project's own scores, as far as they are small.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from copy import deepcopy
from functools import lru_cache
from pathlib import Path
from typing import Final

import music21
from lxml import etree

from drills.reading.container import is_zip, unpack
from drills.reading.limits import Limits

_PACKAGE: Final = Path(music21.__file__).parent
_FOLDERS: Final = (
    (_PACKAGE / "musicxml" / "lilypondTestSuite", 100_000),
    (_PACKAGE / "corpus", 12_000),
    (Path(__file__).parents[2] / "scores", 1_000_000),
)
"""Where seeds are, and the largest in bytes: a packed one is ten times larger unpacked."""
_ENDINGS: Final = (".xml", ".mxl", ".musicxml")

_NUMBERS: Final = (
    *("", "0", "-0", "1", "-1", "2", "3", "7", "11", "64", "97", "255", "1000", "99999", "1e9"),
    *("0.5", "1.5", "0.333333", "-2.25", "1/3", "4+3", "12a", "NaN", "0x10", "²", "٣", " 5 "),
    *("999999999999999", "-999999999", "0.000000000000001", "9" * 400, "1 2", "X1", "+", "."),
)
_WORDS: Final = (
    *("abc", "A", "C", "H", "G", "F", "percussion", "TAB", "none", "major", "minor", "other"),
    *("whole", "half", "quarter", "eighth", "16th", "1024th", "breve", "long", "maxima"),
    *("start", "stop", "continue", "yes", "no", "up", "down", "backward", "forward", "single"),
    *("rit.", "a tempo", "drill", "end drill", "swing", "\U0001d12a", "\u202e", "x" * 3_000),
    *("sharp", "flat", "natural", "quarter-sharp", "double-sharp", "cross", "slash", "diamond"),
)
_ATTRIBUTES: Final = (
    *("print-object", "number", "type", "measure", "implicit", "size", "times", "id", "tempo"),
    *("font-style", "font-weight", "placement", "text", "slash", "color", "new-system"),
)
_KINDS: Final = 14


@lru_cache(maxsize=1)
def seeds() -> tuple[Path, ...]:
    """Every small file of the three sources."""
    return tuple(
        path
        for folder, most in _FOLDERS
        for path in sorted(folder.rglob("*"))
        if path.suffix in _ENDINGS and path.is_file() and path.stat().st_size <= most
    )


@lru_cache(maxsize=32)
def _root(path: Path) -> etree._Element:
    data = path.read_bytes()
    return etree.fromstring(unpack(data, Limits(), str(path)) if is_zip(data) else data)


def damaged(dice: random.Random) -> bytes:
    """A damaged copy of a seed."""
    root = deepcopy(_root(dice.choice(seeds())))
    other = _root(dice.choice(seeds()))
    elements = list(root.iter(etree.Element))
    foreign = list(other.iter(etree.Element))
    for _ in range(dice.choice((1, 1, 2, 3, 6, 12))):
        if sum(1 for _ in root.iter()) > _LARGEST:
            break
        damage(dice.choice(elements), elements, foreign, dice)
    data = bytearray(etree.tostring(root))
    if dice.random() < 0.08:
        _damage_bytes(data, dice)
    return bytes(data)


def damage(  # noqa: PLR0912 - one case for each kind of damage
    element: etree._Element,
    elements: Sequence[etree._Element],
    foreign: Sequence[etree._Element],
    dice: random.Random,
) -> None:
    """Change one element of a tree, or what is around it, in one of many ways."""
    parent = element.getparent()
    match dice.randrange(_KINDS):
        case 0:
            element.text = dice.choice((*_NUMBERS, *_WORDS))
        case 1 if parent is not None:
            parent.remove(element)
        case 2 if parent is not None:
            for _ in range(dice.choice((1, 2, 5, 40))):
                element.addnext(_copy(element))
        case 3:
            element.set(dice.choice(_ATTRIBUTES), dice.choice((*_NUMBERS, *_WORDS)))
        case 4:
            element.tag = dice.choice(elements).tag
        case 5:
            element.append(_copy(dice.choice(elements)))
        case 6:
            for child in list(element):
                element.remove(child)
        case 7:
            element.insert(0, _copy(dice.choice(foreign)))
        case 8:
            _change_numbers(elements, dice)
        case 9:
            tag = element.tag
            for one in elements:
                if one.tag == tag and dice.random() < 0.5 and one.getparent() is not None:
                    one.getparent().remove(one)  # type: ignore[union-attr]
        case 10:
            element[:] = dice.sample(list(element), len(element))
        case 11:
            same = [one for one in elements if one.tag == element.tag]
            one, two = dice.choice(same), dice.choice(same)
            one.text, two.text = two.text, one.text
        case 12 if element.attrib:
            del element.attrib[dice.choice(list(element.attrib))]
        case _:
            measures = [one for one in elements if one.tag == "measure"]
            if measures:
                measure, children = dice.choice(measures), list(dice.choice(measures))
                for _ in range(dice.choice((1, 8))):
                    measure.extend([_copy(child) for child in children[:_LARGEST_COPY]])


_LARGEST: Final = 100_000
"""Elements of a file that is damaged no further: what is larger is tested elsewhere."""
_LARGEST_COPY: Final = 400
"""Elements; larger ones are copied without what is in them."""


def _copy(element: etree._Element) -> etree._Element:
    if sum(1 for _ in element.iter()) > _LARGEST_COPY:
        return etree.Element(element.tag)
    return deepcopy(element)


def _change_numbers(elements: Sequence[etree._Element], dice: random.Random) -> None:
    """All numbers of one name, in the same way."""
    numbers = [one for one in elements if (one.text or "").strip().lstrip("-").isdecimal()]
    if not numbers:
        return
    tag = dice.choice(numbers).tag
    add, times = dice.choice((-3, -1, 0, 1, 5)), dice.choice((-1, 0, 1, 1, 2, 3, 7, 1000))
    for one in numbers:
        if one.tag == tag:
            one.text = str(int((one.text or "0").strip()) * times + add)


def _damage_bytes(data: bytearray, dice: random.Random) -> None:
    for _ in range(dice.randrange(1, 5)):
        at = dice.randrange(len(data))
        match dice.randrange(3):
            case 0:
                data[at] = dice.randrange(256)
            case 1:
                data[at:at] = bytes(dice.randrange(256) for _ in range(dice.randrange(1, 8)))
            case _:
                del data[at : at + dice.randrange(1, 200)]
