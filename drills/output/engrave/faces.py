"""The text faces of a page, which travel with the program.

Source Serif Pro and Source Sans Pro, both under the SIL Open Font License 1.1, which lets
them be embedded and passed on; from the packages font-source-serif-pro and
font-source-sans-pro.  Where a package is missing, LilyPond takes a face of its own.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Final

_FACES: Final = (
    ("font_source_serif_pro", "SourceSerifPro", ("Regular", "It", "Bold", "BoldIt")),
    ("font_source_sans_pro", "SourceSansPro", ("Regular", "It", "Bold", "BoldIt")),
)
"""Package, beginning of the files' names, and the cuts that a page uses."""


@cache
def faces() -> tuple[Path, ...]:
    """The files of the faces, as far as they are installed."""
    found = []
    for package, name, cuts in _FACES:
        spec = find_spec(package)
        for folder in (spec.submodule_search_locations or ()) if spec is not None else ():
            found += [Path(folder, "files", f"{name}-{cut}.otf") for cut in cuts]
    return tuple(path for path in found if path.is_file())


@cache
def with_faces() -> str:
    """What tells LilyPond of the faces, before a text and on its first line, so that no
    path stands in the text itself and its lines keep their numbers."""
    return "".join(f"#(ly:font-config-add-font {_quoted(path.as_posix())}) " for path in faces())


def _quoted(text: str) -> str:
    """A Scheme string."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
