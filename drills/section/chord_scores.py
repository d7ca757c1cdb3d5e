"""The section page's chords: one long note each, and the same built up as a section tunes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Final

from drills.harmony.chord import Chord, ChordTone
from drills.harmony.tones import belongs, function_tone
from drills.music.score import Bar
from drills.music.time import START, Length, TimeSignature
from drills.notation.bars import Setting, Stroke, write_bars
from drills.places.spots import Attack
from drills.section.columns import Column
from drills.section.lines import PlayerLine
from drills.section.score import ChordName, ScoreKind, SectionScore, Staff
from drills.sheets.chord_notes.held import HeldNote, chord_time, held_bar
from drills.sheets.chord_notes.names import remarks_beside
from drills.sheets.drill import UnderNote

CHORDS_HEADING: Final = "The chords, slowly"
BUILD_HEADING: Final = "The chords, built up: root, fifth, third, colour"
PLACES_TOLD: Final = 3
"""Bar numbers over a chord that is built up once but stands in several places."""

_ORDER: Final = {1: 0, 5: 1, 3: 2}
"""When a tone of the chord enters, by its number: the root, the fifth, the third (common
practice of tuning a chord); everything else is colour and comes last."""
_COLOUR: Final = 3
_BARS_TO_BUILD: Final = 2

BarWords = Callable[[int], str]
"""The printed number of a common bar."""


def chords_score(
    lines: Sequence[PlayerLine],
    columns: Sequence[Column],
    time: TimeSignature,
    bar_words: BarWords,
) -> SectionScore | None:
    """Every chord as a bar of one long note a player; None where no pitch sounds.

    ``time`` is that of the music.  A player without a note in all of it has no staff.
    """
    slow = chord_time(time)
    staves = []
    for player, line in enumerate(lines):
        held = [column.held[player] for column in columns]
        if any(held):
            staves.append(_staff(line, held, slow))
    if not staves:
        return None
    return SectionScore(
        ScoreKind.CHORDS,
        CHORDS_HEADING,
        tuple(staves),
        _names([column.chord for column in columns], 1),
        tuple(
            _label(column, bar_words) if _begins_bar(columns, index) else ""
            for index, column in enumerate(columns)
        ),
        tuple(
            index
            for index, column in enumerate(columns)
            if index + 1 == len(columns) or columns[index + 1].first > column.last
        ),
    )


def _begins_bar(columns: Sequence[Column], index: int) -> bool:
    return index == 0 or columns[index].first > columns[index - 1].last


def _label(column: Column, bar_words: BarWords) -> str:
    first, last = bar_words(column.first), bar_words(column.last)
    return first if first == last else f"{first}-{last}"


def _staff(line: PlayerLine, held: Sequence[HeldNote | None], slow: TimeSignature) -> Staff:
    bars = []
    under = []
    settings = _settings(held, slow)
    for index, (one, setting) in enumerate(zip(held, settings, strict=True)):
        bars.append(held_bar(one, setting, index))
        if one is not None and (one.label or one.cents):
            under.append(UnderNote(index, START, one.label, one.cents))
    return Staff(line.part.name, tuple(bars), tuple(under))


def _settings(held: Sequence[HeldNote | None], slow: TimeSignature) -> list[Setting]:
    """Key, clef and instrument of every bar: in a rest those of the note before, or after."""
    known = [None if one is None else one.played.setting for one in held]
    before = next(setting for setting in known if setting is not None)
    found = []
    for setting in known:
        before = setting or before
        found.append(replace(before, time=slow))
    return found


def _numbered(bars: Sequence[Bar]) -> tuple[Bar, ...]:
    return tuple(replace(bar, index=i, number=str(i + 1)) for i, bar in enumerate(bars))


def _names(chords: Sequence[Chord | None], bars_each: int) -> tuple[ChordName, ...]:
    """The chords' names in concert pitch, with what stands beside them."""
    known = [(index * bars_each, chord) for index, chord in enumerate(chords) if chord is not None]
    beside = remarks_beside(chord for _, chord in known)
    return tuple(
        ChordName(index, START, chord_text(chord, remark))
        for (index, chord), remark in zip(known, beside, strict=True)
    )


def chord_text(chord: Chord, remark: str) -> str:
    """ "C7", "C7 (from the notes)", "C7 ?"."""
    beside = f" ({remark})" if len(remark) > 1 else f" {remark}" if remark else ""
    return f"{chord}{beside}"


# --- built up ------------------------------------------------------------------------


def build_score(
    lines: Sequence[PlayerLine],
    columns: Sequence[Column],
    time: TimeSignature,
    bar_words: BarWords,
) -> SectionScore | None:
    """Each different chord in two bars: tones enter a beat apart, then all hold.

    A player whose note is none of the chord's rests.  None where no chord has two
    players on different tones to build it of.
    """
    slow = chord_time(time)
    merged = _once(columns)
    entries = [_entries(column) for column in merged]
    wanted = [pair for pair in zip(merged, entries, strict=True) if len(set(pair[1]) - {None}) > 1]
    staves = [
        _built_staff(line, player, wanted, slow)
        for player, line in enumerate(lines)
        if any(order[player] is not None for _, order in wanted)
    ]
    if not staves:
        return None
    places = _places(columns, bar_words)
    labels = [[places[_key(column)], *[""] * (_BARS_TO_BUILD - 1)] for column, _ in wanted]
    return SectionScore(
        ScoreKind.BUILD,
        BUILD_HEADING,
        tuple(staves),
        _names([column.chord for column, _ in wanted], _BARS_TO_BUILD),
        tuple(label for pair in labels for label in pair),
        tuple(_BARS_TO_BUILD * (index + 1) - 1 for index in range(len(wanted))),
    )


def _key(column: Column) -> object:
    chord = column.chord
    return (
        None if chord is None else (chord.root, chord.tones, chord.bass),
        column.notes,
    )


def _once(columns: Sequence[Column]) -> list[Column]:
    """Each chord with its notes once, where it stands first; those without a root left out."""
    found: dict[object, Column] = {}
    for column in columns:
        if column.chord is not None and column.chord.root is not None:
            found.setdefault(_key(column), column)
    return list(found.values())


def _places(columns: Sequence[Column], bar_words: BarWords) -> dict[object, str]:
    """The bar numbers of every place where a chord stands."""
    found: dict[object, list[str]] = {}
    for column in columns:
        found.setdefault(_key(column), []).append(_label(column, bar_words))
    told = {}
    for key, labels in found.items():
        once = list(dict.fromkeys(labels))
        more = " ..." if len(once) > PLACES_TOLD else ""
        told[key] = ", ".join(once[:PLACES_TOLD]) + more
    return told


def _entries(column: Column) -> tuple[int | None, ...]:
    """For each player the beat of their entry from 0; None where they have no note of it.

    Tones that nobody has leave no beat empty.
    """
    ranks = [None if one is None else _rank(column.chord, one) for one in column.held]
    there = sorted({rank for rank in ranks if rank is not None})
    return tuple(None if rank is None else there.index(rank) for rank in ranks)


def _rank(chord: Chord | None, held: HeldNote) -> int | None:
    if chord is None or chord.root is None:
        return None
    sounding = [held.played.sounding(tone) for tone in held.tones]
    tones: list[ChordTone] = [
        function_tone(chord, pitch)
        for pitch in sounding
        if pitch is not None and belongs(chord, pitch)
    ]
    return min((_place(tone, chord.zero) for tone in tones), default=None)


def _place(tone: ChordTone, zero: ChordTone) -> int:
    """When a tone enters: first the one that all others are tuned from."""
    return -1 if tone == zero else _ORDER.get(tone.number, _COLOUR)


def _built_staff(
    line: PlayerLine,
    player: int,
    wanted: Sequence[tuple[Column, tuple[int | None, ...]]],
    slow: TimeSignature,
) -> Staff:
    held = [column.held[player] if order[player] is not None else None for column, order in wanted]
    bars: list[Bar] = []
    under = []
    whole = slow.bar_length * _BARS_TO_BUILD
    for index, (one, setting) in enumerate(zip(held, _settings(held, slow), strict=True)):
        order = wanted[index][1][player]
        if one is None or order is None:
            bars += write_bars([Stroke(None, whole)], setting)
            continue
        wait = slow.beat * order
        bars += _entering(one, setting, wait, whole)
        if one.label or one.cents:
            under.append(UnderNote(index * _BARS_TO_BUILD, START + wait, one.label, one.cents))
    return Staff(line.part.name, _numbered(bars), tuple(under))


def _entering(held: HeldNote, setting: Setting, wait: Length, whole: Length) -> tuple[Bar, ...]:
    lasts = whole - wait
    attack = Attack(held.tones, lasts, origin=held.played.attack.origin)
    rest = [Stroke(None, wait)] if wait else []
    return write_bars([*rest, Stroke(attack, lasts)], setting)
