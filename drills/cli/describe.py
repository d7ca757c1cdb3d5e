"""A score in a player's words: what ``drills show`` prints, within 80 columns.

Pure functions from parts to text.  Bars go by their printed numbers, beats by
what the player counts, transpositions by their interval.
"""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from itertools import groupby
from typing import Final

from drills.cli.intervals import interval
from drills.jobs.asked.values import VALUE_NAMES
from drills.music.notes import Note
from drills.music.pitch import ORDER_OF_SHARPS, KeySignature, Pitch
from drills.music.score import Bar, Part, TempoMark
from drills.music.time import Length, NoteValue
from drills.places.bar_names import completes_previous, told_name
from drills.places.finding import marked_spans

WIDTH: Final = 80
_LABEL: Final = 11
"""Columns of the labels on the left."""

_TIMES: Final = {2: "twice", 3: "three times", 4: "four times"}


def described(parts: Sequence[tuple[int, Part]], file: str) -> str:
    """Everything about some parts of one file, each with its number in the score.

    ``file`` is the score as the player named it.
    """
    blocks = [heading(parts, file)] + [describe_part(part, number) for number, part in parts]
    return "\n\n".join(blocks)


def heading(parts: Sequence[tuple[int, Part]], file: str) -> str:
    """The file, its title and composer, and the rights line."""
    head = [file]
    if parts:
        credit = parts[0][1].credits
        by = f", {credit.composer}" if credit.composer else ""
        head += [f"{credit.title}{by}"] if credit.title else []
        head += [credit.rights] if credit.rights else []
    return _wrapped(head)


def for_all(part: Part) -> tuple[tuple[str, str], ...]:
    """What a part shares with the others of its score, by label; "" where there is none."""
    return (
        ("bars", _bars(part)),
        ("time", _changes(part, _time)),
        ("tempo", _tempos(part)),
        ("marks", _marks(part)),
        ("repeats", "; ".join((*_repeats(part), *_endings(part)))),
        ("numbers", _repeated_numbers(part)),
    )


def describe_part(part: Part, number: int) -> str:
    """One part: a line with its number and name, then what is worth knowing."""
    facts = (
        ("instrument", _instruments(part)),
        ("sounds", _sounding(part)),
        ("bars", _bars(part)),
        ("notes", _notes(part)),
        ("key", _changes(part, lambda bar: _key(bar.key))),
        ("time", _changes(part, _time)),
        ("tempo", _tempos(part)),
        ("marks", _marks(part)),
        ("repeats", "; ".join((*_repeats(part), *_endings(part)))),
        ("rests", "; ".join(_long_rests(part))),
        ("numbers", _repeated_numbers(part)),
        ("marked", "; ".join(f"{span.asked} ({span.words})" for span in marked_spans(part))),
    )
    name = f"{number:>2} {part.name or 'a part without a name'}"
    lines = [textwrap.fill(name, WIDTH, subsequent_indent="   ")]
    lines += [entry(label, text) for label, text in facts if text]
    lines += [entry("remark", text) for text in part.remarks]
    return "\n".join(lines)


def value_words(value: NoteValue) -> str:
    """``dotted quarter``: a note value as a player says it."""
    names = {kind: name for name, kind in VALUE_NAMES.items()}
    return "dotted " * value.dots + names.get(value.kind, value.kind)


def _wrapped(lines: Iterable[str]) -> str:
    return "\n".join(
        textwrap.fill(line, WIDTH, subsequent_indent="  ", break_on_hyphens=False) for line in lines
    )


def entry(label: str, text: str) -> str:
    """A label and what it is about, within the width."""
    return textwrap.fill(
        text,
        WIDTH,
        initial_indent=f"   {label:<{_LABEL}}",
        subsequent_indent=" " * (_LABEL + 3),
        break_on_hyphens=False,
    )


def _bar(part: Part, bar: Bar) -> str:
    """``bar 12``, by its printed number where it has one, ``bar 12#2`` where that repeats."""
    index = bar.index
    while index > 0 and completes_previous(part, index):
        index -= 1
    return f"bar {told_name(part, index)}" if part.bars[index].number else f"bar no. {index + 1}"


def _marks(part: Part) -> str:
    return ", ".join(f"{m.text} at {_bar(part, b)}" for b in part.bars for m in b.marks)


def _stretch(part: Part, bars: Sequence[Bar]) -> str:
    first, last = _bar(part, bars[0]), _bar(part, bars[-1])
    return first if first == last else f"{first.replace('bar', 'bars', 1)} to {last[4:]}"


def _whole_bars(part: Part) -> list[Bar]:
    """Bars as the player counts them: a split bar is one."""
    return [bar for bar in part.bars if not completes_previous(part, bar.index)]


def _instruments(part: Part) -> str:
    changes = [next(bars) for _, bars in groupby(part.bars, key=lambda bar: bar.instrument)]
    names = [
        bar.instrument.name if bar.index == 0 else f"{bar.instrument.name} from {_bar(part, bar)}"
        for bar in changes
        if bar.instrument.name
    ]
    return "" if names == [part.name] else ", ".join(names)


def _sounding(part: Part) -> str:
    if part.instrument.family == "percussion":
        return ""
    return _changes(part, lambda bar: interval(bar.instrument.transposition))


def _bars(part: Part) -> str:
    bars = _whole_bars(part)
    if not bars:
        return "none"
    numbers = [bar.number for bar in bars if bar.number]
    text = str(len(bars))
    if numbers:
        last = told_name(part, max(bar.index for bar in bars if bar.number))
        text += f", numbered {numbers[0]} to {last}"
    first = bars[0]
    if (
        first.offset
        and first.offset.quarters + first.length.quarters == first.time.bar_length.quarters
    ):
        text += f"; the first is a pickup of {_counted(first.length, first)}"
    return text


def _counted(length: Length, bar: Bar) -> str:
    beats = length / bar.time.beat
    if beats.denominator == 1:
        return "one beat" if beats == 1 else f"{beats} beats"
    value = NoteValue.of(length)
    return (
        f"a {value_words(value)} note".replace("a eighth", "an eighth")
        if value
        else f"{beats} beats"
    )


def _notes(part: Part) -> str:
    attacks = [
        event
        for bar in part.bars
        for voice in bar.voices
        for event in voice.events
        if isinstance(event, Note) and event.is_attack
    ]
    if not attacks:
        return "none"
    text = f"{len(attacks)}"
    pitches = sorted(
        (tone for note in attacks for tone in note.tones if isinstance(tone, Pitch)),
        key=lambda pitch: pitch.midi,
    )
    if pitches:
        same = pitches[0] == pitches[-1]
        pitch_range = f"all {pitches[0]}" if same else f"{pitches[0]} to {pitches[-1]}"
        text += f", written {pitch_range} (C4 is middle C)"
    voices = sorted({voice.name for bar in part.bars for voice in bar.voices})
    if len(voices) > 1:
        text += f", in voices {', '.join(voices)}"
    return text


def _changes(part: Part, words: Callable[[Bar], str]) -> str:
    """What holds from the start, and every change with its bar."""
    found = [next(bars) for _, bars in groupby(part.bars, key=words)]
    return ", ".join(
        words(bar) if bar.index == 0 else f"{words(bar)} from {_bar(part, bar)}" for bar in found
    )


def _time(bar: Bar) -> str:
    return str(bar.time) if bar.time_shown else f"counted as {bar.time} (none printed)"


def _key(key: KeySignature) -> str:
    if key.custom:
        return "altered steps " + " ".join(str(Pitch(s, a, 4))[:-1] for s, a in key.custom)
    kind = "sharp" if key.fifths > 0 else "flat"
    count = abs(key.fifths)
    text = f"{count} {kind}{'s' if count > 1 else ''}" if count else "no sharps or flats"
    return f"{text} ({_tonic(key)}{key.mode})" if key.mode else text


def _tonic(key: KeySignature) -> str:
    """``B flat `` for two flats and major; empty for other modes than major and minor."""
    shift = {"major": 0, "minor": 3}.get(key.mode)
    if shift is None or not -7 <= key.fifths <= 7:
        return ""
    turns, step = divmod(key.fifths + shift + 1, 7)
    return f"{ORDER_OF_SHARPS[step]}{(' flat', '', ' sharp', ' double sharp')[turns + 1]} "


def _tempos(part: Part) -> str:
    return ", ".join(
        f"{_tempo(mark)} at {_bar(part, bar)}" for bar in part.bars for mark in bar.tempos
    )


def _tempo(mark: TempoMark) -> str:
    number = (
        f"{value_words(mark.beat)} = {_decimal(mark.number)}"
        if mark.beat is not None and mark.number is not None
        else ""
    )
    words = f'"{mark.text}"' if mark.text else ""
    return " ".join(filter(None, (words, number))) or "a tempo mark"


def _decimal(number: Fraction) -> str:
    return str(number) if number.denominator == 1 else f"{float(number):.1f}"


def _repeats(part: Part) -> list[str]:
    """Where passages are repeated; one without a start goes back to the last end."""
    found = []
    start = 0
    for bar in part.bars:
        if bar.starts_repeat:
            start = bar.index
        if bar.ends_repeat:
            times = _TIMES.get(bar.ends_repeat, f"{bar.ends_repeat} times")
            found.append(f"{_stretch(part, part.bars[start : bar.index + 1])} {times}")
            start = bar.index + 1
    return found


def _endings(part: Part) -> list[str]:
    runs = [(text, list(bars)) for text, bars in groupby(part.bars, key=lambda bar: bar.ending)]
    return [f"ending {text} in {_stretch(part, bars)}" for text, bars in runs if text]


def _long_rests(part: Part) -> list[str]:
    """Stretches of two bars or more in which the player has nothing to play."""
    found = []
    for silent, group in groupby(_whole_bars(part), key=_is_silent):
        bars = list(group)
        if silent and len(bars) > 1:
            found.append(f"{_stretch(part, bars)} ({len(bars)} bars)")
    return found


def _is_silent(bar: Bar) -> bool:
    return not any(isinstance(event, Note) for voice in bar.voices for event in voice.events)


def _repeated_numbers(part: Part) -> str:
    """Printed numbers that stand more than once, with the way to write the second."""
    counts = Counter(bar.number for bar in _whole_bars(part) if bar.number)
    twice = [number for number, count in counts.items() if count > 1]
    if not twice:
        return ""
    what = f"{len(twice)} bar numbers stand" if len(twice) > 1 else f"{twice[0]} stands"
    return f"{what} more than once; write {twice[0]}#2 for the second bar {twice[0]}"
