r"""Single notes and rests as LilyPond writes them, with all that hangs on them.

Slurs carry their number as LilyPond's spanner id (``\=3(``).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from drills.music.notes import Articulation, Beam, Grace, Note, Rest, TupletBracket
from drills.music.pitch import Tone
from drills.music.score import Bar
from drills.music.time import Length, NoteValue
from drills.output.lilypond import words as ly

ARTICULATIONS: Final = {
    Articulation.ACCENT: "->",
    Articulation.STRONG_ACCENT: "-^",
    Articulation.STACCATO: "-.",
    Articulation.STACCATISSIMO: "-!",
    Articulation.TENUTO: "--",
    Articulation.DETACHED_LEGATO: "-_",
    Articulation.FERMATA: r"\fermata",
    Articulation.TRILL: r"\trill",
    Articulation.TURN: r"\turn",
    Articulation.INVERTED_TURN: r"\reverseturn",
    Articulation.MORDENT: r"\mordent",
    Articulation.INVERTED_MORDENT: r"\prall",
    Articulation.SCOOP: r"^\scoopSign",
    Articulation.PLOP: r"^\plopSign",
    Articulation.DOIT: r"\bendAfter #4 ",
    Articulation.FALLOFF: r"\bendAfter #-4 ",
}
"""Signs that follow a note.  Breath mark and tremolo have a syntax of their own.

A blank ends what Scheme reads: without it ``#-4`` and the ``->`` after it are one word."""

_BEAMS: Final = {Beam.START: "[", Beam.CONTINUE: "", Beam.STOP: "]", None: ""}


def write_note(note: Note, *, from_before: bool) -> str:
    """A note or chord with everything that hangs on it.

    ``from_before``: it is tied to a note that is not printed.
    """
    duration = _duration(note.value, note.length, note.tuplets)
    if note.hidden:
        return f"s{duration}"
    if note.value.kind == "maxima":
        return _in_halves(note, from_before=from_before)
    text = f"{_tones(note.tones)}{duration}{_tremolo(note)}{'~' if note.tie_start else ''}"
    text += r"\repeatTie" if from_before else ""
    text += _BEAMS[note.beam] + _slurs(note.slur_starts, note.slur_stops)
    text += "".join(ARTICULATIONS.get(sign, "") for sign in note.articulations)
    if note.graces_after:
        inner = _grace_group(note.graces_after)
        text = rf"\afterGrace {text} {{ {inner} }}"
    return text + (r" \breathe" if Articulation.BREATH_MARK in note.articulations else "")


def _in_halves(note: Note, *, from_before: bool) -> str:
    """A note as two of half its length, tied: the music font has no head for a maxima."""
    half = replace(
        note,
        value=NoteValue("long", note.value.dots),
        length=note.length * Fraction(1, 2),
    )
    first = replace(half, tie_start=True, slur_stops=(), graces_after=())
    second = replace(half, slur_starts=(), articulations=(), graces=(), tie_stop=True)
    return f"{write_note(first, from_before=from_before)} {write_note(second, from_before=False)}"


def _tones(tones: Sequence[Tone]) -> str:
    """One pitch, or a chord in angle brackets."""
    names = [ly.pitch(tone) for tone in tones]
    return names[0] if len(names) == 1 else f"<{' '.join(names)}>"


def _duration(written: NoteValue, lasts: Length, tuplets: Iterable[TupletBracket]) -> str:
    """The written value, scaled where the event lasts longer or shorter than it says."""
    plain = written.length.quarters
    for bracket in tuplets:
        plain *= bracket.ratio.factor
    factor = lasts.quarters / plain
    scale = "" if factor == 1 else f"*{factor.numerator}/{factor.denominator}"
    return ly.value(written) + scale


def _tremolo(note: Note) -> str:
    """Strokes through the stem: thirty-seconds, or one stroke more than the value's flags."""
    if Articulation.TREMOLO not in note.articulations:
        return ""
    return f":{max(32, 2 ** (note.value.flags + 3))}"


def _slurs(starts: Iterable[int], stops: Iterable[int]) -> str:
    """Ends before beginnings, each with its number."""
    return "".join(rf"\={stop})" for stop in stops) + "".join(rf"\={start}(" for start in starts)


def write_graces(graces: Sequence[Grace]) -> str:
    """Grace notes before a note; the slash is drawn through a single one's flag."""
    slashed = len(graces) == 1 and graces[0].slashed
    command = "slashedGrace" if slashed else "grace"
    return rf"\{command} {{ {_grace_group(graces)} }}"


def _grace_group(graces: Sequence[Grace]) -> str:
    """The grace notes themselves, several short ones under one beam."""
    beamed = len(graces) > 1 and all(grace.value.flags for grace in graces)
    texts = []
    for index, grace in enumerate(graces):
        beam = "[" if beamed and index == 0 else "]" if beamed and index == len(graces) - 1 else ""
        slurs = _slurs(grace.slur_starts, grace.slur_stops)
        texts.append(f"{_tones(grace.tones)}{ly.value(grace.value)}{beam}{slurs}")
    return " ".join(texts)


def write_rest(rest: Rest, bar: Bar) -> str:
    """A rest; one that fills its bar stands in the middle of it."""
    if rest.hidden:
        return f"s{ly.scaled(rest.length)}" if rest.value is None else f"s{_rest_value(rest)}"
    if rest.value is None and rest.length == bar.length:
        return f"R{ly.scaled(rest.length)}"
    return f"r{_rest_value(rest)}"


def _rest_value(rest: Rest) -> str:
    """The rest's value; a whole-bar rest that does not fill its bar is a scaled whole."""
    written = rest.value or NoteValue.of(rest.length) or NoteValue("whole")
    return _duration(written, rest.length, rest.tuplets)
