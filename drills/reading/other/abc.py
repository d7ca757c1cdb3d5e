"""ABC text (ABC standard 2.1) -> MusicXML, by the abc2xml of the package converter21.

Problem: abc2xml goes on after signs that it does not know, and notes on a list what they
were; it would open files that a tune names (``%%abc-include``).
Method: lines that name files are refused; every sign on the list is told to the player, as
a remark on a file from elsewhere, as an error in what was typed by hand (typed.py), since
there the word can be put right at once.  A file of several tunes is read a tune at a time.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final
from xml.etree import ElementTree

from drills.errors import ReadError, UsageError
from drills.reading.given import Given, Silence
from drills.reading.limits import Limits
from drills.reading.offline import without_network_client
from drills.reading.other.foreign import Foreign, Translation
from drills.reading.other.word_keys import tonic_of

with without_network_client():
    from converter21.abc import abc2xml

_INCLUDE: Final = re.compile(r"^(?:%%|I:)\s*abc-include", re.MULTILINE)
_TUNE: Final = re.compile(r"^[ \t]*X:[ \t]*", re.MULTILINE)
_NOTE: Final = re.compile(r"[A-Ga-gxzZ]")
_LONG_NUMBER: Final = re.compile(r"\d{5}")
_DEEP: Final = re.compile(r"[(\[{]{65}")
_MISPLACED: Final = re.compile(r"\*\*misplaced symbol: (.)")
_UNKNOWN: Final = re.compile(r"unhandled note decorations: \[(.*)\]")
_HARMLESS: Final = ("skipped header", "decoded from", "skipped I-field", "unhandled field")
_LONGEST_LINE: Final = 20_000
_BODY: Final = re.compile(r"^K:[^\n]*\n?", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Complaint:
    """Something in a tune that was not read."""

    sign: str
    """The sign or word; empty where the message says all."""
    message: str


def from_abc(foreign: Foreign) -> Translation:
    """One tune of a file as MusicXML; raises ReadError, LimitError, UsageError."""
    text = foreign.data.decode("utf-8", "replace").replace("\r\n", "\n").replace("\r", "\n")
    tune, others = _chosen(text, foreign)
    silence = _silence(tune)
    tune = _completed(tune, silence, foreign.given)
    document, complaints = read_tune(tune, foreign.limits, foreign.where)
    remarks = list(_about(tune))
    if others:
        remarks.append(
            f"The file has {others + 1} tunes; this is the one that reads X:{_number(tune)}. "
            "Another is named by its number behind the file: airs.abc#12."
        )
    signs = sorted({complaint.sign for complaint in complaints if complaint.sign})
    remarks += sorted({complaint.message for complaint in complaints if not complaint.sign})
    if signs:
        remarks.append(f"Signs of the ABC text that are not read: {' '.join(signs)}.")
    return Translation(document, tuple(remarks), silence)


def read_tune(tune: str, limits: Limits, where: str) -> tuple[bytes, tuple[Complaint, ...]]:
    """A tune as MusicXML, and what in it was not read; raises ReadError, LimitError."""
    _check(tune, limits, where)
    depth = sys.getrecursionlimit()
    abc2xml.getInfo()
    try:
        score = abc2xml.getXmlDocs(tune, rOpt=True)[0]
        told = abc2xml.getInfo()
    except (ArithmeticError, AttributeError, LookupError, TypeError, ValueError) as error:
        raise ReadError(f"{where}: the ABC text cannot be read ({error})") from error
    finally:
        sys.setrecursionlimit(depth)
    if "cannot parse score" in told or score.find("part/measure") is None:
        raise ReadError(f"{where}: the ABC text cannot be read; check its brackets and fields")
    for part in score.iter("part"):
        _without_empty_bars(part)
    return ElementTree.tostring(score, encoding="utf-8"), tuple(_complaints(told))


def _without_empty_bars(part: ElementTree.Element) -> None:
    """Take out bars that only stand between two bar lines, such as ``[|]:|``.

    What ends there ends with the bar before; anything else goes to the bar that follows.
    """
    measures = list(part)
    for place, measure in enumerate(measures[:-1]):
        if not place or measure.find("note") is not None or measure.find("forward") is not None:
            continue
        ends = [child for child in measure if child.get("location") == "right"]
        measures[place - 1].extend(ends)
        for child in reversed([child for child in measure if child not in ends]):
            measures[place + 1].insert(0, child)
        part.remove(measure)


def _check(tune: str, limits: Limits, where: str) -> None:
    if _INCLUDE.search(tune):
        raise ReadError(
            f"{where}: the tune asks for another file (abc-include), which is never opened; "
            "put its lines into this one"
        )
    limits.check("notes", len(_NOTE.findall(tune)), where)
    limits.check("bars", tune.count("|") + 1, where)
    limits.check("parts", len(set(re.findall(r"V:\s*(\S+)", tune))), where)
    longest = max(map(len, tune.split("\n")))
    if longest > _LONGEST_LINE or _DEEP.search(tune):
        raise ReadError(f"{where}: a line of {longest:,} characters is no ABC; break it up")
    if found := _LONG_NUMBER.search(_music(tune)):
        raise ReadError(f"{where}: a length of {found[0]}... makes no sense")


def _music(tune: str) -> str:
    """The lines of the tune with notes."""
    kept = (line for line in tune.split("\n") if not re.match(r"[A-Za-z]:|%", line))
    return re.sub(r'"[^"\n]*"|%[^\n]*', "", "\n".join(kept))


def _chosen(text: str, foreign: Foreign) -> tuple[str, int]:
    """The tune that was asked for (else the first), and how many others there are."""
    begins = [found.start() for found in _TUNE.finditer(text)]
    if not begins:
        return text, 0
    ends = [*begins[1:], len(text)]
    tunes = [text[low:high].strip() + "\n" for low, high in zip(begins, ends, strict=True)]
    header = text[: begins[0]]
    numbers = [_number(tune) for tune in tunes]
    wanted = foreign.tune or numbers[0]
    if wanted not in numbers:
        some = ", ".join(numbers[:12]) + (" ..." if len(numbers) > 12 else "")
        raise UsageError(f"{foreign.where}: no tune reads X:{wanted}; there are {some}")
    fields = "".join(f"{line}\n" for line in header.split("\n") if re.match(r"[MLRICZ]:|%%", line))
    tune = _ended(tunes[numbers.index(wanted)])
    first, _, rest = tune.partition("\n")
    return f"{first}\n{fields}{rest}", len(tunes) - 1


def _ended(tune: str) -> str:
    """The tune up to its first empty line, which ends it (ABC 2.1, 2.2.1)."""
    return re.split(r"\n[ \t]*\n", tune, maxsplit=1)[0] + "\n"


def _number(tune: str) -> str:
    found = re.match(r"[ \t]*X:[ \t]*(\S*)", tune)
    return found[1] if found else ""


def _complaints(told: str) -> Iterator[Complaint]:
    for line in told.splitlines():
        message = line.removeprefix("-- ")
        if found := _MISPLACED.match(line):
            yield Complaint(found[1], "")
        elif found := _UNKNOWN.match(message):
            for sign in re.findall(r"'([^']*)'", found[1]):
                yield Complaint(sign, "")
        elif line.startswith("-- ") and not message.startswith(_HARMLESS):
            yield Complaint("", f"The ABC reader says: {message}.")


def _silence(tune: str) -> Silence:
    metre = re.search(r"^M:|\[M:", tune, re.MULTILINE)
    key = re.search(r"^K:[ \t]*[^\s%]|\[K:", tune, re.MULTILINE)
    return Silence("" if metre else "4/4", "" if key else "no key")


def _completed(tune: str, silence: Silence, given: Given) -> str:
    """The tune with the fields that it lacks, which stand before its key (ABC 2.1, 3.1)."""
    fields = ""
    if silence.metre and given.metre is not None:
        fields += f"M:{given.metre}\n"
    if silence.key and given.key is not None:
        tune = re.sub(r"^K:.*\n?", "", tune, count=1, flags=re.MULTILINE)
        mode = "m" if given.key.mode == "minor" else ""
        fields += f"K:{tonic_of(given.key)}{mode}\n"
        head = re.match(r"(?:[A-Za-z+]:.*\n|%.*\n|\s*\n)*", tune)
        at = head.end() if head else 0
    else:
        found = re.search(r"^K:", tune, re.MULTILINE)
        at = found.start() if found else 0
    return tune[:at] + fields + tune[at:]


def _about(tune: str) -> Iterator[str]:
    """What the tune does not say."""
    if _silence(tune).metre:
        yield "The tune gives no metre (M:); bars are counted in 4/4 (--metre 6/8 for another)."
    if not re.search(r"^(?:V:.*|%%MIDI program.*)$", tune, re.MULTILINE):
        yield "ABC names no instrument; the part is taken to sound as written."
