"""What one can ask for: choices about the drills, and which files are written, where and how.

The command line, a book and any other face fill these; the jobs take nothing else.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields, replace
from fractions import Fraction
from pathlib import Path

from drills.effort.settings import USUAL, Judgement
from drills.harmony.tuning import FROM_ROOT, Tuned
from drills.jobs.sheet_files import Style
from drills.output.files import (
    ENDINGS,
)
from drills.output.lilypond.page import Page
from drills.reading.given import NOTHING_GIVEN, Given
from drills.reading.limits import Limits
from drills.rewriting.asked import Rewriting
from drills.sheets.choices import USUAL_MINUTES, Choices

Tell = Callable[[str], None]
"""Called with the stage that begins: "reading march.musicxml"."""


def say_nothing(_: str) -> None:
    """The Tell that keeps quiet."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What a player can choose about the drills, and how large a score may be."""

    choices: Choices = field(default_factory=Choices)
    limits: Limits = field(default_factory=Limits)
    hardest: int = 0
    """How many of the hard spots that the program finds join those of the player."""
    judgement: Judgement = USUAL
    """By what they are found."""
    rewriting: Rewriting | None = None
    """For whose instrument the music is rewritten; None for the part's own."""
    functions: bool = False
    """Every sheet tells what each note is in the chord, and drills the chords."""
    page: Page = field(default_factory=Page)
    """The paper that a plan keeps to."""
    pages: int = 0
    """Pages for a spot at most; 0 for what it allows."""
    evening: Fraction | None = None
    """Minutes for all spots of a book together; None where each has its own."""
    said: tuple[tuple[str, str], ...] = ()
    """Places of the part with the chords that it writes there, whatever the score says."""
    tuned: Tuned = FROM_ROOT
    """How chords are tuned."""
    given: Given = NOTHING_GIVEN
    """Metre and key for a file that gives none."""

    @property
    def chosen(self) -> tuple[str, ...]:
        """What is not as usual, for the mark of the files."""
        drilled = replace(self, choices=Choices(), limits=Limits())
        for_a_player = self.choices.minutes == USUAL_MINUTES
        usual = Choices(minutes=USUAL_MINUTES) if for_a_player else Choices()
        return (*unusual(self.choices, usual), *unusual(drilled, Settings()))


def unusual(one: object, usual: object) -> tuple[str, ...]:
    """The fields of a dataclass that differ from ``usual``, in words that two runs share."""
    names = [known.name for known in fields(one)]  # type: ignore[arg-type]  # a dataclass
    return tuple(
        f"{name}={getattr(one, name)!r}"
        for name in names
        if getattr(one, name) != getattr(usual, name)
    )


def chosen_style(style: Style) -> tuple[str, ...]:
    """What is not as usual about a page and a MIDI file."""
    heard = () if style.midi_tempo is None else (f"midi_tempo={style.midi_tempo!r}",)
    return (*unusual(style.page, Page()), *heard)


@dataclass(frozen=True, slots=True)
class Outputs:
    """Which files are written, where, and how."""

    path: Path | None = None
    """The file to write; named after part and place, in the current folder, unless given."""
    formats: tuple[str, ...] = ("pdf",)
    """Keys of files.ENDINGS; ``path`` is the first one, the others share its name."""
    force: bool = False
    """Replace files that are there already."""
    style: Style = field(default_factory=Style)

    @property
    def chosen(self) -> tuple[str, ...]:
        """What is not as usual about the page and the MIDI file, for their mark."""
        return chosen_style(self.style)

    def place(self, name: str, kind: str, page: str = "") -> Path:
        """Where a file of one format goes; ``name`` is the one that the sheets suggest."""
        if self.path is None:
            return Path(f"{name}{page}{ENDINGS[kind]}")
        ending = self.path.suffix if kind == self.formats[0] else ENDINGS[kind]
        return self.path.with_name(f"{self.path.stem}{page}{ending}")


@dataclass(frozen=True, slots=True)
class Written:
    """What a call has written."""

    paths: tuple[Path, ...] = ()
    pages: int = 0
    """Printed pages; 0 where nothing was printed."""
    remarks: tuple[str, ...] = ()
    """What the player should know."""
