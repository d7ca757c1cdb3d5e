"""The layers of the package: every module imports only from those above it.

The order is the one of DEVELOPERS.md.  Siblings inside output/, listen/, cli/
and web/ never import each other, apart from a package's own parts (the modules
whose names share a group here).
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import drills

ROOT = Path(drills.__file__).parent

LAYERS = (
    ("errors",),
    ("music.pitch", "music.time"),
    ("music",),
    ("resources",),
    ("harmony.chord", "harmony.kinds"),
    ("reading",),
    ("bar_names", "place_words"),
    ("places", "lines"),
    ("aligning", "for_instrument"),
    ("clicks",),
    ("spots", "ladder"),
    ("tempos",),
    ("harmony",),
    ("effort",),
    ("cells",),
    ("metre",),
    ("rhythms", "beams"),
    ("tuplets",),
    ("notation",),
    ("drill", "excerpt"),
    ("chord_notes",),
    ("sheet",),
    ("section",),
    ("assumed", "sheet_chords"),
    ("timeline",),
    ("groove",),
    ("practice",),
    ("book",),
    ("output",),
    ("render", "folder", "new_book", "ranking", "wanted", "section_files"),
    ("render_practice",),
    ("build",),
    ("section_parts",),
    ("build_practice", "build_section"),
    ("cli", "web"),
    ("__main__",),
)
"""From the top down; a name stands for the module and for all below its package."""


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
    """output/lilypond.py and output/midi.py share what stands above them only."""
    family = FAMILIES.get(module.split(".")[1], module.split(".")[1])
    for other in imports_of(module):
        if other.startswith("output."):
            name = other.split(".")[1]
            assert FAMILIES.get(name, name) == family, f"{module} imports {other}"


FAMILIES = {"ly_text": "lilypond", "ly_music": "lilypond", "ly_page": "lilypond"}
"""Modules that together are one output."""


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
    *("__future__", "collections", "dataclasses", "enum", "fractions", "functools"),
    *("itertools", "re", "typing", "drills"),
}


def test_only_one_module_starts_programs() -> None:
    for module in modules():
        path = ROOT.joinpath(*module.split("."))
        file = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
        text = file.read_text(encoding="utf-8")
        if module != "output.engrave.processes":
            assert "import subprocess" not in text, f"{module} starts programs"


def test_only_the_reader_knows_music21() -> None:
    for module in modules():
        if module != "reading.musicxml":
            path = ROOT.joinpath(*module.split("."))
            file = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
            assert "import music21" not in file.read_text(encoding="utf-8")
            assert "from music21" not in file.read_text(encoding="utf-8")
