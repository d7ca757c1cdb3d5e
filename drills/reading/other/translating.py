"""A file of another format as a MusicXML document, by the reader for its kind."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from drills.errors import ReadError
from drills.reading.other.foreign import Foreign, Translation
from drills.reading.other.kinds import Kind


def translated(kind: Kind, foreign: Foreign) -> Translation:
    """The score in MusicXML.

    Readers are imported only for a file of their kind: each takes long to load.
    Raises ReadError and LimitError, whatever a reader stumbles over.
    """
    try:
        return _READERS[kind](foreign)
    except RecursionError as error:
        raise ReadError(
            f"{foreign.where}: the {kind} file is nested too deeply to be read; export the score "
            "as MusicXML"
        ) from error
    except MemoryError as error:
        most = foreign.limits.megabytes
        raise foreign.limits.exceeded("megabytes", f"more than {most:,}", foreign.where) from error


def _abc(foreign: Foreign) -> Translation:
    from drills.reading.other.abc import from_abc  # noqa: PLC0415 - only for ABC

    return from_abc(foreign)


def _humdrum(foreign: Foreign) -> Translation:
    from drills.reading.other.humdrum import from_humdrum  # noqa: PLC0415 - only for Humdrum

    return from_humdrum(foreign)


def _mei(foreign: Foreign) -> Translation:
    from drills.reading.other.mei import from_mei  # noqa: PLC0415 - only for MEI

    return from_mei(foreign)


def _midi(foreign: Foreign) -> Translation:
    from drills.reading.other.midi import from_midi  # noqa: PLC0415 - only for MIDI

    return from_midi(foreign)


def _bars(foreign: Foreign) -> Translation:
    from drills.reading.other.typed import from_file  # noqa: PLC0415 - only for typed bars

    return from_file(foreign)


_READERS: Final[dict[Kind, Callable[[Foreign], Translation]]] = {
    Kind.ABC: _abc,
    Kind.HUMDRUM: _humdrum,
    Kind.MEI: _mei,
    Kind.MIDI: _midi,
    Kind.BARS: _bars,
}
