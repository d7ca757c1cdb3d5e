"""What stands on a note head, taken from the XML and checked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from lxml import etree

from drills.errors import ReadError
from drills.music.notes import Articulation
from drills.music.pitch import STEPS
from drills.reading.clusters import Head
from drills.reading.xmltext import as_decimal, as_int, bar_of, child_text

_SIGN_GROUPS: Final = ("articulations", "ornaments")
_SIGNS: Final = {str(sign) for sign in Articulation} | {"delayed-turn", "delayed-inverted-turn"}
"""The elements that music21 is shown; their names are those of Articulation."""
ARTICULATIONS: Final = {
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
"""music21's classes of signs that stay with a note, and what they are here."""
_OCTAVES: Final = range(-1, 12)
_UNALTERED: Final = Fraction(0)


@dataclass(frozen=True, slots=True)
class WrittenHead:
    """A note head as the file has it, without its length."""

    kind: str
    """"pitch" or "unpitched"."""
    step: str
    octave: int
    alter: Fraction
    drum: str
    signs: tuple[tuple[str, str], ...]
    """Group and name of the signs that music21 is shown."""


def written_head(head: Head, drums: Mapping[str, str], where: str) -> WrittenHead:
    """What stands on a head; ``drums`` are names by identifier.

    Raises ReadError for a pitch that is none.
    """
    fields = head.fields
    signs = tuple(_signs(head.element)) if "notations" in fields else ()
    if head.unpitched:
        parent = fields["unpitched"]
        step, octave = child_text(parent, "display-step"), child_text(parent, "display-octave")
        player = fields.get("instrument")
        drum = "" if player is None else drums.get(player.get("id") or "", "")
        # A drum without a place stands on the middle line.
        step, octave = (step, octave) if step else ("B", "4")
        return WrittenHead(
            "unpitched", step, _octave(head, step, octave, where), _UNALTERED, drum, signs
        )
    parent = fields["pitch"]
    step, octave = child_text(parent, "step"), child_text(parent, "octave")
    alter = child_text(parent, "alter")
    amount = as_decimal(alter) if alter else _UNALTERED
    if amount is None or abs(amount) > 3:
        raise _no_pitch(head, f"an alteration of {alter[:40]!r} semitones", where)
    return WrittenHead("pitch", step, _octave(head, step, octave, where), amount, "", signs)


def _octave(head: Head, step: str, octave: str, where: str) -> int:
    number = as_int(octave)
    if step not in STEPS or number not in _OCTAVES or number is None:
        raise _no_pitch(head, repr(f"{step}{octave}"[:40]), where)
    return number


def _no_pitch(head: Head, what: str, where: str) -> ReadError:
    return ReadError(
        f"{where}, bar {bar_of(head.element)}: {what} is no pitch; export the score again"
    )


def _signs(note: etree._Element) -> Iterator[tuple[str, str]]:
    """Articulations, ornaments and fermatas, without what they carry."""
    for group in note.iterfind("notations/*"):
        inside = group if group.tag in _SIGN_GROUPS else (group,)
        for sign in inside:
            if sign.tag in _SIGNS and sign.get("type") not in {"start", "stop"}:
                yield ("" if sign is group else str(group.tag)), str(sign.tag)
