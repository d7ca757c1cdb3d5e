"""Damaged files of the other formats: a seed of a kind and dice -> bytes.

The seeds are files of music21's corpus as far as they are small, MEI that Verovio writes from
them, MIDI that it plays, and bars that stand here.  Damage is done to bytes, to numbers, and to
lines (of MIDI and MEI, to pieces), so that much of it is still of its format.
"""

from __future__ import annotations

import base64
import random
import re
from functools import cache
from pathlib import Path
from typing import Final

import music21
import verovio
from lxml import etree

from tests.fuzzing.mutations import damage

KINDS: Final = ("abc", "krn", "mei", "mid", "bars")
_CORPUS: Final = Path(music21.__file__).parent / "corpus"
_SMALL: Final = 2_000
"""Bytes of a seed at most; of a tune of ABC what stands up to the next."""
_PACKED: Final = 4_000
"""The same of a compressed score that MEI and MIDI are made from."""
_SEEDS: Final = 40
_STRUCTURE: Final = 0.7
"""Share of damage to MEI that is done to its tree."""
_WAYS_OF_MIDI: Final = (2, 3, 7, 7, 7)
"""Of _damage: what does not only break the header."""
_BARS: Final = (
    b"instrument: flute\n3/4 F major: 16ths c5- c5 (d5 e5.) triplets f5 g5 a5 quarter c5+e5 | r\n",
    b"title: Quay\ntempo: 96\n6/8 dotted quarter bb4> eighths [E] c5 d5 e5 | half r eighth f#5\n",
    b"instrument: horn in F\nM:3/4 L:1/8 K:G GABcde|d>c (3BAG F2|G6|]\n",
)
_SIGNS: Final = b"|:()[]{}<>=*^~-!%&\"'\\/0123456789abcGZrLMKX \n\t\0\xff"
_NUMBERS: Final = (
    *(b"0", b"-1", b"3", b"17", b"97", b"256", b"99999", b"4294967295", b"9" * 40, b"1/3", b"1e9"),
)
_WORDS: Final = (
    *(b"M:", b"K:none", b"V:2", b"[V:1]", b"%%score 1 2", b"(3:2:3", b"!trill!", b"&", b"w: la"),
    *(b"**kern", b"*^", b"*v", b"*-", b"==", b"!!!", b"*Xtuplet", b".", b"8.%3", b"q", b"*tr"),
    *(b"<tuplet>", b"</layer>", b"<beam/>", b"dots='9'", b"&amp;", b"<!--", b"]]>", b"tie='m'"),
    *(b"triplets", b"quarter", b"c99", b"bb", b"dotted dotted", b"[", b"F flat major", b"11/16"),
)


@cache
def seeds(kind: str) -> tuple[bytes, ...]:
    """Small files of a kind."""
    if kind == "bars":
        return _BARS
    if kind == "abc":
        texts = [path.read_bytes() for path in sorted(_CORPUS.rglob("*.abc"))]
        return _some([re.split(rb"(?m)^(?=X:)", text)[-1] for text in texts])
    if kind == "krn":
        return _some([path.read_bytes() for path in sorted(_CORPUS.rglob("*.krn"))])
    return tuple(_engraved(kind, path) for path in _small_scores())


def _some(found: list[bytes]) -> tuple[bytes, ...]:
    small = [one for one in found if len(one) <= _SMALL]
    return tuple(small[:: max(1, len(small) // _SEEDS)][:_SEEDS])


def _small_scores() -> list[Path]:
    files = sorted(path for path in _CORPUS.rglob("*.mxl") if path.stat().st_size < _PACKED)
    return files[:: max(1, len(files) // 10)][:10]


def _engraved(kind: str, path: Path) -> bytes:
    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    toolkit.setOptions({"expandNever": True})
    assert toolkit.loadFile(str(path))
    if kind == "mei":
        return bytes(toolkit.getMEI().encode())
    return base64.b64decode(toolkit.renderToMIDI())


def damaged(kind: str, dice: random.Random) -> bytes:
    """A damaged copy of a seed."""
    data = bytearray(dice.choice(seeds(kind)))
    if kind == "mei" and dice.random() < _STRUCTURE:
        return _damaged_tree(bytes(data), dice)
    for _ in range(dice.choice((1, 1, 2, 4, 8))):
        _damage(data, dice, kind)
        if not data:
            break
    return bytes(data)


def _damaged_tree(data: bytes, dice: random.Random) -> bytes:
    """Damage to elements and attributes that leaves the file well-formed."""
    root = etree.fromstring(data)
    elements = list(root.iter(etree.Element))
    for _ in range(dice.choice((1, 1, 2, 4))):
        damage(dice.choice(elements), elements, elements, dice)
    return etree.tostring(root)


def _damage(data: bytearray, dice: random.Random, kind: str) -> None:
    low = dice.randrange(len(data)) if data else 0
    high = min(len(data), low + dice.randint(1, 60))
    match dice.choice(_WAYS_OF_MIDI if kind == "mid" else range(8)):
        case 0 if data:
            data[low] = dice.choice(_SIGNS)
        case 1:
            data[low:low] = bytes(dice.choice(_SIGNS) for _ in range(dice.randint(1, 6)))
        case 2:
            data[low:low] = data[low:high] * dice.choice((1, 2, 30))
        case 3 if len(data) > 60:
            del data[low:high]
        case 4 if found := list(re.finditer(rb"\d+", data)):
            one = dice.choice(found)
            data[one.start() : one.end()] = dice.choice(_NUMBERS)
        case 5:
            data[low:low] = dice.choice(_WORDS)
        case 6:
            _damage_lines(data, dice, b">" if kind == "mei" else b"\n")
        case _ if data:
            data[low] ^= 1 << dice.randrange(8)


def _damage_lines(data: bytearray, dice: random.Random, end: bytes) -> None:
    """A line doubled, taken out, or two in each other's place."""
    lines = bytes(data).split(end)
    one, two = dice.randrange(len(lines)), dice.randrange(len(lines))
    match dice.randrange(3):
        case 0:
            lines.insert(one, lines[two])
        case 1 if len(lines) > 2:
            del lines[one]
        case _:
            lines[one], lines[two] = lines[two], lines[one]
    data[:] = end.join(lines)
