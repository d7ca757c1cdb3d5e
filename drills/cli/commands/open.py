"""``drills open``: the player's folder in the browser."""

from __future__ import annotations

import webbrowser
from pathlib import Path

import click

from drills.cli.options import player_command
from drills.cli.screen import say
from drills.errors import UsageError
from drills.jobs.asked import files

EPILOG = """\b
Examples:
  drills open spring
  drills open spring --no-browser --port 8600
  drills open spring --lan

The page is served to this machine only, unless you say --lan. Mind the level in headphones,
rest often, and stop at the first sign of pain; what your teacher or a doctor says comes first."""


@player_command(
    "open",
    click.argument("folder", type=click.Path(path_type=Path), default="."),
    choices=files.CHOICES,
    groups={},
    epilog=EPILOG,
)
def command(*, folder: Path, port: int, browser: bool, lan: bool) -> None:
    """Open a folder of scores as pages in the browser.

    There the part is drawn with its hard passages. Drag over the notes that do not lie
    under your fingers; print them, hear them, play to them, record a take. All that you
    mark stands in FOLDER: scores, book.toml, the log. Ctrl-C ends it.
    """
    try:
        from drills.stand.serving import serve  # noqa: PLC0415 - an extra of the package
    except ImportError as error:
        raise UsageError(
            f"the page in the browser needs more packages ({error.name} is missing); install them "
            "with: python -m pip install 'drills[stand]'"
        ) from error

    def opened(address: str) -> None:
        say(address)
        say("open this address in a browser on this machine; Ctrl-C ends")
        if browser:
            webbrowser.open(address)

    serve(folder, port, opened, on_network=say if lan else None)
