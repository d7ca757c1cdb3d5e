"""A part in plain words, as they are typed: what the program understood, for the player.

    bar 1: 4/4 F major: 16ths c5 bb4 c5 e5

The grammar is that of drills/reading/other/words.py, so that what is shown can be typed
again.  It has one voice, no grace notes and no second metre inside a bar; what it cannot
say of a part is left out here and named by ``unsaid``.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from drills.music.pitch import KeySignature, Pitch
from drills.music.score import Articulation, Bar, Event, Note, Part
from drills.music.time import Tuplet

_ACCIDENTALS: Final = {-2: "bb", -1: "b", 0: "", 1: "#", 2: "##"}
_NAMES: Final = {
    "whole": "whole",
    "half": "half",
    "quarter": "quarter",
    "eighth": "eighth",
    "16th": "16th",
    "32nd": "32nd",
    "64th": "64th",
}
_TUPLETS: Final = {
    Tuplet(2, 3): "duplet",
    Tuplet(3, 2): "triplet",
    Tuplet(4, 3): "quadruplet",
    Tuplet(5, 4): "quintuplet",
    Tuplet(6, 4): "sextuplet",
    Tuplet(7, 4): "septuplet",
}
_SIGNS: Final = {Articulation.STACCATO: ".", Articulation.ACCENT: ">"}
_TONICS: Final = {
    step + sign: place - 1 + 7 * alter
    for alter, sign in ((-1, "b"), (0, ""), (1, "#"))
    for place, step in enumerate("FCGDAEB")
}
_MINOR: Final = 3


def words_of(part: Part) -> tuple[str, ...]:
    """Each bar in words; a length is said where it changes, metre and key where they do."""
    found = []
    length = ""
    before: Bar | None = None
    for bar in part.bars:
        words = list(_heading(bar, before))
        for event in _events(bar):
            said = _length(event)
            words += [said] * (said != length)
            length = said
            words.append(_event(event))
        if _is_pickup(bar, before):
            words.append("|")
        found.append(" ".join(words))
        before = bar
    return tuple(found)


def unsaid(part: Part) -> tuple[str, ...]:
    """What of a part the words leave out."""
    events = [event for bar in part.bars for event in _events(bar)]
    notes = [event for event in events if isinstance(event, Note)]
    checks = {
        "other voices": any(len(bar.voices) > 1 for bar in part.bars),
        "grace notes": any(note.graces or note.graces_after for note in notes),
        "drums": any(not isinstance(tone, Pitch) for note in notes for tone in note.tones),
        "values shorter than a 64th": any(
            event.value is not None and event.value.kind not in _NAMES for event in events
        ),
        "tuplets inside tuplets": any(len(event.tuplets) > 1 for event in events),
    }
    return tuple(name for name, found in checks.items() if found)


def _is_pickup(bar: Bar, before: Bar | None) -> bool:
    return before is None and bar.length < bar.time.bar_length


def _heading(bar: Bar, before: Bar | None) -> Iterator[str]:
    if before is None or before.time != bar.time:
        yield str(bar.time)
    if (before is None and (bar.key.fifths or bar.key.mode)) or (
        before is not None and before.key != bar.key
    ):
        yield _key(bar.key)
    for mark in bar.marks[:1]:
        yield f"[{mark.text}]"


def _key(key: KeySignature) -> str:
    minor = key.mode == "minor"
    fifths = key.fifths + (_MINOR if minor else 0)
    tonic = next((name for name, place in _TONICS.items() if place == fifths), "C")
    return f"{tonic} {'minor' if minor else 'major'}:"


def _events(bar: Bar) -> tuple[Event, ...]:
    return bar.voices[0].events if bar.voices else ()


def _length(event: Event) -> str:
    if event.value is None:
        return _of_bar(event.length.quarters)
    tuplet = _TUPLETS.get(event.tuplets[0].ratio, "") if event.tuplets else ""
    dots = ["dotted"] * event.value.dots
    return " ".join(
        [*dots, _NAMES.get(event.value.kind, event.value.kind), *([tuplet] * bool(tuplet))]
    )


def _of_bar(quarters: Fraction) -> str:
    """The name of the value that rests for a whole bar."""
    names = {
        Fraction(4): "whole",
        Fraction(3): "dotted half",
        Fraction(2): "half",
        Fraction(3, 2): "dotted quarter",
        Fraction(1): "quarter",
        Fraction(6): "dotted whole",
    }
    return names.get(quarters, "whole")


def _event(event: Event) -> str:
    if not isinstance(event, Note):
        return "r"
    tones = "+".join(_tone(tone) for tone in event.tones if isinstance(tone, Pitch)) or "r"
    signs = "".join(sign for kind, sign in _SIGNS.items() if kind in event.articulations)
    tie = "-" * event.tie_start
    opens, closes = "(" * len(event.slur_starts), ")" * len(event.slur_stops)
    return f"{opens}{tones}{signs}{tie}{closes}"


def _tone(pitch: Pitch) -> str:
    return f"{pitch.step.lower()}{_ACCIDENTALS.get(int(pitch.alter), '')}{pitch.octave}"
