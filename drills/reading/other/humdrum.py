"""Humdrum ``**kern`` files -> MusicXML, by music21.

Before music21 sees the text its columns and durations are counted: a line may open any
number of spines, and a token any length (Humdrum Toolkit user's guide, "kern": a recip
number is the share of a whole note, ``16``, ``3%2``, dots).
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from drills.errors import ReadError
from drills.reading.given import AS_BARS, Given, Silence
from drills.reading.limits import Limits
from drills.reading.offline import without_network_client
from drills.reading.other.foreign import Foreign, Translation
from drills.reading.other.streams import document, read_stream

with without_network_client():
    from music21.humdrum.spineParser import HumdrumDataCollection

KIND: Final = "Humdrum"
_RECIP: Final = re.compile(r"(\d+)(?:%(\d+))?(\.*)(?=[^\s]*[A-Ga-gr])")
FLATS: Final = "BEADGCF"
"""Steps in the order in which flats are added; sharps come in the reverse."""
_LONGEST_RECIP: Final = 9
_WHOLE: Final = 4
_NO_INSTRUMENT: Final = (
    "The Humdrum file names no instrument (*I); the part is taken to sound as written."
)
_NO_METRE: Final = "The Humdrum file gives no metre (*M); bars are as long as their notes."
_NO_KEY: Final = "The Humdrum file gives no key signature (*k[]); every accidental is printed."


def from_humdrum(foreign: Foreign) -> Translation:
    """The score as MusicXML; raises ReadError and LimitError."""
    text = foreign.data.decode("utf-8", "replace").replace("\r\n", "\n").replace("\r", "\n")
    _check(text, foreign.limits, foreign.where)
    silence = _silence(text)
    text = _completed(text, silence, foreign.given)
    score = read_stream(lambda: HumdrumDataCollection(text).parse(), KIND, foreign.where)
    return Translation(document(score, KIND, foreign.where), tuple(_remarks(text)), silence)


def _check(text: str, limits: Limits, where: str) -> None:
    """Count lines, columns, notes and durations before anything is built."""
    notes = bars = 0
    seen: set[tuple[str, str, str]] = set()
    for line in text.splitlines():
        if line.startswith("!"):
            continue
        columns = line.count("\t") + 1
        limits.check("parts", columns, where)
        if line.startswith("="):
            bars += 1
        elif not line.startswith("*"):
            notes += columns + line.count(" ")
            seen.update(_RECIP.findall(line))
    limits.check("bars", bars, where)
    limits.check("notes", notes // max(1, text.split("\n", 1)[0].count("\t") + 1), where)
    if "**kern" not in text:
        raise ReadError(f"{where}: a Humdrum file without **kern holds no notes; name another")
    for recip in seen:
        _check_duration(*recip, limits, where)


def _check_duration(number: str, share: str, dots: str, limits: Limits, where: str) -> None:
    limits.check("dots", len(dots), where)
    if len(number) > _LONGEST_RECIP or len(share) > _LONGEST_RECIP:
        raise limits.exceeded("divisions", f"{number[:12]}...", where)
    wholes = Fraction(int(share or 1), int(number)) if int(number) else Fraction(2 ** len(number))
    limits.check("bar_quarters", float(_WHOLE * wholes), where)
    limits.check("divisions", wholes.denominator, where)


def _interpretations(text: str) -> list[str]:
    return [word for line in text.splitlines() if line.startswith("*") for word in line.split("\t")]


def _silence(text: str) -> Silence:
    said = _interpretations(text)
    metre = any(re.match(r"\*M\d", token) for token in said)
    key = any(token.startswith("*k[") for token in said)
    return Silence("" if metre else AS_BARS, "" if key else "no key")


def _completed(text: str, silence: Silence, given: Given) -> str:
    """The text with what it lacks, in every column below the line that names them."""
    lines = text.split("\n")
    at = next(place for place, line in enumerate(lines) if line.startswith("**"))
    columns = lines[at].split("\t")
    added = []
    if silence.key and given.key is not None:
        order = FLATS if given.key.fifths < 0 else FLATS[::-1]
        sign = "-" if given.key.fifths < 0 else "#"
        steps = "".join(f"{step.lower()}{sign}" for step in order[: abs(given.key.fifths)])
        added.append(f"*k[{steps}]")
    if silence.metre and given.metre is not None:
        added.append(f"*M{given.metre}")
    rows = ("\t".join(word if "kern" in one else "*" for one in columns) for word in added)
    return "\n".join([*lines[: at + 1], *rows, *lines[at + 1 :]])


def _remarks(text: str) -> list[str]:
    """What the file does not say."""
    silence = _silence(text)
    found = []
    if not any(token.startswith("*I") for token in _interpretations(text)):
        found.append(_NO_INSTRUMENT)
    if silence.metre:
        found.append(_NO_METRE)
    if silence.key:
        found.append(_NO_KEY)
    return found
