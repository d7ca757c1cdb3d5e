"""What the progress line shows of a stage that is longer than the terminal."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
import termios

import pytest

from drills.cli.screen import Progress, Session, Stopped
from tests.cli.music import Player

LONG = "reading /home/player/strangers_scores/march.musicxml"

_PROGRESS = """
import sys
from drills.cli.screen import Progress, Session
with Progress(Session(), patience=0) as tell:
    tell(sys.argv[1])
    tell._timer.join()
    tell(sys.argv[1])
"""


def seen_in(columns: int, stage: str, player: Player) -> set[str]:
    """Every line that a terminal of some columns is given."""
    ours, theirs = pty.openpty()
    termios.tcsetwinsize(theirs, (24, columns))
    command = [sys.executable, "-c", _PROGRESS, stage]
    subprocess.run(command, stderr=theirs, env=player.environment, check=True)
    os.close(theirs)
    seen = os.read(ours, 4096).decode()
    os.close(ours)
    return {line.strip() for line in seen.split("\r")} - {""}


@pytest.mark.parametrize(
    ("columns", "shown"),
    [
        (80, f"{LONG} ..."),
        (len(LONG) + 5, f"{LONG} ..."),
        (50, "reading …/strangers_scores/march.musicxml ..."),
        (40, "reading …/march.musicxml ..."),
        (20, "reading …/march.mu…"),
    ],
)
def test_a_long_path_loses_its_first_folders(player: Player, columns: int, shown: str) -> None:
    assert len(shown) < columns
    assert seen_in(columns, LONG, player) == {shown}


def test_a_long_name_loses_its_end(player: Player) -> None:
    stage = "writing out the drills of Clarinet 2"
    assert seen_in(24, stage, player) == {"writing out the drills…"}


def test_a_signal_that_got_lost_is_noticed_at_the_next_stage() -> None:
    """An exception raised inside an import may be swallowed; the note of it is not."""
    session = Session()
    with Progress(session) as tell:
        tell("reading march.musicxml")
        session.stopped_by = 15
        with pytest.raises(Stopped) as stopped:
            tell("engraving the sheet")
    assert stopped.value.number == 15
