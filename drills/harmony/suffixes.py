"""What stands after the root of a chord symbol: written from tones, and read back.

Problem: one chord has many names (Cm7b5, C-7(b5), a half-diminished C; a dominant
whose third is replaced by a fourth, or a suspended fourth with a seventh added).
Method: tones are named by the kind from which they differ least, the given kind
first where several differ equally, and the differences stand in one bracket:

    (b9)     the chord's ninth is flat; or it has no ninth, and gets a flat one
    (add9)   gets a ninth             (add#9)  gets a second ninth, beside its own
    (no3)    lacks its third          (maj7)   its seventh is major

so that what is written can be read back without a doubt.  Other spellings that
players use are read too (common practice).
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal

from drills.harmony.chord import Chord, ChordTone, PitchClass, Source
from drills.harmony.kinds import KINDS, tone_label, tone_of

MAJOR_SEVENTH: Final = ChordTone(7)


@dataclass(frozen=True, slots=True)
class Change:
    """One difference between two sets of tones."""

    how: Literal["add", "alter", "subtract"]
    """The words of MusicXML's ``degree-type``."""
    tone: ChordTone
    """What there is after it; what there was, where it is taken away."""


def changes(base: Collection[ChordTone], tones: Collection[ChordTone]) -> tuple[Change, ...]:
    """What makes ``tones`` out of ``base``, which has one tone of a number at most.

    Of several tones of a number that are not the base's own, the lowest is the
    base's tone altered and the others are added.
    """
    found = []
    own = {tone.number: tone for tone in base}
    for number in sorted({tone.number for tone in (*base, *tones)}):
        here = sorted(tone for tone in tones if tone.number == number)
        was = own.get(number)
        if was is not None and was not in here:
            found.append(Change("alter", here.pop(0)) if here else Change("subtract", was))
        found += [Change("add", tone) for tone in here if tone != was]
    return tuple(found)


def chord_named(
    root: PitchClass,
    kind: str,
    tones: Collection[ChordTone] | None = None,
    bass: PitchClass | None = None,
    *,
    source: Source = Source.SYMBOL,
    certainty: Fraction = Fraction(1),
) -> Chord:
    """A chord under its simplest name: tones of the kind unless given, and the suffix.

    The kind of the result is the one that its tones differ least from: a minor
    seventh with a lowered fifth comes out half-diminished.
    """
    wanted = tuple(sorted(set(KINDS[kind].tones if tones is None else tones)))
    best, suffix = _named(kind, wanted)
    return Chord(root, best, wanted, None if bass == root else bass, suffix, source, certainty)


def _tones(labels: str) -> tuple[ChordTone, ...]:
    return tuple(tone_of(label) for label in labels.split())


_COMPOUNDS: Final = (
    ("6/9", "major-sixth", _tones("R 3 5 6 9")),
    ("m6/9", "minor-sixth", _tones("R b3 5 6 9")),
    ("maj7(#5)", "major-seventh", _tones("R 3 #5 7")),
    ("7sus4", "suspended-fourth", _tones("R 4 5 b7")),
    ("9sus4", "suspended-fourth", _tones("R 4 5 b7 9")),
    ("13sus4", "suspended-fourth", _tones("R 4 5 b7 9 13")),
    ("maj7sus4", "suspended-fourth", _tones("R 4 5 7")),
    ("7sus2", "suspended-second", _tones("R 2 5 b7")),
)
"""Chords with a name of their own that MusicXML writes with degrees (common practice)."""

_ALTERED: Final = ("7alt", "dominant", _tones("R 3 b7 b9 #9 #11 b13"))
"""The altered dominant: the seventh chord over which everything else is altered (common
practice).  It has two ninths, so it is a name of these very tones and never a base."""

_SPECIAL: Final = frozenset(
    ("Neapolitan", "Italian", "French", "German", "Tristan", "pedal", "other", "none")
)
"""Kinds that a chord is only where it is said to be one."""

_BASES: Final = (*((kind.suffix, kind.name, kind.tones) for kind in KINDS.values()), *_COMPOUNDS)


@lru_cache(maxsize=1024)
def _named(kind: str, tones: tuple[ChordTone, ...]) -> tuple[str, str]:
    """The kind that names the tones with the fewest changes, and the whole suffix."""
    if tones == _ALTERED[2]:
        return _ALTERED[1], _ALTERED[0]
    _, _, place = min(
        (len(changes(own, tones)), name != kind, place)
        for place, (_, name, own) in enumerate(_BASES)
        if name == kind or name not in _SPECIAL
    )
    suffix, name, own = _BASES[place]
    numbers = {tone.number for tone in own}
    written = ",".join(_written(change, numbers) for change in changes(own, tones))
    return name, f"{suffix}({written})" if written else suffix


def _written(change: Change, own: Collection[int]) -> str:
    """A change as it stands in the bracket, to a chord that has the numbers ``own``."""
    tone = change.tone
    if change.how == "subtract":
        return f"no{tone.number}"
    label = tone_label(tone).replace("R", "1")
    if tone.number == 7 and tone.alter >= 0:
        label = "#" * (tone.alter + 1) + "7" if tone.alter else "maj7"
    plain = tone.alter == 0 and tone.number != 7
    says_add = change.how == "add" and (plain or tone.number in own)
    return f"add{label}" if says_add else label


# Reading

_SIGNS: Final = {
    "♭": "b",
    "♯": "#",
    "\u2212": "-",  # minus sign
    "\u2013": "-",  # en dash
    "º": "°",
    "∆": "△",
    "Δ": "△",
    "Ø": "ø",
}  # fmt: skip
"""Signs that look alike, each as the one that is read below."""

_MAJOR: Final = r"(?:major|maj|Maj|ma(?![a-z])|Ma(?![a-z])|M(?=add|[^a-z]|$)|△)"
_QUALITIES: Final = tuple(
    (re.compile(pattern), written)
    for pattern, written in (
        (rf"(?:minor|min|mi|m|-)\(?{_MAJOR}7?(?=$|[^\d)])", "m(maj7)"),
        (rf"(?:minor|min|mi|m|-)\({_MAJOR}7?\)", "m(maj7)"),
        (rf"(?:minor|min|mi|m|-)\(?{_MAJOR}(9|11|13)\)?", r"m\1(maj7)"),
        (rf"(?:augmented|aug|\+){_MAJOR}(7|9|11|13)", r"maj\1(#5)"),
        (r"(?:augmented|aug|\+)(9|11|13)", r"\1(#5)"),
        (r"\+5", "+"),
        (rf"△(?!\d)|{_MAJOR}7", "maj7"),
        (rf"{_MAJOR}(?=9|11|13)", "maj"),
        (rf"{_MAJOR}", ""),
        (r"ø(9|11|13)", r"m\1(b5)"),
        (r"ø7?", "m7(b5)"),
        (r"(?:diminished|dim|°|o)9", "dim7(add9)"),
        (r"(?:diminished|dim|°|o)11", "dim7(add9,add11)"),
        (r"(?:minor|min|mi|m|-)", "m"),
        (r"(?:augmented|aug|\+)", "+"),
        (r"(?:diminished|dim|°|o(?=7|\(|$))", "dim"),
        (r"dom(?=\d)", ""),
    )
)
"""How the suffix may begin, and how it is written here; the first that fits counts."""

_ALIASES: Final = {"69": "6/9", "m69": "m6/9", "alt": "7alt", "pedal": "ped."}
_WORDS: Final = tuple(suffix.strip() for suffix, _, _ in _BASES if suffix[:1] == " ")
"""Suffixes that are words of their own: "It.6", "ped."."""
_WRITTEN: Final = {
    suffix.strip(): (kind, tones) for suffix, kind, tones in (*_BASES, _ALTERED) if kind != "none"
}
_READABLE: Final = _WRITTEN | {alias: _WRITTEN[suffix] for alias, suffix in _ALIASES.items()}
_LONGEST_FIRST: Final = tuple(sorted(_READABLE, key=len, reverse=True))

_CHANGE: Final = re.compile(
    rf"(?P<no>no|omit)(?P<gone>1[0-3]|[1-9])(?:st|nd|rd|th)?"
    rf"|sus(?P<sus>[24])"
    rf"|(?P<add>add)?(?P<major>{_MAJOR})?(?P<sign>b{{1,3}}|#{{1,4}}|\+|-)?"
    rf"(?P<number>1[0-3]|[1-9])(?:st|nd|rd|th)?"
    rf"|(?P<sharp_fifth>\+)"
)
_BETWEEN: Final = re.compile(r"[(),]*")


def read_suffix(text: str) -> tuple[str, tuple[ChordTone, ...]]:
    """The kind and the tones that a suffix stands for.

    Raises ValueError, whose message says which piece is not understood.
    """
    plain = "".join(_SIGNS.get(sign, sign) for sign in text if not sign.isspace())
    if not _brackets_close(plain):
        raise ValueError(f"a bracket of {plain!r} is not closed")
    start = _beginning(_SUSPENDED.sub("sus4", plain))
    base = next(suffix for suffix in _LONGEST_FIRST if start.startswith(suffix))
    kind, own = _READABLE[base]
    tones = list(own)
    for found, apart in _changes_in(start[len(base) :]):
        _apply(found, own, tones, apart=apart)
    return kind, tuple(sorted(set(tones)))


class _UnknownError(ValueError):
    """A piece of a suffix that is not understood."""

    def __init__(self, piece: str) -> None:
        super().__init__(f"{piece!r} after the root is not understood")


_SUSPENDED: Final = re.compile(r"sus(?![24])")


def _beginning(plain: str) -> str:
    """The suffix with its first word as it is written here."""
    if not plain.startswith(_WORDS):
        for pattern, written in _QUALITIES:
            found = pattern.match(plain)
            if found is not None:
                return found.expand(written) + plain[found.end() :]
    return plain


def _brackets_close(plain: str) -> bool:
    depth = 0
    for sign in plain:
        depth += {"(": 1, ")": -1}.get(sign, 0)
        if depth not in (0, 1):
            return False
    return depth == 0


def _changes_in(text: str) -> Iterator[tuple[re.Match[str], bool]]:
    """Each change, and whether a bracket or a comma sets it apart from what is before it."""
    at = 0
    while True:
        between = _BETWEEN.match(text, at)
        at = between.end() if between else at
        if at == len(text):
            return
        found = _CHANGE.match(text, at)
        if found is None:
            raise _UnknownError(text[at:].rstrip("),"))
        yield found, bool(between and between[0])
        at = found.end()


def _apply(
    found: re.Match[str], own: Sequence[ChordTone], tones: list[ChordTone], *, apart: bool
) -> None:
    """Make one change to ``tones``, which began as ``own``."""
    if found["no"]:
        gone = [tone for tone in own if tone.number == int(found["gone"])]
        if not gone:
            raise _UnknownError(found[0])
        tones[:] = [tone for tone in tones if tone not in gone]
    elif found["sus"]:
        tones[:] = [tone for tone in tones if tone.number != 3]
        tones.append(ChordTone(int(found["sus"])))
    else:
        tone = ChordTone(5, 1) if found["sharp_fifth"] else _tone_in(found)
        bare = not (found["sign"] or found["add"] or found["major"] or found["sharp_fifth"])
        if bare and (not apart or tone in own):
            raise _UnknownError(found[0])
        if not found["add"]:
            replaced = [was for was in own if was.number == tone.number]
            tones[:] = [was for was in tones if was not in replaced]
        tones.append(tone)


def _tone_in(found: re.Match[str]) -> ChordTone:
    """The tone that a change names; 7 and #7 count from the minor seventh, as in C7."""
    number, sign = int(found["number"]), found["sign"] or ""
    if found["major"]:
        if number != 7 or sign:
            raise _UnknownError(found[0])
        return MAJOR_SEVENTH
    alter = len(sign) * (-1 if sign[:1] in ("b", "-") else 1)
    return ChordTone(number, alter - (number == 7 and alter >= 0))
