"""Turn the hard bars of a wind part into typeset pages of slow drills.

    import drills
    part = drills.read("march.musicxml", part="Clarinet 1")
    drills.write(drills.sheet(part, at="33"), "33.pdf")

The names below come from jobs/library.py when they are first used, so that
``drills --help`` starts as fast as before.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from drills.jobs.library import Passage, practice, read, sheet, spots, write

__all__ = ["Passage", "practice", "read", "sheet", "spots", "write"]


def __getattr__(name: str) -> object:
    """A public name, imported at its first use (PEP 562)."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from drills.jobs import library  # noqa: PLC0415 - slow to import, and not always wanted

    return getattr(library, name)


def __dir__() -> list[str]:
    return __all__
