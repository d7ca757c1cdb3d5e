"""One voice written out in other formats, for tests that read it again.

Sources: ABC 2.1, 4.3 (lengths), 4.11 (ties), 4.13 (tuplets, ``(p:q:r``), 4.17 (chords);
Humdrum Toolkit, "kern" (recip numbers, pitch letters, ``[`` ``_`` ``]`` for ties);
Standard MIDI Files 1.0 by mido.  MEI is written by Verovio from our own MusicXML.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import mido
import verovio

from drills.music.pitch import Pitch
from drills.music.score import Bar, Event, Note, Part
from drills.output.musicxml.part import part_bytes
from drills.output.typed import words_of

_ABC_SIGNS = {-2: "__", -1: "_", 0: "=", 1: "^", 2: "^^"}
_KERN_SIGNS = {-2: "--", -1: "-", 0: "n", 1: "#", 2: "##"}
_TICKS = 5040
"""Ticks of a quarter that thirds, fifths and sevenths of sixteenths fall on."""


def write_as(kind: str, part: Part, folder: Path) -> Path:
    """The part in a file of that kind."""
    path = folder / f"written.{kind}"
    if kind == "mid":
        _midi(part).save(path)
    else:
        path.write_text(_TEXTS[kind](part), encoding="utf-8")
    return path


def _events(bar: Bar) -> tuple[Event, ...]:
    return bar.voices[0].events


def _tones(event: Event) -> tuple[Pitch, ...]:
    tones = event.tones if isinstance(event, Note) else ()
    return tuple(tone for tone in tones if isinstance(tone, Pitch))


def _abc(part: Part) -> str:
    first = part.bars[0]
    lines = [f"X:1\nM:{first.time}\nL:1/4\nK:C"]
    for bar in part.bars:
        change = (
            f"[M:{bar.time}]" if bar.index and bar.time != part.bars[bar.index - 1].time else ""
        )
        lines.append(f"{change}{' '.join(map(_abc_event, _events(bar)))} |")
    return "\n".join(lines) + "\n"


def _abc_event(event: Event) -> str:
    length, tuplet = event.length.quarters, ""
    if event.tuplets:
        ratio = event.tuplets[0].ratio
        length /= ratio.factor
        tuplet = f"({ratio.actual}:{ratio.normal}:1"
    tones = "".join(map(_abc_tone, _tones(event)))
    head = f"[{tones}]" if len(_tones(event)) > 1 else tones or "z"
    tie = "-" if isinstance(event, Note) and event.tie_start else ""
    return f"{tuplet}{head}{length.numerator}/{length.denominator}{tie}"


def _abc_tone(pitch: Pitch) -> str:
    letter = pitch.step if pitch.octave < 5 else pitch.step.lower()
    marks = "'" * (pitch.octave - 5) if pitch.octave >= 5 else "," * (4 - pitch.octave)
    return f"{_ABC_SIGNS[int(pitch.alter)]}{letter}{marks}"


def _kern(part: Part) -> str:
    lines = ["**kern", '*I"Flute', "*clefG2", "*k[]"]
    for bar in part.bars:
        lines += [f"={bar.number}"]
        if not bar.index or bar.time != part.bars[bar.index - 1].time:
            lines.append(f"*M{bar.time}")
        lines += map(_kern_event, _events(bar))
    return "\n".join([*lines, "==", "*-", ""])


def _kern_event(event: Event) -> str:
    share = Fraction(4) / event.length.quarters
    recip = str(share.numerator)
    if share.denominator > 1:
        recip += f"%{share.denominator}"
    return " ".join(_kern_tone(tone, event, recip) for tone in _tones(event)) or f"{recip}r"


def _kern_tone(pitch: Pitch, event: Event, recip: str) -> str:
    low = pitch.octave < 4
    letter = (pitch.step if low else pitch.step.lower()) * (
        4 - pitch.octave if low else pitch.octave - 3
    )
    begins = isinstance(event, Note) and event.tie_start
    ends = isinstance(event, Note) and event.tie_stop
    opened = "[" if begins and not ends else ""
    closed = "_" if begins and ends else "]" if ends else ""
    return f"{opened}{recip}{letter}{_KERN_SIGNS[int(pitch.alter)]}{closed}"


def _mei(part: Part) -> str:
    toolkit = verovio.toolkit()
    assert toolkit.loadData(part_bytes(part).decode())
    return str(toolkit.getMEI())


def _midi(part: Part) -> mido.MidiFile:
    file = mido.MidiFile(ticks_per_beat=_TICKS)
    track = mido.MidiTrack()
    file.tracks.append(track)
    changes: list[tuple[Fraction, int, mido.Message]] = []
    at = Fraction(0)
    for bar in part.bars:
        if not bar.index or bar.time != part.bars[bar.index - 1].time:
            signature = mido.MetaMessage(
                "time_signature", numerator=bar.time.count, denominator=bar.time.unit
            )
            changes.append((at, 0, signature))
        for event in _events(bar):
            for tone in _tones(event):
                number, start = int(tone.midi), at + event.start.quarters
                if isinstance(event, Note) and not event.tie_stop:
                    changes.append((start, 2, mido.Message("note_on", note=number, velocity=80)))
                if isinstance(event, Note) and not event.tie_start:
                    end = start + event.length.quarters
                    changes.append((end, 1, mido.Message("note_off", note=number)))
        at += bar.length.quarters
    now = 0
    for time, _, message in sorted(changes, key=lambda change: change[:2]):
        tick = round(time * _TICKS)
        track.append(message.copy(time=tick - now))
        now = tick
    return file


def _bars(part: Part) -> str:
    return "\n".join(["instrument: flute", *words_of(part)]) + "\n"


_TEXTS = {"abc": _abc, "krn": _kern, "mei": _mei, "bars": _bars}
