"""The chords that notes are read as: which tones each kind needs, on twelve roots.

Conventions.  A template counts semitones above its root, the third (or what
stands for it) second and the fifth third.  Root, third and every added tone must
sound; a perfect fifth may be left out.  Kinds are named as in MusicXML 4.0; which
kinds are tried is our choice: those that differ in sound.  Of elevenths and thirteenths only
the dominant with its thirteenth is among them, as it is mostly voiced: without
ninth and eleventh.  "French" stands for the dominant with a lowered fifth as well,
which has the same sounds on either of two roots; the spelling tells (naming.py); so does
"suspended-seventh" for the seventh with its third suspended, a suspended fourth by kind.
"pedal" is one tone alone, in the bass and for two beats or more; "rootless" the dominant
with its thirteenth as a band has it over no bass: third, seventh, thirteenth, mostly a ninth.
"""

from __future__ import annotations

from typing import Final, NamedTuple

TEMPLATES: Final = {
    "major": (0, 4, 7),
    "minor": (0, 3, 7),
    "diminished": (0, 3, 6),
    "augmented": (0, 4, 8),
    "dominant": (0, 4, 7, 10),
    "minor-seventh": (0, 3, 7, 10),
    "major-seventh": (0, 4, 7, 11),
    "half-diminished": (0, 3, 6, 10),
    "diminished-seventh": (0, 3, 6, 9),
    "major-minor": (0, 3, 7, 11),
    "augmented-seventh": (0, 4, 8, 10),
    "suspended-fourth": (0, 5, 7),
    "suspended-seventh": (0, 5, 7, 10),
    "suspended-second": (0, 2, 7),
    "power": (0, 7),
    "major-sixth": (0, 4, 7, 9),
    "minor-sixth": (0, 3, 7, 9),
    "dominant-ninth": (0, 4, 7, 10, 2),
    "major-ninth": (0, 4, 7, 11, 2),
    "minor-ninth": (0, 3, 7, 10, 2),
    "dominant-13th": (0, 4, 7, 10, 9),
    "French": (0, 4, 6, 10),
    "rootless": (4, 10, 9, 2),
    "pedal": (0,),
}
"""Semitones above the root, in the order in which equal readings are preferred."""

SUSPENDED: Final = ("suspended-fourth", "suspended-second", "suspended-seventh")

ADDED: Final = {
    **dict.fromkeys(("dominant", "minor-seventh", "major-seventh", "major-minor"), "seventh"),
    **dict.fromkeys(
        ("half-diminished", "diminished-seventh", "augmented-seventh", "French"), "seventh"
    ),
    **dict.fromkeys(("major-sixth", "minor-sixth"), "sixth"),
    **dict.fromkeys(("dominant-ninth", "major-ninth", "minor-ninth"), "ninth"),
    "dominant-13th": "ninth",
    "rootless": "ninth",
    **dict.fromkeys(SUSPENDED, "suspension"),
    "suspended-seventh": "ninth",
}
"""What a kind has that a triad has not."""

TOGETHER: Final = ("ninth", "suspension")
"""What only tones that sound together make: a line that goes by step has them everywhere."""

_NEEDS_FIFTH: Final = (*SUSPENDED, "power")
"""Without their fifth these are no chord: it tells them from a step or a single tone."""
_WITHOUT_THIRD: Final = (*SUSPENDED, "power", "pedal")
_WITHOUT_FIFTH: Final = ("pedal", "rootless")


class Candidate(NamedTuple):
    """A kind of chord on a root; a tuple, since thousands are taken apart."""

    rank: int
    """In the order in which equal readings are preferred."""
    kind: str
    root: int
    """Semitones above C, 0 to 11."""
    classes: tuple[int, ...]
    """Its tones, 0 to 11, in the order of its template."""
    third: int
    """The third; the root itself where there is none."""
    fifth: int
    """The fifth, perfect or not; its first tone where there is none."""
    needed: int
    """Bits of the tones that must sound."""


def _candidates() -> tuple[Candidate, ...]:
    found: list[Candidate] = []
    for kind, tones in TEMPLATES.items():
        for root in range(12):
            needed = 0
            for tone in tones:
                spared = 2 if kind == "rootless" else 7
                if tone != spared or kind in _NEEDS_FIFTH:
                    needed |= 1 << (root + tone) % 12
            classes = tuple((root + tone) % 12 for tone in tones)
            third = root if kind in _WITHOUT_THIRD else (root + (3 if 3 in tones else 4)) % 12
            fifth = classes[0] if kind in _WITHOUT_FIFTH else classes[1 if kind == "power" else 2]
            found.append(Candidate(len(found), kind, root, classes, third, fifth, needed))
    return tuple(found)


CANDIDATES: Final = _candidates()
DOMINANTS: Final = tuple(one for one in CANDIDATES if one.kind == "dominant")
"""The dominant sevenths, by root."""
