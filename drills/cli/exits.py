"""What the program's exit codes mean, for the help page and for the handbook.

The codes themselves stand beside the classes of drills/errors.py; a test keeps
the two together.  70 is EX_SOFTWARE of BSD ``sysexits``; 128 and a signal's
number is what a POSIX shell reports for a program that a signal stopped.
"""

from __future__ import annotations

from typing import Final

BUG: Final = 70
STOPPED: Final = 128
"""To this the number of the signal is added: 130 is Ctrl-C."""

EXIT_CODES: Final = {
    0: "done",
    1: "something else that you can put right",
    2: "an option that does not exist or makes no sense",
    3: "a file that cannot be read as a score, or is larger than a limit",
    4: "a place that the part does not have, or has twice",
    5: "a rhythm or a length that cannot be written",
    6: "LilyPond is missing, failed or took too long",
    7: "a file that could not be written, or that would have been lost",
    8: "a book file that does not say what it must",
    9: "a log that cannot be read or written",
    BUG: "a mistake in the program itself; --debug shows where",
    STOPPED + 2: "stopped with Ctrl-C (by another signal: 128 and its number)",
}
"""Meaning of every exit code, in a player's words."""
