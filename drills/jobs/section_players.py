"""Who of a score is the section, and their parts, rewritten where that is asked for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from drills.errors import UsageError
from drills.jobs.gathering import Gathered
from drills.jobs.request import Settings
from drills.music.pitch import CONCERT, Pitch, Transposition
from drills.music.score import Note, Part
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
    on_staves, left_out = _chosen(score, score.parts, names)
    parts, chosen, shared = _split(score.parts, on_staves, dict(counts))
    remarks = (*left_out, *shared)
    if settings.rewriting is None:
        return SectionParts(parts, chosen, remarks)
    by = _moved_by([parts[index] for index in chosen], settings.rewriting)
    new = _rewritten(parts, chosen, places, settings.rewriting)
    return SectionParts(new, chosen, remarks, parts, by)


def _split(
    staves: Sequence[Part], chosen: Sequence[int], counts: Mapping[str, int]
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
        if index in chosen:
            players += range(len(parts), len(parts) + len(shared.players))
        parts += shared.players
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
    score: Gathered, parts: Sequence[Part], names: Sequence[str]
) -> tuple[tuple[int, ...], tuple[str, ...]]:
    """The indices of the section's parts, in the order of the score, and who is left out."""
    if names:
        found = [choose(score.entries, name, score.where, "--parts") for name in names]
        numbers = {entry.number for entry in found}
        return tuple(number - 1 for number in sorted(numbers)), ()
    pitched = tuple(index for index, part in enumerate(parts) if _has_pitches(part))
    if not pitched:
        raise UsageError(
            f"{score.where}: no part has pitches, so there are no chords to work on; name the "
            "parts with --parts, or use drills sheet"
        )
    others = [part.name for index, part in enumerate(parts) if index not in pitched]
    told = f"left out, for want of pitches: {', '.join(others)}; --parts takes them in"
    return pitched, (told,) if others else ()


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
