"""A player with a score at hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.music import Player, score


@pytest.fixture(name="player")
def _player(tmp_path: Path) -> Player:
    """A player whose folder holds ``march.musicxml``."""
    player = Player(tmp_path)
    player.write("march.musicxml", score())
    return player
