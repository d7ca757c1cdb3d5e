"""``drills open``: the player's folder in the browser."""

from __future__ import annotations

import webbrowser
from pathlib import Path

import click

from drills.cli.screen import say
from drills.errors import UsageError


@click.command(
    "open",
    epilog="""\b
Example:
  drills open spring

The page is served to this machine only. Mind the level in headphones, rest often, and stop
at the first sign of pain.""",
)
@click.argument("folder", type=click.Path(path_type=Path), default=".")
@click.option(
    "--port", type=click.IntRange(0, 65535), default=0, help="Port; a free one unless given."
)
@click.option("--browser/--no-browser", default=True, help="Open the browser.")
def command(folder: Path, port: int, browser: bool) -> None:
    """Open a folder of scores as pages in the browser: point, mark, print, hear, record."""
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

    serve(folder, port, opened)
