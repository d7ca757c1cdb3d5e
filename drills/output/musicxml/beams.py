"""The beams under the outermost one.

Problem: a note says where it stands under its primary beam; MusicXML wants a
word for every beam that touches its stem.  Method, for each level above the
first: notes with that many flags that stand side by side in one beat share a
beam; one that stands alone gets a hook, which points into its own beat, and in
the middle of one to the side that completes a note of twice its value.  Beams
of the second level and above do not cross a beat, so that the beat stays
visible (common practice of engraving).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from drills.music.notes import Beam, Event, Grace, Note
from drills.music.time import NOTE_KINDS, START, Length, TimeSignature

Levels = tuple[str, ...]
"""MusicXML ``beam-value`` of every level, the outermost beam first."""


@dataclass(frozen=True, slots=True)
class _Member:
    """A note or rest under a primary beam."""

    sounds: bool
    flags: int
    beat: int
    """Number of the beat in the bar, from 0."""
    odd: bool
    """True where it is the second half of a note of twice its value."""


def beam_levels(events: Sequence[Event], time: TimeSignature, offset: Length) -> dict[int, Levels]:
    """Index of a note in ``events`` -> its levels; notes without a beam are left out.

    ``events`` are those of one voice in one bar; ``offset`` is what the bar
    lacks at its start.
    """
    found: dict[int, Levels] = {}
    for group in _groups(events):
        members = [_member(events[index], time, offset) for index in group]
        for place, index in enumerate(group):
            if members[place].sounds:
                found[index] = _levels(members, place)
    return found


def grace_levels(graces: Sequence[Grace]) -> list[Levels]:
    """Levels of the grace notes at one note: they share a beam if all have flags."""
    members = [_Member(True, grace.value.flags, 0, False) for grace in graces]
    if len(members) < 2 or not all(member.flags for member in members):
        return [()] * len(members)
    return [_levels(members, place) for place in range(len(members))]


def _groups(events: Sequence[Event]) -> Iterator[list[int]]:
    """Indices from the note that begins a primary beam to the one that ends it."""
    group: list[int] = []
    for index, event in enumerate(events):
        beam = event.beam if isinstance(event, Note) else None
        if beam is Beam.START:
            group = [index]
        elif group:
            group.append(index)
        if beam is Beam.STOP and group:
            yield group
            group = []


def _member(event: Event, time: TimeSignature, offset: Length) -> _Member:
    beat, into = divmod((event.start - START + offset).quarters, time.beat.quarters)
    if event.value is None:
        return _Member(False, 0, int(beat), False)
    plain = NOTE_KINDS[event.value.kind].quarters
    for bracket in event.tuplets:
        plain *= bracket.ratio.factor
    return _Member(isinstance(event, Note), event.value.flags, int(beat), into // plain % 2 == 1)


def _levels(members: Sequence[_Member], place: int) -> Levels:
    flags = members[place].flags
    return tuple(_word(members, place, level) for level in range(1, flags + 1))


def _word(members: Sequence[_Member], place: int, level: int) -> str:
    before = _meets(members, place, -1, level)
    after = _meets(members, place, 1, level)
    if before and after:
        return "continue"
    if before:
        return "end"
    return "begin" if after else _hook(members, place)


def _meets(members: Sequence[_Member], place: int, step: int, level: int) -> bool:
    """True where the beam of that level leads on to another note on that side."""
    own, at = members[place], place + step
    while 0 <= at < len(members):
        other = members[at]
        if level > 1 and (other.beat != own.beat or other.flags < level):
            return False
        if other.sounds:
            return True
        at += step
    return False


def _hook(members: Sequence[_Member], place: int) -> str:
    """A hook stays under the primary beam, in its beat where it can."""
    own = members[place]
    first = place == 0
    last = place == len(members) - 1
    if not (first or last):
        first = members[place - 1].beat != own.beat
        last = members[place + 1].beat != own.beat
    forward = first if first != last else not own.odd
    return "forward hook" if forward else "backward hook"
