"""What a short program says: run once, bounded in time, without a shell.

LilyPond, which works long and on many texts at once, has processes of its own
(engrave/processes.py); these two modules alone start programs.  The Python that reads a
stranger's files (drills/reading/confined) is one of ours.
"""

from __future__ import annotations

import subprocess
from collections.abc import Sequence


def output_of(command: Sequence[str], seconds: float) -> bytes:
    """What a program writes to its standard output; raises OSError where it fails."""
    try:
        done = subprocess.run(
            command, capture_output=True, check=True, timeout=seconds, stdin=subprocess.DEVNULL
        )
    except subprocess.SubprocessError as error:
        raise OSError(str(error)) from error
    return done.stdout
