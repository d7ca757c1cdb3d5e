"""Import music21 without the network client that it would bring along.

music21 imports ``requests`` so that it can read scores from addresses.  A reader
of files from strangers must never do that, and the client takes a fifth of the
time in which music21 is imported.  While the block lasts, an empty module
stands in for it; whoever imports the client afterwards gets the real one.
"""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator
from types import ModuleType

_CLIENT = "requests"


@contextlib.contextmanager
def without_network_client() -> Iterator[None]:
    """Let ``import requests`` find an empty module, unless it is imported already."""
    if _CLIENT in sys.modules:
        yield
        return
    sys.modules[_CLIENT] = ModuleType(_CLIENT)
    try:
        yield
    finally:
        del sys.modules[_CLIENT]
