"""The numbers of the model that follows a take, each with its meaning.

Costs are in nats (a cost of 2.3 more means ten times less likely) and were chosen on takes
of recorded tones with seeds of their own; docs/listening.md says how well they do on others.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Following:
    """What each way of going on costs."""

    sharpness: float = 3.2
    """Nats for a cost of 1 in one frame."""
    shortest: float = 0.036
    """Seconds that a note lasts at least."""
    shortest_share: float = 0.28
    """The same as a share of the written length at the expected tempo ..."""
    shortest_worst: float = 0.12
    """... but never more than this."""
    wrong: float = 7.0
    """A note of another pitch in the place of a written one."""
    wrong_frame: float = 0.06
    """On top of the cost of the other pitch, in each frame."""
    octave_frame: float = 0.12
    """The same where the other pitch is an octave or a twelfth away: that is how pitch is
    misread."""
    added: float = 8.0
    again: float = 4.0
    """The same note struck again.  The signs of its own attack stand at the beginning of
    every note: less than what a clear one gains would strike each note twice."""
    again_after_gap: float = 9.0
    """On top after a long silence: who goes on with the note of before begins anew there, which is
    going back, not striking twice."""
    missed: float = 7.0
    """Each note that is left out."""
    unfinished: float = 3.0
    """Ending elsewhere than after the last note, however many are left."""
    back: float = 16.0
    """Going back (or far on) in the middle of the music."""
    back_after_gap: float = 6.5
    """The same after silence or a long note."""
    back_off_beat: float = 1.2
    """On top, where the player does not begin on a beat or at the start."""
    far_on: int = 7
    """Notes; who goes on further than this has not left them out but gone on elsewhere."""
    round: float = 2.0
    """Beginning anew right after the last note."""
    gap: float = 0.25
    """Seconds of silence that make a gap."""
    repeat: float = 5.0
    """A repeated pitch without any sign of an attack."""
    attack_gain: float = 2.0
    """What a clear sign gains."""
    rest: float = 2.0
    """Falling silent between notes."""
    noise: float = 0.55
    """Cost of anything else that sounds, in each frame."""
    quiet: float = 0.12
    """Cost of a frame of silence called silence."""
    place_spread: float = 0.035
    """Spread of an attack about its expected place, seconds at most ..."""
    place_share: float = 0.10
    """... and so much more as a share of the time since the note before."""
    place_even: float = 0.012
    """Both are less for who plays evenly, but not less than this."""
    place_worst: float = 7.0
    """The most that a place costs."""
    far_frame: float = 0.02
    """For each semitone beyond a fifth that another pitch is away from what is written."""


USUAL = Following()
