"""The players of a score: parts, their names, staves and instruments."""

from __future__ import annotations

from dataclasses import dataclass, field

from lxml import etree

from drills.errors import UsageError
from drills.music.pitch import Transposition
from drills.music.score import Instrument
from drills.reading.attributes import for_staff, read_transposition
from drills.reading.directions import clean
from drills.reading.instruments import instrument_of
from drills.reading.limits import Limits
from drills.reading.xmltext import as_int, child_text, text_of


@dataclass(frozen=True, slots=True)
class PartEntry:
    """One line of a score's list of players: a part, or one staff of it."""

    number: int
    """From 1, over the parts of the score in order; shared by the staves of a part."""
    name: str
    part_id: str
    staff: int
    staves: int
    instrument: str
    """The name of the instrument that the part begins with."""


@dataclass(frozen=True, slots=True)
class ScorePart:
    """A ``<part>`` with what the part list says about it."""

    index: int
    """Its place among the ``<part>`` elements of the file."""
    element: etree._Element
    """All its bars, perhaps without notes; see ``ScoreTree``."""
    name: str
    part_id: str
    abbreviation: str
    staves: int
    sounds: tuple[tuple[str, str, str, int | None], ...] = field(default=())
    """Instruments: identifier, name, sound identifier, General MIDI program."""

    def instrument(self, transposition: Transposition | None, identifier: str = "") -> Instrument:
        """What the part is played on, with the transposition that the file gives."""
        chosen = next((s for s in self.sounds if s[0] == identifier), None)
        first = self.sounds[0] if self.sounds else ("", "", "", None)
        if chosen is not None and chosen != first:
            return instrument_of(chosen[1], "", chosen[3], chosen[2], transposition)
        found = instrument_of(self.name, self.abbreviation, None, "", transposition)
        if found.known:
            return found
        return instrument_of(first[1] or self.name, "", first[3], first[2], transposition)

    @property
    def first_transposition(self) -> Transposition | None:
        """The transposition at the start of the part; None where the file gives none."""
        for attributes in self.element.iterfind("measure/attributes"):
            found = for_staff(attributes, "transpose", 1)
            if found is not None:
                return read_transposition(found)
        return None


def score_parts(root: etree._Element, limits: Limits) -> tuple[ScorePart, ...]:
    """Every part that has bars, in the order of the score."""
    listed = {entry.get("id") or "": entry for entry in root.iterfind("part-list/score-part")}
    unnamed = list(root.iterfind("part-list/score-part"))
    found: list[ScorePart] = []
    for index, part in enumerate(root.iterfind("part")):
        if part.find("measure") is None:
            continue
        part_id = part.get("id") or ""
        entry = listed.get(part_id)
        if entry is None and not part_id and index < len(unnamed):
            entry = unnamed[index]
        found.append(_score_part(index, part, entry, len(found) + 1, limits))
    return tuple(found)


def _score_part(
    index: int,
    part: etree._Element,
    entry: etree._Element | None,
    number: int,
    limits: Limits,
) -> ScorePart:
    part_id = part.get("id") or ""
    staves = max(
        (as_int(text_of(found)) or 1 for found in part.iterfind("measure/attributes/staves")),
        default=1,
    )
    if entry is None:
        return ScorePart(index, part, f"Part {number}", part_id, "", staves)
    name = clean(child_text(entry, "part-name"), limits.text)
    display = clean(
        " ".join(text_of(text) for text in entry.iterfind("part-name-display/display-text"))
    )
    sounds = tuple(
        (
            instrument.get("id") or "",
            clean(child_text(instrument, "instrument-name")),
            child_text(instrument, "instrument-sound"),
            _program(entry, instrument.get("id") or ""),
        )
        for instrument in entry.iterfind("score-instrument")
    )
    chosen = name or display or next((s[1] for s in sounds if s[1]), "") or f"Part {number}"
    abbreviation = clean(child_text(entry, "part-abbreviation"))
    return ScorePart(index, part, chosen, part_id, abbreviation, staves, sounds)


def _program(entry: etree._Element, identifier: str) -> int | None:
    for midi in entry.iterfind("midi-instrument"):
        if midi.get("id") == identifier:
            return as_int(child_text(midi, "midi-program"))
    return None


def list_entries(parts: tuple[ScorePart, ...]) -> tuple[PartEntry, ...]:
    """The list of players: one entry for each staff of each part."""
    return tuple(
        PartEntry(
            number,
            part.name if staff == 1 else f"{part.name} (staff {staff})",
            part.part_id,
            staff,
            part.staves,
            part.instrument(part.first_transposition).name,
        )
        for number, part in enumerate(parts, start=1)
        for staff in range(1, part.staves + 1)
    )


def choose(entries: tuple[PartEntry, ...], choice: str | None, where: str) -> PartEntry:
    """The entry that ``choice`` names: a number, a name or its beginning, or an identifier.

    Case does not count.  Without a choice the only part is taken (its first
    staff).  Raises UsageError, with the list of parts, where none or several fit.
    """
    if choice is None or not choice.strip():
        if entries[-1].number == 1:
            return entries[0]
        raise UsageError(f"{where}: a score of several parts; choose one with {_ways(entries)}")
    wanted = " ".join(choice.split()).casefold()
    for fits in (_named_exactly, _numbered, _begins):
        found = [entry for entry in entries if fits(entry, wanted)]
        staves = {(entry.number, entry.part_id) for entry in found}
        if len(staves) == 1:
            return found[0]
        if found:
            raise UsageError(
                f"{where}: {choice!r} fits several parts; choose one with {_ways(tuple(found))}"
            )
    raise UsageError(f"{where}: no part is called {choice!r}; choose one with {_ways(entries)}")


def _named_exactly(entry: PartEntry, wanted: str) -> bool:
    return wanted in {entry.name.casefold(), entry.part_id.casefold()}


def _numbered(entry: PartEntry, wanted: str) -> bool:
    return wanted == str(entry.number)


def _begins(entry: PartEntry, wanted: str) -> bool:
    return entry.name.casefold().startswith(wanted)


def _ways(entries: tuple[PartEntry, ...]) -> str:
    return "--part " + ", ".join(f"{entry.number} ({entry.name})" for entry in entries)
