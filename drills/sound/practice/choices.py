"""What the player chooses about practice sound."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from drills.errors import UsageError
from drills.music.time import Length
from drills.sheets.clicks.laying import Accent
from drills.sheets.clicks.pattern import Pattern
from drills.sheets.clicks.patterns import Counted, Drums, NoClick
from drills.sheets.drill import DrillKind
from drills.sheets.ladder import shown
from drills.sound.groove import STEADY, Swing, Variation, find_groove
from drills.sound.practice.climb import Climb
from drills.sound.practice.voices import CLICKS_OVER_SECTION, SOUNDS, USUAL_CLICKS


class Material(StrEnum):
    """What is played, in the order in which it is asked for."""

    SPOT = "spot"
    """The spot as it stands in the part."""
    CELLS = "cells"
    LINES = "lines"
    CHORDS = "chords"


KINDS: Final = {
    Material.CELLS: DrillKind.CELL,
    Material.LINES: DrillKind.LINE,
    Material.CHORDS: DrillKind.CHORD,
}
"""The drills of a sheet that each stands for."""

WHOLE_SHEET: Final = (Material.CELLS, Material.LINES, Material.CHORDS)

CHOSEN_VOICES: Final = ("click", "line", "octave", "section", "bass", "chord")
"""Voices that are switched on by name; the drums come with a groove, the bell with a climb."""


class Tuning(StrEnum):
    """How the notes of a drone are tuned against each other."""

    EQUAL = "equal"
    """Equal temperament, as a tuner shows it."""
    PURE = "pure"
    """Beatless against the bass of each chord."""


LOWEST_A, HIGHEST_A = Fraction(415), Fraction(466)
"""Hertz of A4 from baroque pitch to choir pitch (common practice)."""


@dataclass(frozen=True, slots=True)
class PracticeChoices:
    """Every field has a sensible default; raises UsageError for what makes no sense."""

    material: tuple[Material, ...] = (Material.SPOT,)
    patterns: tuple[Pattern, ...] = ()
    """One for all rungs, or one for each rung from the slowest on; the last one stays, and more
    than there are rungs follow each other at the last.  Without any, what the ladder counts is
    clicked."""
    accent: Accent = Accent.DOWNBEAT
    click_sound: str | None = None
    """A key of SOUNDS; that of USUAL_CLICKS or of CLICKS_OVER_SECTION unless given."""
    accent_sound: str | None = None
    signal_sound: str = "bell"
    climb: Climb = Climb()  # noqa: RUF009 - frozen
    voices: tuple[str, ...] = ("click",)
    """Of CHOSEN_VOICES."""
    octave: int = -1
    """Octaves that the voice "octave" lies above the line, -3 to 3 and not 0."""
    tuning: Tuning = Tuning.EQUAL
    """Of the voices "bass" and "chord"."""
    a4: Fraction = Fraction(440)
    """Hertz."""
    groove: str = ""
    """A key of GROOVES; empty for no drums."""
    swing: Swing = STEADY
    """Of the drums, and of the line if asked."""
    swing_line: bool = False
    variation: Variation | None = None
    """Of the drums: a little unevenness; the click never has any."""

    def __post_init__(self) -> None:
        if not self.material:
            raise UsageError(f"nothing is to be played; choose of {', '.join(Material)}")
        for voice in self.voices:
            if voice not in CHOSEN_VOICES:
                raise UsageError(
                    f"there is no voice {voice!r}; choose of {', '.join(CHOSEN_VOICES)}"
                )
        for sound in (self.click_sound, self.accent_sound, self.signal_sound):
            if sound is not None and sound not in SOUNDS:
                raise UsageError(f"there is no sound {sound!r}; choose of {', '.join(SOUNDS)}")
        if not 1 <= abs(self.octave) <= 3:
            raise UsageError(f"{self.octave} octaves away: choose -3 to 3 and not 0")
        if not LOWEST_A <= self.a4 <= HIGHEST_A:
            raise UsageError(
                f"an A of {shown(self.a4)} Hz is out of bounds; choose {LOWEST_A} to {HIGHEST_A}"
            )
        if self.groove:
            find_groove(self.groove)
        elif any(isinstance(one, Drums) for one in self.patterns):
            raise UsageError("the click drums needs a groove; name one with --groove")

    def strikes(self, *, accent: bool) -> str:
        """What clicks: a key of SOUNDS."""
        plain, accented = CLICKS_OVER_SECTION if "section" in self.voices else USUAL_CLICKS
        return (self.accent_sound or accented) if accent else (self.click_sound or plain)

    def drums_in(self, pattern: Pattern) -> bool:
        """Whether the groove sounds under a pattern: where "drums" is asked for, only there."""
        chosen = any(isinstance(one, Drums) for one in self.patterns)
        return isinstance(pattern, Drums) or not chosen

    @property
    def only_counts(self) -> bool:
        """True where nothing but the count-in would sound: no clicks, no drums, no music."""
        silent = self.patterns and all(isinstance(one, NoClick) for one in self.patterns)
        return bool(silent) and not self.groove and set(self.voices) <= {"click"}

    def clicks(self, rung: int, rungs: int, counted: Length) -> tuple[Pattern, ...]:
        """The clicks at a rung, from 0, of so many, on a ladder that counts notes of a length.

        One for each rung, the last one stays; those that are left over sound one after the
        other at the last rung, so that all sound.
        """
        if not self.patterns:
            return (Counted(counted),)
        if rung == rungs - 1:
            return self.patterns[rung:] or self.patterns[-1:]
        return (self.patterns[min(rung, len(self.patterns) - 1)],)
