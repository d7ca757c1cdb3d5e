"""Which sound file belongs to which heading of a sheet, as it is printed.

The whole name stands once, under the head; at the right end of a heading's line stands
what is different there, so that the longest part's name leaves room for the heading.
"""

from __future__ import annotations

from collections.abc import Sequence
from os.path import commonprefix

LEFT_OUT = "…"


def sound_lines(names: Sequence[str]) -> tuple[str, ...]:
    """The line under the head: the file of the spot, or how those of the headings begin."""
    if not any(names):
        return ()
    return (f"Sound: {names[0] or f'{_beginning(names)}{LEFT_OUT}'}",)


def asides(names: Sequence[str]) -> tuple[str, ...]:
    """For each heading what its file's name ends with; empty for one that has no file."""
    same = len(_beginning(names))
    return tuple(f"{LEFT_OUT}{name[same:]}" if name else "" for name in names)


def _beginning(names: Sequence[str]) -> str:
    """What all names begin with, up to a hyphen."""
    same = commonprefix([name for name in names if name])  # noqa: RUF071 - letters are meant
    return same[: same.rfind("-") + 1]
