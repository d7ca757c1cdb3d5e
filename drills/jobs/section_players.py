"""Who of a score is the section, and their parts, rewritten where that is asked for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from drills.errors import UsageError
from drills.jobs.gathering import Gathered
from drills.jobs.request import Settings
from drills.music.notes import Note
from drills.music.pitch import CONCERT, Pitch, Transposition
from drills.music.score import Part
from drills.places.aligning import align, find_everywhere
from drills.reading.partlist import choose
from drills.rewriting.asked import How, Rewriting
from drills.rewriting.players import Shared, players_of
from drills.rewriting.rewrite import rewritten


@dataclass(frozen=True, slots=True)
class SectionParts:
    """The score, and who of it is the section."""

    parts: tuple[Part, ...]
    """All of them."""
    chosen: tuple[int, ...]
    """Indices of the section's."""
    remarks: tuple[str, ...]
    heard: tuple[Part, ...] = ()
    """The parts as the score has them, where ``parts`` are rewritten."""
    by: Transposition = CONCERT
    """How far from the score the rewritten parts sound."""


def section_parts(
    score: Gathered,
    places: Sequence[str],
    names: Sequence[str],
    settings: Settings,
    counts: Sequence[tuple[str, int]] = (),
) -> SectionParts:
    """All parts of the score; those that are named (or have pitches) are the section.

    A staff for several players is a part for each of them; ``counts`` says how many a
    staff has, by its name, where it does not say so itself.
    They are rewritten where ``settings`` say so, in the range at ``places``.  Raises
    ReadError, UsageError, PlaceError.
    """
    wanted, left_out = _chosen(score, score.parts, names, dict(counts))
    parts, chosen, shared = _split(score.parts, wanted, dict(counts))
    remarks = (*left_out, *shared)
    if settings.rewriting is None:
        return SectionParts(parts, chosen, remarks)
    by = _moved_by([parts[index] for index in chosen], settings.rewriting)
    new = _rewritten(parts, chosen, places, settings.rewriting)
    return SectionParts(new, chosen, remarks, parts, by)


Wanted = Mapping[int, frozenset[str]]
"""Which staves, by index, are the section's; with names of players, only those of the staff."""


def _split(
    staves: Sequence[Part], chosen: Wanted, counts: Mapping[str, int]
) -> tuple[tuple[Part, ...], tuple[int, ...], tuple[str, ...]]:
    """The staves with the section's made into players; which they are, and what is told."""
    unknown = set(counts) - {staves[index].name for index in chosen}
    if unknown:
        known = ", ".join(staves[index].name for index in chosen)
        raise UsageError(f"--players: no staff is called {sorted(unknown)[0]!r}; there are {known}")
    parts: list[Part] = []
    players: list[int] = []
    told: list[str] = []
    for index, staff in enumerate(staves):
        shared = players_of(staff, counts) if index in chosen else Shared((staff,))
        for player in shared.players:
            if index in chosen and (not chosen[index] or player.name in chosen[index]):
                players.append(len(parts))
            parts.append(player)
        told += shared.remarks
    return tuple(parts), tuple(players), tuple(told)


def _moved_by(parts: Sequence[Part], rewriting: Rewriting) -> Transposition:
    """How far from the score some parts sound on the new instrument."""
    if rewriting.how is How.SOUNDING:
        return CONCERT
    new = rewriting.instrument.transposition
    old = {part.instrument.transposition for part in parts}
    if len(old) > 1:
        raise UsageError(
            "with the same written notes these players would not sound together; use "
            "--for-pitch sounding, or drills sheet for one player"
        )
    return new - old.pop()


def _chosen(
    score: Gathered, parts: Sequence[Part], names: Sequence[str], counts: Mapping[str, int]
) -> tuple[Wanted, tuple[str, ...]]:
    """Whose staves the section's are, in the order of the score, and who is left out."""
    if names:
        found: defaultdict[int, set[str]] = defaultdict(set)
        whole = set()
        for name in names:
            sharing = _sharing(parts, name, counts)
            if sharing is None:
                whole.add(choose(score.entries, name, score.where, "--parts").number - 1)
            else:
                found[sharing[0]].add(sharing[1])
        chosen = {index: frozenset[str]() for index in whole}
        return {index: frozenset(own) for index, own in found.items()} | chosen, ()
    pitched = tuple(index for index, part in enumerate(parts) if _has_pitches(part))
    if not pitched:
        raise UsageError(
            f"{score.where}: no part has pitches, so there are no chords to work on; name the "
            "parts with --parts, or use drills sheet"
        )
    others = [part.name for index, part in enumerate(parts) if index not in pitched]
    told = f"left out, for want of pitches: {', '.join(others)}; --parts takes them in"
    return dict.fromkeys(pitched, frozenset[str]()), (told,) if others else ()


def _sharing(parts: Sequence[Part], name: str, counts: Mapping[str, int]) -> tuple[int, str] | None:
    """The staff of a player who shares it, and the player's whole name; None for a staff's name."""
    told = name.strip().casefold()
    if any(part.name.casefold() == told for part in parts):
        return None
    for index, part in enumerate(parts):
        sharing = players_of(part, counts).players
        for player in sharing if len(sharing) > 1 else ():
            if player.name.casefold() == told:
                return index, player.name
    return None


def _has_pitches(part: Part) -> bool:
    return any(
        isinstance(tone, Pitch)
        for bar in part.bars
        for voice in bar.voices
        for event in voice.events
        if isinstance(event, Note)
        for tone in event.tones
    )


def _rewritten(
    parts: tuple[Part, ...], chosen: Sequence[int], places: Sequence[str], rewriting: Rewriting
) -> tuple[Part, ...]:
    """The parts, those of the section for another instrument, in the range at its places."""
    aligned = align(parts)
    spans = [find_everywhere(aligned, place, chosen) for place in places]
    new = list(parts)
    for at, index in enumerate(chosen):
        own = [found[at] for found in spans]
        new[index] = rewritten(parts[index], rewriting, [span for span in own if span is not None])
    return tuple(new)
