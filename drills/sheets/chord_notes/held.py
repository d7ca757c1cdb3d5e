"""The one note that a player holds in each chord; see the package's docstring."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from drills.harmony.chord import Chord, Harmony
from drills.harmony.symbols import symbol_of
from drills.harmony.tones import belongs
from drills.harmony.tuning import cents, offset_text
from drills.music.notes import Event, Note, Rest, Voice
from drills.music.pitch import Tone
from drills.music.score import Bar
from drills.music.time import START, NoteValue, TimeSignature
from drills.notation.bars import Setting
from drills.sheets.chord_notes.names import remarks_beside
from drills.sheets.chord_notes.playing import Played, between
from drills.sheets.drill import Drill, DrillKind, UnderNote

CHORD_TIME: Final = TimeSignature((4,), 4)
"""A slow chord's bar, filled by one written note."""
COMPOUND_CHORD_TIME: Final = TimeSignature((12,), 8)


@dataclass(frozen=True, slots=True)
class HeldNote:
    """The one note of a player in a chord."""

    played: Played
    tones: tuple[Tone, ...]
    """As written: those of the note that are held."""
    label: str
    """Its function for print."""
    cents: str


def chord_time(time: TimeSignature) -> TimeSignature:
    """The bar that one slow chord fills."""
    return COMPOUND_CHORD_TIME if time.is_compound else CHORD_TIME


def held_in(
    playing: Sequence[Played], chord: Chord | None, low: Fraction, high: Fraction
) -> HeldNote | None:
    """The note that a player holds while a chord sounds; None where nothing is played."""
    weights: dict[tuple[Tone, ...], Fraction] = {}
    first: dict[tuple[Tone, ...], Played] = {}
    for played in playing:
        lasts = min(played.end, high) - max(played.start, low)
        if lasts > 0 and (tones := _of_chord(played, chord)):
            weights[tones] = weights.get(tones, Fraction(0)) + lasts
            first.setdefault(tones, played)
    if not weights:
        return None
    fitting = [tones for tones in weights if _fits(first[tones], tones, chord)]
    tones = max(fitting or weights, key=lambda one: weights[one])
    played = first[tones]
    tuned = (_tuned(chord, played, tone) for tone in tones)
    named = [played.function_at(tone, max(low, played.start)) for tone in tones]
    return HeldNote(
        played,
        tones,
        ", ".join(function.label for function in named if function is not None),
        ", ".join(text for text in tuned if text),
    )


def _of_chord(played: Played, chord: Chord | None) -> tuple[Tone, ...]:
    """The pitched tones of a note that belong to the chord; all of them where none does."""
    own = tuple(tone for tone in played.pitched if _fits(played, (tone,), chord))
    return own or played.pitched


def _fits(played: Played, tones: Sequence[Tone], chord: Chord | None) -> bool:
    sounding = (played.sounding(tone) for tone in tones)
    return chord is not None and all(p is not None and belongs(chord, p) for p in sounding)


def _tuned(chord: Chord | None, played: Played, tone: Tone) -> str:
    pitch = played.sounding(tone)
    offset = None if chord is None or pitch is None else cents(chord, pitch)
    return "" if offset is None else offset_text(offset)


def chords_drill(
    playing: Sequence[Played], harmonies: Sequence[Harmony], count: int
) -> Drill | None:
    """A player's note in each chord, a bar each, with the chord's name for the player above.

    ``count`` is the number of notes in the line.  None where nothing is to be held.
    """
    row = [
        (one, held_in(between(playing, one.start, one.end), one.chord, one.start, one.end))
        for one in harmonies
        if one.start < one.end
    ]
    while row and row[0][1] is None:
        del row[0]
    while row and row[-1][1] is None:
        del row[-1]
    row = [pair for index, pair in enumerate(row) if index == 0 or not _same(row[index - 1], pair)]
    if not row:
        return None
    beside = remarks_beside(one.chord for one, _ in row)
    bars, under = [], []
    before = next(held for _, held in row if held is not None)
    for index, ((harmony, held), remark) in enumerate(zip(row, beside, strict=True)):
        before = held or before
        bars.append(_chord_bar(harmony.chord, held, before, remark, index))
        if held is not None and (held.label or held.cents):
            under.append(UnderNote(index, START, held.label, held.cents))
    return Drill(
        DrillKind.CHORD,
        "one bar to a chord",
        "held",
        sum(held is not None for _, held in row),
        ((1, count),),
        tuple(bars),
        repeated=False,
        under=tuple(under),
    )


def _same(before: tuple[Harmony, HeldNote | None], after: tuple[Harmony, HeldNote | None]) -> bool:
    one, other = before[1], after[1]
    tones = (None if one is None else one.tones), (None if other is None else other.tones)
    return alike(before[0].chord, after[0].chord) and tones[0] == tones[1]


def alike(one: Chord | None, other: Chord | None) -> bool:
    """Whether two chords are the same, wherever and however certainly they were read."""
    if one is None or other is None:
        return one is other
    return (one.root, one.tones, one.bass) == (other.root, other.tones, other.bass)


def _chord_bar(
    chord: Chord, held: HeldNote | None, setting: HeldNote, remark: str, index: int
) -> Bar:
    music = setting.played.setting
    bar = held_bar(held, replace(music, time=chord_time(music.time)), index)
    symbol = replace(symbol_of(chord, START, setting.played.transposition), remark=remark)
    return replace(bar, chords=(symbol,))


def held_bar(held: HeldNote | None, setting: Setting, index: int) -> Bar:
    """A held note, or silence, as a full bar; ``setting`` has the time of a slow chord."""
    length = setting.time.bar_length
    event: Event = Rest(START, length, None)
    value = NoteValue.of(length)
    if held is not None and value is not None:
        event = Note(START, length, held.tones, value, origin=held.played.attack.origin)
    return Bar(
        index=index,
        number=str(index + 1),
        length=length,
        time=setting.time,
        key=setting.key,
        clef=setting.clef,
        instrument=setting.instrument,
        voices=(Voice("1", (event,)),),
    )
