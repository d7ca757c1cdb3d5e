"""Which packages are needed on the machine that installs the program.

Problem: LilyPond's wheel, which engraves the pages, exists for some systems only, and a
requirement that no wheel fulfils makes the whole installation fail.  A marker of
pyproject.toml cannot tell Linux with glibc, for which there is one, from Linux with musl.
Method: the installer's own list of what it can install (PyPA, "Platform compatibility
tags") is looked at when the package is built; where no wheel of LilyPond fits, it is left
out, and the program says how to get one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from hatchling.metadata.plugin.interface import MetadataHookInterface
from packaging.tags import platform_tags

_LILYPOND = "lilypond==2.24.3"
_WHEELS = re.compile(r"manylinux2014_x86_64|macosx_\d+_\d+_x86_64|win_amd64")
"""Platforms of its wheels."""


class EngraverWhereItExists(MetadataHookInterface):
    """Adds LilyPond to what is always needed, where a wheel of it can be installed."""

    def update(self, metadata: dict[str, Any]) -> None:
        """Set the dependencies; the others stand in pyproject.toml."""
        metadata["dependencies"] = [*self.config["dependencies"], *engraver(platform_tags())]


def engraver(platforms: Iterable[str]) -> list[str]:
    """The requirement on LilyPond for a machine with these platform tags, or none."""
    return [_LILYPOND] if any(_WHEELS.fullmatch(tag) for tag in platforms) else []
