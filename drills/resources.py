"""Where the project's own data folders are, installed or in a source tree.

A wheel carries ``templates/`` and ``scores/`` inside the package (as
``_templates`` and ``_scores``); an editable install leaves them beside it.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from drills.errors import DrillsError

_PACKAGE = Path(__file__).resolve().parent


def _folder(name: str) -> Path:
    """The packaged folder if there is one, otherwise the one beside the package."""
    for folder in (_PACKAGE / f"_{name}", _PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise DrillsError(
        f"the folder {name!r} is missing from this installation; install drills again"
    )


@cache
def templates_folder() -> Path:
    """The folder of the jinja2 templates; raises DrillsError where it is missing."""
    return _folder("templates")


@cache
def scores_folder() -> Path:
    """The folder of the project's own demo music; raises DrillsError where it is missing."""
    return _folder("scores")
