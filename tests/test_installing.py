"""LilyPond is asked for only where it can be installed, and every lower bound is a real one.

The tags are those of PyPA's "Platform compatibility tags" (packaging.python.org).
"""

from __future__ import annotations

import importlib.util
import subprocess
import sys
import tomllib
from pathlib import Path
from types import SimpleNamespace

import pytest

ROOT = Path(__file__).parents[1]
_HOOK = "hatchling.metadata.plugin.interface"


@pytest.mark.parametrize(
    ("platforms", "wanted"),
    [
        (["manylinux_2_36_x86_64", "manylinux2014_x86_64", "linux_x86_64"], True),
        (["musllinux_1_2_x86_64", "musllinux_1_1_x86_64", "linux_x86_64"], False),
        (["manylinux_2_36_aarch64", "manylinux2014_aarch64", "linux_aarch64"], False),
        (["macosx_14_0_x86_64", "macosx_10_9_x86_64"], True),
        (["macosx_14_0_arm64", "macosx_11_0_universal2"], False),
        (["win_amd64"], True),
        (["win32"], False),
    ],
)
def test_lilypond_is_installed_where_a_wheel_of_it_fits(
    platforms: list[str], wanted: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The build tool is only there while a package is built; the rule needs none of it."""
    monkeypatch.setitem(sys.modules, _HOOK, SimpleNamespace(MetadataHookInterface=object))
    spec = importlib.util.spec_from_file_location("hatch_build", ROOT / "hatch_build.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert bool(module.engraver(platforms)) == wanted


def test_every_dependency_has_a_lowest_version_that_ci_installs() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    needed = project["tool"]["hatch"]["metadata"]["hooks"]["custom"]["dependencies"]
    done = subprocess.run(
        [sys.executable, str(ROOT / ".ci" / "lowest.py")],
        capture_output=True,
        text=True,
        check=True,
    )
    pinned = [line.partition("==")[0] for line in done.stdout.splitlines()]
    assert pinned == [one.partition(">=")[0] for one in needed]
