"""A SoundFont 2 file of a few kilobytes, written in the test: each preset is one looped sine.

The layout is that of the SoundFont Technical Specification, version 2.01 and 2.04 (E-mu
Systems and Creative Technology): RIFF "sfbk" with the lists INFO, sdta and pdta, every
table of pdta ending with a terminal record.  Sizes of records and numbers of generators
are from memory; an independent library (tinysoundfont) reads the file in the tests.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.util import find_spec

import numpy as np
import pytest

NEEDS_LIBRARY = pytest.mark.skipif(
    find_spec("tinysoundfont") is None,
    reason="the optional tinysoundfont is not installed; see DEVELOPERS.md",
)

FONT_RATE = 44_100
CYCLES = 44
"""In the loop of SAMPLES samples."""
SAMPLES = 4410
SINE_HERTZ = CYCLES * FONT_RATE / SAMPLES
"""440.0 Hz, exactly."""
_GUARD = 46
"""Zeros after a sample that the specification asks for."""

_INSTRUMENT, _SAMPLE, _MODES = 41, 53, 54
_ATTACK, _RELEASE = 34, 38


@dataclass(frozen=True)
class Preset:
    """One of the font's sounds."""

    program: int = 0
    bank: int = 0
    name: str = "Sine"
    level: float = 0.5
    """Peak of the recorded sine, of full scale."""
    attack: int = -12_000
    """Timecents: -12000 is a thousandth of a second, 0 a second."""
    release: int = -12_000
    looped: bool = True


def font(*presets: Preset) -> bytes:
    """A whole file."""
    chosen = presets or (Preset(),)
    info = _chunk(b"ifil", struct.pack("<HH", 2, 1)) + _chunk(b"INAM", b"Harbour test\0\0")
    recorded = b"".join(_recording(one) for one in chosen)
    lists = (
        _list(b"INFO", info),
        _list(b"sdta", _chunk(b"smpl", recorded)),
        _list(b"pdta", b"".join(_chunk(name, data) for name, data in _tables(chosen))),
    )
    return _chunk(b"RIFF", b"sfbk" + b"".join(lists))


def _recording(preset: Preset) -> bytes:
    wave = preset.level * np.sin(2 * np.pi * CYCLES * np.arange(SAMPLES) / SAMPLES)
    data = np.rint(wave * 32767).astype("<i2").tobytes()
    return data + bytes(2 * _GUARD)


def _tables(presets: Sequence[Preset]) -> list[tuple[bytes, bytes]]:
    count = len(presets)
    each = range(count)
    phdr = [_header(p.name, p.program, p.bank, n) for n, p in enumerate(presets)]
    instruments = [_instrument(p) for p in presets]
    firsts = [sum(len(one) for one in instruments[:n]) for n in range(count + 1)]
    return [
        (b"phdr", b"".join([*phdr, _header("EOP", 0, 0, count)])),
        (b"pbag", b"".join(struct.pack("<HH", n, 0) for n in range(count + 1))),
        (b"pmod", bytes(10)),
        (b"pgen", b"".join(struct.pack("<HH", _INSTRUMENT, n) for n in each) + bytes(4)),
        (b"inst", b"".join(_name(f"I{n}") + struct.pack("<H", n) for n in range(count + 1))),
        (b"ibag", b"".join(struct.pack("<HH", first, 0) for first in firsts)),
        (b"imod", bytes(10)),
        (b"igen", b"".join(_generators(one, n) for n, one in enumerate(instruments)) + bytes(4)),
        (b"shdr", b"".join([*(_sample(n) for n in range(count)), bytes(46)])),
    ]


def _instrument(preset: Preset) -> list[tuple[int, int]]:
    """Its generators but the last, which is the sample."""
    return [
        (_ATTACK, preset.attack),
        (_RELEASE, preset.release),
        (_MODES, int(preset.looped)),
        (_SAMPLE, 0),
    ]


def _generators(instrument: Sequence[tuple[int, int]], sample: int) -> bytes:
    numbers = [(oper, sample if oper == _SAMPLE else amount) for oper, amount in instrument]
    return b"".join(struct.pack("<Hh", oper, amount) for oper, amount in numbers)


def _header(name: str, program: int, bank: int, bag: int) -> bytes:
    return _name(name) + struct.pack("<HHHIII", program, bank, bag, 0, 0, 0)


def _sample(number: int) -> bytes:
    start = number * (SAMPLES + _GUARD)
    end = start + SAMPLES
    return _name("A4") + struct.pack("<IIIIIBbHH", start, end, start, end, FONT_RATE, 69, 0, 0, 1)


def _name(text: str) -> bytes:
    return text.encode("ascii").ljust(20, b"\0")


def _list(kind: bytes, data: bytes) -> bytes:
    return _chunk(b"LIST", kind + data)


def _chunk(name: bytes, data: bytes) -> bytes:
    return name + struct.pack("<I", len(data)) + data + b"\0" * (len(data) % 2)
