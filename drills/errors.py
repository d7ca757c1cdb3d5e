"""Every error that a player may meet, in one tree.

    DrillsError                 exit code 1
    |-- UsageError              2   an option or a settings value that makes no sense
    |-- ReadError               3   a file that cannot be read as a score
    |   |-- LimitError              ... because it is larger than a stated limit
    |   `-- NotMusicXMLError          ... because it is something else
    |-- PlaceError              4   a place that does not exist or fits twice
    |-- NotationError           5   a length or rhythm that cannot be written
    |-- EngraveError            6   LilyPond is missing, failed or took too long
    |   `-- NoEngraverError         ... because there is none that can be run
    |-- WriteError              7   an output could not be written
    |-- BookError               8   a book file that does not say what it must
    `-- LogError                9   a log that cannot be read or written

A message is one line and says what, where and what to do.  Errors of other
packages (XML, music21, LilyPond, the file system) are translated where they
arise: reading/ for input, output/engrave for LilyPond, output/files.py for
writing.  Nothing here knows the command line; the exit code is a plain number
beside the class, so that the documented table and the code cannot drift apart.
"""

from __future__ import annotations


class DrillsError(Exception):
    """A problem that the player can do something about."""

    exit_code: int = 1


class UsageError(DrillsError):
    """An option or a settings value that makes no sense."""

    exit_code = 2


class ReadError(DrillsError):
    """A file that cannot be read as a score."""

    exit_code = 3


class LimitError(ReadError):
    """A file beyond a stated limit; the message names the limit and how to raise it."""


class NotMusicXMLError(ReadError):
    """A file that is not MusicXML."""


class PlaceError(DrillsError):
    """A place that does not exist, or that fits more than one bar."""

    exit_code = 4


class NotationError(DrillsError):
    """A length or a rhythm that cannot be written with ordinary note values."""

    exit_code = 5


class EngraveError(DrillsError):
    """LilyPond is missing, failed or took too long."""

    exit_code = 6


class NoEngraverError(EngraveError):
    """There is no LilyPond that can be run; the message says how to get one."""


class WriteError(DrillsError):
    """An output could not be written, or would replace a file that is not ours."""

    exit_code = 7


class BookError(DrillsError):
    """A book file that does not say what it must."""

    exit_code = 8


class LogError(DrillsError):
    """A log of practising that cannot be read or written."""

    exit_code = 9
