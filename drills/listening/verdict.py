"""What a verdict on a take is made of: every note, what was added, the time, the whole.

Conventions.  Late is positive, milliseconds.  Certainty is "sure", "likely" or "unclear";
what is unclear is not judged, and its call is "unclear".  Notes are numbered as on the sheet:
grace notes belong to their main note and are not counted.
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import median
from typing import Final

UNCERTAIN: Final = 11.0
"""Milliseconds that an attack is known to, where no time was told."""
FEWEST: Final = 6
"""Right notes that show which rhythm was played."""
OTHER_RHYTHM: Final = 0.1
"""Share of the beat that attacks are off, as a median, where it was another one."""


@dataclass(frozen=True, slots=True)
class NoteVerdict:
    """One written note."""

    number: int
    """From 1."""
    key: int
    """Sounding MIDI number as written."""
    call: str
    """"right", "wrong", "missed" or "unclear"."""
    certainty: str
    heard: int | None
    """MIDI number of what was heard; None where nothing was."""
    seconds: float | None
    """When it was heard, from the start of the recording."""
    late: float | None
    """Milliseconds after the player's own beat."""
    uncertain: float | None
    """Milliseconds that its attack is known to, nineteen times in twenty."""
    late_share: float | None
    """The same as a share of the beat."""
    against_click: float | None
    """Milliseconds after the click's beat, where one is known."""
    timed: str
    """"late" or "early" where it is to be called so; empty where it is not."""
    gap: float | None
    """Milliseconds of silence up to the next note, where none is written between them."""
    length_share: float | None
    """How long it sounded, as a share of the written length at its tempo."""
    cents: float | None
    """Against equal temperament at the player's own A."""
    pure_cents: float | None
    """Against the pure tuning of the chord, where that is known."""
    tuned: str
    """"high" or "low" where it is to be called so: against its chord where that is known."""
    unsteady: float | None
    """Half the range of the tone's middle, cents."""
    wavers: bool
    """It is to be called unsteady."""
    tempo: float | None
    """Quarters a minute there, by the player's own beat."""
    tries: int
    fit: float
    """How badly the pitch fits, 0 to about 1; 1 where nothing was heard."""


@dataclass(frozen=True, slots=True)
class Extra:
    """A note that is not written."""

    after: int
    """Number of the written note before it; 0 before the first."""
    key: int
    seconds: float
    call: str
    """"added" or "twice"."""


@dataclass(frozen=True, slots=True)
class Restart:
    """A place where the player went back."""

    stopped: int
    """Number of the last note before."""
    back_to: int
    seconds: float


@dataclass(frozen=True, slots=True)
class Group:
    """Equal values in a row, all of them heard."""

    first: int
    last: int
    """Numbers of its notes."""
    spread: float
    """Of its attacks about their own even line, ms."""


@dataclass(frozen=True, slots=True)
class AgainstClick:
    """The attacks against the beats of a click."""

    tempo: float
    """Quarters a minute."""
    mean: float | None
    """Of all attacks, ms after the click; None where only the best place of the click is known."""
    spread: float
    first: float
    last: float
    """Mean of the first and of the last quarter of the notes, ms from the mean of all."""
    heard: bool
    """It was found in the recording itself."""


@dataclass(frozen=True, slots=True)
class Timing:
    """What the time was like."""

    tempo: float
    """Quarters a minute, over the longest run."""
    tempo_uncertain: float
    """Quarters a minute that it is known to, nineteen times in twenty (1.96 standard errors of
    the line through the attacks)."""
    first: float
    last: float
    """At its beginning and its end."""
    evenness: float
    """Spread of the attacks within groups of equal values, ms; where there are none, about the
    player's own beat."""
    groups: tuple[Group, ...]
    downbeats: float | None
    offbeats: float | None
    """Mean lateness of what stands on a beat and halfway to the next, ms."""
    before_rests: float | None
    after_rests: float | None
    """Mean lateness of the last note before a rest and of the first one after it, ms."""
    swing: float | None
    """How many times as long an eighth on the beat is as the one off it; None where no ratio is
    known well enough."""
    swing_uncertain: float | None
    """What that is known to, nineteen times in twenty."""
    click: AgainstClick | None
    uncertain: float
    """Milliseconds that a single attack is known to, as a median."""


@dataclass(frozen=True, slots=True)
class Lengths:
    """How long notes sounded: a description, no fault."""

    slurred: float | None
    """Silence within slurs, ms, as a median."""
    widest: tuple[int, float] | None
    """Number of the note with the longest silence after it under a slur, and that, ms."""
    short: float | None
    """Share of the written length that notes with a dot or wedge sounded, as a median."""
    tongued: float | None
    """The same of the other notes that no slur goes on from."""


@dataclass(frozen=True, slots=True)
class PlayedBars:
    """Bars that were played, where they are not all of the spot in its order."""

    order: tuple[str, ...]
    """Their printed numbers, as they were heard."""
    ascending: bool
    """They were heard in the order of the page."""

    @property
    def words(self) -> str:
        """ "you played bars 33 and 35"."""
        if len(self.order) == 1:
            return f"you played bar {self.order[0]}"
        listed = f"{', '.join(self.order[:-1])} and {self.order[-1]}"
        return f"you played bars {listed}{'' if self.ascending else ', in this order'}"


@dataclass(frozen=True, slots=True)
class Verdict:
    """A take judged."""

    notes: tuple[NoteVerdict, ...]
    extras: tuple[Extra, ...]
    restarts: tuple[Restart, ...]
    timing: Timing | None
    lengths: Lengths
    tuning: float
    """The player's own A, cents above 440 Hz."""
    pitch_drift: float | None
    """Cents that the pitch has moved from the first third to the last."""
    share_right: float
    """Of the notes that were judged; 0 where none was."""
    clean: tuple[int, int]
    """First and last number of the longest stretch without a fault; (0, 0) for none."""
    refused: str
    """Why the take is not judged; empty where it is."""
    bars: PlayedBars | None
    """Which bars were played, where not all of them were in their order."""
    doubt: str
    """"echo" where the room echoes so long, "others" where so much else sounds, that neither
    faults nor lateness nor pitch are called; empty elsewhere."""
    certainty: float
    """0 to 1: how sure it is that this is the spot (or, refused, that it is not)."""

    @property
    def uncertain(self) -> float:
        """Milliseconds that a single attack is known to."""
        return UNCERTAIN if self.timing is None else self.timing.uncertain

    @property
    def off(self) -> float:
        """How far right notes are off the player's own beat, a share of it, as a median."""
        shares = [abs(n.late_share) for n in self.notes if n.call == "right" and n.late_share]
        return median(shares) if shares else 0.0

    @property
    def other_rhythm(self) -> bool:
        """Most right notes are so far off that another rhythm was played than is written."""
        right = [note for note in self.notes if note.call == "right"]
        timed = sum(bool(note.timed) for note in right)
        return len(right) >= FEWEST and 2 * timed > len(right) and self.off > OTHER_RHYTHM

    @property
    def clean_notes(self) -> int:
        """How many notes the longest clean stretch has."""
        return self.clean[1] - self.clean[0] + 1 if self.clean[0] else 0

    @property
    def faultless(self) -> bool:
        """All of it was played, nothing wrong, missed, added, gone back for, late or early."""
        faults = [n for n in self.notes if n.call in ("wrong", "missed") or n.timed]
        return not (self.refused or self.bars or faults or self.extras or self.restarts)
