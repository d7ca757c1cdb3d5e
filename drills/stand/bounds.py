"""What both the server and its processes must know; the server imports nothing that is slow."""

from __future__ import annotations

from typing import Final

TAKES: Final = "takes"
"""The folder of recordings in the player's folder."""
MOST_TAKES: Final = 1000
LONGEST_TAKE: Final = 20 * 60
"""Seconds."""
MOST_ROUNDS: Final = 32
"""Times through that a loop tells at once."""
