"""A SoundFont 2 file, checked from end to end before a library in C sees it.

Problem: a sound font is a file from anywhere, and the library that plays it trusts what
it reads.  Method: the RIFF chunks must lie inside each other; the nine tables of "pdta"
must have whole records; every index must point into its table and every sample into the
recording.  What is checked is all that a player of such a file follows.

Source: SoundFont Technical Specification 2.04 (Creative Technology, 2006), sections 4 to
7; sizes of records and numbers of generators are written down from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Final

import numpy as np
import numpy.typing as npt

from drills.errors import LimitError, ReadError, UsageError

MOST_BYTES: Final = 256 * 2**20
"""Of a file: it is held in memory, and again at twice the size by the library."""
_INSTRUMENT: Final = 41
_SAMPLE: Final = 53
"""Generators that point into the next table."""
_OFFSETS: Final = {0: 1, 1: 1, 2: 1, 3: 1, 4: 32_768, 12: 32_768, 45: 32_768, 50: 32_768}
"""Generators that move the start, the end or the loop of a sample: how many samples a step."""
_MOVED: Final = {0: "start", 4: "start", 1: "end", 12: "end"}
"""The others move the loop."""
_COMPRESSED: Final = 0x10
"""Of a sample's type in the compressed cousin of the format (SF3)."""
_FROM_ROM: Final = 0x8000

_Records = npt.NDArray[np.void]

_NAME: Final = ("name", "S20")
_BAG: Final = np.dtype([("gen", "<u2"), ("mod", "<u2")])
_MOD: Final = np.dtype([("all", "V10")])
_GEN: Final = np.dtype([("oper", "<u2"), ("amount", "<u2")])
_TABLES: Final = {
    "phdr": np.dtype([_NAME, ("program", "<u2"), ("bank", "<u2"), ("bag", "<u2"), ("rest", "V12")]),
    "pbag": _BAG,
    "pmod": _MOD,
    "pgen": _GEN,
    "inst": np.dtype([_NAME, ("bag", "<u2")]),
    "ibag": _BAG,
    "imod": _MOD,
    "igen": _GEN,
    "shdr": np.dtype(
        [
            _NAME,
            *((field, "<u4") for field in ("start", "end", "loop", "loop_end", "rate")),
            ("root", "u1"),
            ("cents", "i1"),
            ("link", "<u2"),
            ("kind", "<u2"),
        ]
    ),
}
"""The tables of pdta; each ends with a record that only closes the one before."""


@dataclass(frozen=True, slots=True, eq=False)
class FontFile:
    """A file that has passed."""

    path: Path
    data: bytes
    presets: tuple[tuple[int, int], ...]
    """Bank and program of each, sorted: the first one stands in for those that are missing."""


def read_font(path: Path) -> FontFile:
    """The file, read and checked.

    Raises UsageError for what is no file, LimitError above MOST_BYTES, ReadError for
    what cannot be read or is not a sound SoundFont 2 file.
    """
    if path.is_dir():
        raise UsageError(f"--sound-font {path} is a folder; name a .sf2 file in it")
    if path.exists() and not path.is_file():
        raise UsageError(f"--sound-font {path} is no file that can be read to its end")
    try:
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except OSError as error:
        raise ReadError(f"{path}: the sound font cannot be read: {error.strerror}") from error
    if len(data) > MOST_BYTES:
        raise LimitError(
            f"{path}: the sound font is larger than {MOST_BYTES // 2**20} MiB, which is more "
            "than is held in memory; choose a smaller one"
        )
    try:
        return FontFile(path, data, _presets(data))
    except _WrongError as wrong:
        raise ReadError(
            f"{path}: not a SoundFont 2 file that can be played: {wrong}; choose another .sf2 file"
        ) from wrong


_LAST_BANK: Final = 128
"""MIDI counts banks to 127; percussion stands in one of its own after them."""
_LAST: Final = 127
"""The last program of a bank."""


class _WrongError(Exception):
    """What is wrong with the file; never leaves this module."""


def _presets(data: bytes) -> tuple[tuple[int, int], ...]:
    """Bank and program of each preset, once all has been checked."""
    if data[:4] != b"RIFF" or data[8:12] != b"sfbk":
        raise _WrongError('it does not begin with "RIFF" and "sfbk"')
    whole = int.from_bytes(data[4:8], "little") + 8
    if whole > len(data):
        raise _WrongError(f"it says it has {whole} bytes, and ends after {len(data)}")
    lists = {
        data[begin : begin + 4]: _chunks(data, begin + 4, end)
        for kind, begin, end in _walk(data, 12, whole)
        if kind == b"LIST" and end - begin >= 4
    }
    version = lists.get(b"INFO", {}).get(b"ifil", (0, 0))
    if data[version[0] : version[1]][:2] != b"\x02\x00":
        raise _WrongError("it does not say that it is of version 2")
    begin, end = lists.get(b"sdta", {}).get(b"smpl", (0, 0))
    if end - begin < 2:
        raise _WrongError("nothing is recorded in it")
    found = lists.get(b"pdta", {})
    tables = {name: _table(data, found, name) for name in _TABLES}
    _check_indices(tables)
    _check_samples(tables["shdr"][:-1], (end - begin) // 2)
    _check_moved(tables, (end - begin) // 2)
    presets = {(int(one["bank"]), int(one["program"])) for one in tables["phdr"][:-1]}
    callable_ones = sorted(one for one in presets if one[0] <= _LAST_BANK and one[1] <= _LAST)
    if not callable_ones:
        raise _WrongError("no preset has a bank and a program that can be called")
    return tuple(callable_ones)


def _chunks(data: bytes, begin: int, end: int) -> dict[bytes, tuple[int, int]]:
    return {kind: (first, last) for kind, first, last in _walk(data, begin, end)}


def _walk(data: bytes, begin: int, end: int) -> list[tuple[bytes, int, int]]:
    """The chunks between two places: name, first byte and the one after the last."""
    found = []
    while begin + 8 <= end:
        size = int.from_bytes(data[begin + 4 : begin + 8], "little")
        last = begin + 8 + size
        if last > end:
            raise _WrongError(f"its chunk {data[begin : begin + 4]!r} is cut off")
        found.append((data[begin : begin + 4], begin + 8, last))
        begin = last + size % 2
    return found


def _table(data: bytes, found: dict[bytes, tuple[int, int]], name: str) -> _Records:
    begin, end = found.get(name.encode(), (0, 0))
    kind = _TABLES[name]
    count, over = divmod(end - begin, kind.itemsize)
    least = 2 if name in {"phdr", "inst", "shdr"} else 1
    if over or count < least:
        raise _WrongError(f"its table {name} is missing, empty or cut off")
    return np.frombuffer(data, kind, count, begin)


def _check_indices(tables: dict[str, _Records]) -> None:
    """Every index rises and stays within the table that it points to."""
    chains = (
        *(("phdr", "bag", "pbag"), ("pbag", "gen", "pgen"), ("pbag", "mod", "pmod")),
        *(("inst", "bag", "ibag"), ("ibag", "gen", "igen"), ("ibag", "mod", "imod")),
    )
    for name, field, to in chains:
        indices = tables[name][field].astype(np.int64)
        if (np.diff(indices) < 0).any() or indices[-1] >= len(tables[to]):
            raise _WrongError(f"its table {name} points outside {to}")
    for name, oper, to in (("pgen", _INSTRUMENT, "inst"), ("igen", _SAMPLE, "shdr")):
        records = tables[name]
        if (records["amount"][records["oper"] == oper] >= len(tables[to]) - 1).any():
            raise _WrongError(f"its table {name} points outside {to}")


def _check_samples(samples: _Records, recorded: int) -> None:
    if (samples["kind"] & _COMPRESSED).any():
        raise _WrongError("its samples are compressed, as in an SF3 file")
    played = samples[(samples["kind"] & _FROM_ROM) == 0]
    start, end, loop, loop_end = (
        played[field].astype(np.int64) for field in ("start", "end", "loop", "loop_end")
    )
    wrong = (start > end) | (end > recorded) | (loop > loop_end) | (loop_end > recorded)
    if wrong.any() or (played["rate"] == 0).any():
        raise _WrongError("a sample lies outside what is recorded")


def _check_moved(tables: dict[str, _Records], recorded: int) -> None:
    """Samples as the zones of instruments move them; those of presets must not (8.1.2)."""
    steps = list(_OFFSETS)
    high = tables["pgen"][np.isin(tables["pgen"]["oper"], steps)]
    if high["amount"].any():
        raise _WrongError("a preset moves its samples")
    if not tables["igen"]["amount"][np.isin(tables["igen"]["oper"], steps)].any():
        return
    bags = tables["ibag"]["gen"]
    for first, last in pairwise(int(bag) for bag in tables["inst"]["bag"]):
        common: dict[int, int] = {}
        for number in range(first, last):
            zone = tables["igen"][bags[number] : bags[number + 1]]
            own = {int(one["oper"]): int(one["amount"]) for one in zone}
            if number == first and _SAMPLE not in own:
                common = own
            elif _SAMPLE in own:
                _check_zone(common | own, tables["shdr"][own[_SAMPLE]], recorded)


def _check_zone(zone: dict[int, int], sample: np.void, recorded: int) -> None:
    """The bounds of one sample in one zone."""
    moved = dict.fromkeys(("start", "end", "loop", "loop_end"), 0)
    for oper, step in _OFFSETS.items():
        amount = zone.get(oper, 0)
        signed = amount - 0x10000 if amount >= 0x8000 else amount
        name = _MOVED.get(oper) or ("loop" if oper in {2, 45} else "loop_end")
        moved[name] += signed * step
    start, end, loop, loop_end = (int(sample[name]) + moved[name] for name in moved)
    if not (0 <= start <= end <= recorded and 0 <= loop <= loop_end <= recorded):
        raise _WrongError("a zone moves its sample outside what is recorded")
