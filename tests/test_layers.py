"""The layers of the package: every module imports only from those above it.

The order is the one of DEVELOPERS.md.  Formats inside output/ never import each other.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import drills

ROOT = Path(drills.__file__).parent

LAYERS = (
    ("errors",),
    ("resources",),
    ("music",),
    ("harmony",),
    ("instruments",),
    ("reading",),
    ("places",),
    ("notation",),
    ("effort",),
    ("rewriting",),
    ("sheets",),
    ("section",),
    ("sound",),
    ("listening",),
    ("project",),
    ("output",),
    ("jobs",),
    ("stand",),
    ("cli",),
    ("__main__",),
)
"""The rooms from the top down; a name stands for the module and for all below its package."""

ROOMS = [name for (name,) in LAYERS if (ROOT / name).is_dir()]


def modules() -> list[str]:
    found = []
    for path in sorted(ROOT.rglob("*.py")):
        name = ".".join(path.relative_to(ROOT).with_suffix("").parts)
        found.append(name.removesuffix(".__init__") if name != "__init__" else "")
    return [name for name in found if name and not name.startswith("_templates")]


def layer_of(module: str) -> int:
    best = [
        (len(name), index)
        for index, names in enumerate(LAYERS)
        for name in names
        if module == name or module.startswith(f"{name}.")
    ]
    assert best, f"{module} stands in no layer; give it a place in tests/test_layers.py"
    return max(best)[1]


def imports_of(module: str) -> set[str]:
    path = ROOT.joinpath(*module.split("."))
    file = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
    found = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("drills"):
            base = (node.module or "").removeprefix("drills").lstrip(".")
            for alias in node.names:
                inner = f"{base}.{alias.name}".lstrip(".")
                is_module = (ROOT.joinpath(*inner.split("."))).is_dir() or (
                    ROOT.joinpath(*inner.split(".")).with_suffix(".py").exists()
                )
                found.add(inner if is_module else base)
        if isinstance(node, ast.Import):
            found |= {
                alias.name.removeprefix("drills.")
                for alias in node.names
                if alias.name.startswith("drills.")
            }
    return found - {""}


@pytest.mark.parametrize("module", modules())
def test_imports_go_up(module: str) -> None:
    own = layer_of(module)
    for other in imports_of(module):
        assert layer_of(other) <= own, f"{module} imports {other} from a layer below it"


@pytest.mark.parametrize("module", [m for m in modules() if m.startswith("output.")])
def test_outputs_do_not_know_each_other(module: str) -> None:
    """output/lilypond.py and output/midi.py share what stands above them only.

    alive.py and programs.py are no outputs: one guards what is there only while a run lasts,
    the other runs a short program.
    """
    for other in imports_of(module):
        if other.startswith("output.") and other not in ("output.alive", "output.programs"):
            assert other.split(".")[1] == module.split(".")[1], f"{module} imports {other}"


@pytest.mark.parametrize("room", ROOMS)
def test_every_room_says_what_comes_in_and_out(room: str) -> None:
    """The opening comment is what a newcomer reads first."""
    told = ast.get_docstring(ast.parse((ROOT / room / "__init__.py").read_text("utf-8"))) or ""
    for words in ("In:  ", "Out:  ", "Read first: "):
        assert words in told, f"drills/{room}/__init__.py does not say {words!r}"


def test_few_rooms_and_fewer_loose_files() -> None:
    """Beside __init__.py and __main__.py, which Python wants where they are."""
    files = [path.name for path in ROOT.glob("*.py") if not path.name.startswith("__")]
    assert sorted(files) == ["errors.py", "resources.py"]
    folders = {path.name for path in ROOT.iterdir() if (path / "__init__.py").is_file()}
    assert folders == set(ROOMS)
    assert len(folders) + len(files) <= 19


TABLES = {
    "instruments/table.py",
    "jobs/asked/music.py",
    "sheets/clicks/patterns.py",
    "sound/groove/table.py",
}
"""Modules that are one long table."""


def test_modules_stay_short() -> None:
    """What can be read in one sitting; tables may be longer."""
    lengths = {
        path.relative_to(ROOT).as_posix(): len(path.read_text("utf-8").splitlines())
        for path in ROOT.rglob("*.py")
    }
    assert [name for name, count in lengths.items() if count > 300 and name not in TABLES] == []
    assert sorted(lengths.values())[len(lengths) // 2] < 130


def test_no_import_cycle() -> None:
    graph = {module: imports_of(module) for module in modules()}
    done: set[str] = set()

    def visit(module: str, trail: tuple[str, ...]) -> None:
        assert module not in trail, f"import cycle: {' -> '.join((*trail, module))}"
        if module in done:
            return
        for other in graph.get(module, ()):
            visit(other, (*trail, module))
        done.add(module)

    for module in graph:
        visit(module, ())


def test_the_nouns_use_the_standard_library_only() -> None:
    for path in (ROOT / "music").glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            names += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            for name in names:
                assert name.split(".")[0] in STANDARD, f"{path.name} imports {name}"


STANDARD = {
    *("__future__", "bisect", "collections", "dataclasses", "enum", "fractions", "functools"),
    *("itertools", "re", "typing", "drills"),
}


def test_three_modules_start_programs() -> None:
    for module in modules():
        path = ROOT.joinpath(*module.split("."))
        file = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
        text = file.read_text(encoding="utf-8")
        # reading.confined.child starts no program but a Python of ours that reads files
        if module not in ("output.engrave.processes", "output.programs", "reading.confined.child"):
            assert "import subprocess" not in text, f"{module} starts programs"
        if module != "stand.work":
            # a page's task is no program but a function of ours, in a process with limits
            assert "import multiprocessing" not in text, f"{module} starts processes"
            assert "from multiprocessing" not in text, f"{module} starts processes"


READS_WITH_MUSIC21 = (
    "reading.musicxml",
    "reading.other.streams",
    "reading.other.humdrum",
    "reading.other.mei",
)
"""MusicXML, and the formats that music21 reads beside it; all in the room of readers."""


def test_only_the_readers_know_music21() -> None:
    for module in modules():
        if module not in READS_WITH_MUSIC21:
            path = ROOT.joinpath(*module.split("."))
            file = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
            assert "import music21" not in file.read_text(encoding="utf-8")
            assert "from music21" not in file.read_text(encoding="utf-8")
