"""The Tab key: what a shell is told when a player has typed the beginning of a line."""

from __future__ import annotations

import subprocess

import pytest

from tests.cli.music import Player

SHELLS = ("bash", "zsh", "fish")


def asked(player: Player, **environment: str) -> str:
    done = subprocess.run(
        player.command(),
        env={**player.environment, **environment},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


def completed(player: Player, line: str) -> list[str]:
    """What bash offers for the last word of a line."""
    words = line.split(" ")
    told = asked(
        player,
        _DRILLS_COMPLETE="bash_complete",
        COMP_WORDS=line,
        COMP_CWORD=str(len(words) - 1),
    )
    return [one.split(",", 1)[1] for one in told.splitlines()]


@pytest.mark.parametrize("shell", SHELLS)
def test_the_line_of_the_documentation_prints_a_script_for_the_shell(
    player: Player, shell: str
) -> None:
    script = asked(player, _DRILLS_COMPLETE=f"{shell}_source")
    assert f"{shell}_complete" in script
    assert "drills" in script


@pytest.mark.parametrize(
    ("line", "offers"),
    [
        ("drills s", ["sheet", "spots", "section", "show"]),
        ("drills sheet --rh", ["--rhythm"]),
        ("drills sheet --order ", ["music", "back", "hardest", "grow"]),
        ("drills sheet --rhythm rev", ["reversed-dotted", "reversed-swung"]),
        ("drills sheet --rhythm dotted,rev", ["dotted,reversed-dotted", "dotted,reversed-swung"]),
        ("drills click --groove jazz", ["jazz-waltz"]),
        ("drills click --with se", ["section"]),
    ],
)
def test_what_the_tab_key_offers(player: Player, line: str, offers: list[str]) -> None:
    assert completed(player, line) == offers
