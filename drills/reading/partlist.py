"""The players of a score: parts, their names, staves and instruments."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final

from lxml import etree

from drills.errors import UsageError
from drills.instruments.table import instrument_of, says_more
from drills.music.pitch import Transposition
from drills.music.score import Instrument
from drills.reading.attributes import for_staff, read_transposition
from drills.reading.directions import clean
from drills.reading.drums import names_of_drums
from drills.reading.groups import group_names, with_group
from drills.reading.limits import Limits
from drills.reading.xmltext import as_int, child_text, elements, text_of


@dataclass(frozen=True, slots=True)
class PartEntry:
    """One line of a score's list of players: a part, or one staff of it."""

    number: int
    """From 1, in the order of the score; each staff of a part has its own."""
    name: str
    part_id: str
    part: int
    """Place of its part among the parts that have bars, from 0."""
    staff: int
    staves: int
    instrument: str
    """The name of the instrument that the part begins with."""


@dataclass(frozen=True, slots=True)
class ListedInstrument:
    """A ``<score-instrument>`` of the part list."""

    identifier: str
    name: str
    sound: str
    """MusicXML sound identifier such as "wind.reed.clarinet"."""
    program: int | None
    """General MIDI program, from 1."""
    drum: int | None = None
    """General MIDI percussion key, from 0."""


_DRUM_CHANNEL: Final = "10"
_UNLISTED: Final = ListedInstrument("", "", "", None)


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
    players: tuple[ListedInstrument, ...] = ()
    on_drum_channel: bool = False
    """The part plays on the MIDI channel of percussion."""

    def instrument(
        self, transposition: Transposition | None, identifier: str = "", sound: str = ""
    ) -> Instrument:
        """What is played, by the identifier that notes carry ("" at the start of the part).

        ``transposition``: that of the file; None where it gives none.  ``sound``: that of a
        change inside the part.  The part's name is believed before the instrument that the
        exporter listed for playback, unless it is that of a voice ("Alto 1") and the listed one
        says more ("Alto Saxophone"); a change is believed before both.
        """
        first = self.players[0] if self.players else _UNLISTED
        if sound and sound != first.sound:
            found = instrument_of("", "", None, sound, transposition)
            if found.known:
                return found
        chosen = next((p for p in self.players if p.identifier == identifier), first)
        if chosen is first:
            found = instrument_of(self.name, self.abbreviation, None, "", transposition)
            if found.known:
                listed = instrument_of(chosen.name, "", None, "", transposition)
                return listed if says_more(listed, found) else found
        name = chosen.name or self.name
        return instrument_of(name, "", chosen.program, chosen.sound, transposition)

    def names(self) -> dict[str, str]:
        """The names of the listed instruments, such as drums, by their identifier."""
        return names_of_drums((one.identifier, one.name, one.drum) for one in self.players)

    @property
    def first_transposition(self) -> Transposition | None:
        """The transposition at the start of the part; None where the file gives none."""
        for path in ("measure/attributes[transpose]", "measure/attributes/for-part"):
            for parent in elements(self.element, path):
                tag = "part-transpose" if parent.tag == "for-part" else "transpose"
                if (found := for_staff(parent, tag, 1)) is not None:
                    return read_transposition(found)
        return None

    @property
    def from_concert_score(self) -> bool:
        """True where only the part that is made from the score is transposed."""
        return (
            self.element.find("measure/attributes/for-part/part-transpose") is not None
            and self.element.find("measure/attributes/transpose") is None
        )


def score_parts(root: etree._Element, limits: Limits) -> tuple[ScorePart, ...]:
    """Every part that has bars, in the order of the score."""
    listed = {entry.get("id") or "": entry for entry in root.iterfind("part-list/score-part")}
    unnamed = list(root.iterfind("part-list/score-part"))
    groups = group_names(root)
    found: list[ScorePart] = []
    for index, part in enumerate(root.iterfind("part")):
        if part.find("measure") is None:
            continue
        part_id = part.get("id") or ""
        entry = listed.get(part_id)
        if entry is None and not part_id and index < len(unnamed):
            entry = unnamed[index]
        group = "" if entry is None else groups.get(entry.get("id") or "", "")
        found.append(_score_part(index, part, entry, (len(found) + 1, group), limits))
    return tuple(found)


def _score_part(
    index: int,
    part: etree._Element,
    entry: etree._Element | None,
    place: tuple[int, str],
    limits: Limits,
) -> ScorePart:
    """A part by its entry in the list; ``place``: its number, and its group's name."""
    number, group = place
    part_id = part.get("id") or ""
    staves = max(
        (as_int(text_of(found)) or 1 for found in elements(part, "measure/attributes/staves")),
        default=1,
    )
    if entry is None:
        return ScorePart(index, part, f"Part {number}", part_id, "", staves)
    name = clean(child_text(entry, "part-name"), limits.text)
    display = clean(
        " ".join(text_of(text) for text in entry.iterfind("part-name-display/display-text"))
    )
    programs = {
        midi.get("id") or "": as_int(child_text(midi, "midi-program"))
        for midi in entry.iterfind("midi-instrument")
    }
    keys = {
        midi.get("id") or "": as_int(child_text(midi, "midi-unpitched"))
        for midi in entry.iterfind("midi-instrument")
    }
    players = tuple(
        ListedInstrument(
            instrument.get("id") or "",
            clean(child_text(instrument, "instrument-name")),
            child_text(instrument, "instrument-sound"),
            programs.get(instrument.get("id") or ""),
            key - 1 if (key := keys.get(instrument.get("id") or "")) else None,
        )
        for instrument in entry.iterfind("score-instrument")
    )
    chosen = (
        with_group(name or display, group)
        or next((p.name for p in players if p.name), "")
        or f"Part {number}"
    )
    abbreviation = clean(child_text(entry, "part-abbreviation"))
    channels = {text_of(channel) for channel in entry.iterfind("midi-instrument/midi-channel")}
    drums = channels == {_DRUM_CHANNEL}
    return ScorePart(index, part, chosen, part_id, abbreviation, staves, players, drums)


def list_entries(parts: tuple[ScorePart, ...]) -> tuple[PartEntry, ...]:
    """The list of players: one entry for each staff of each part."""
    staves = [
        (place, part, staff)
        for place, part in enumerate(parts)
        for staff in range(1, part.staves + 1)
    ]
    return tuple(
        PartEntry(
            number,
            part.name if staff == 1 else f"{part.name} (staff {staff})",
            part.part_id,
            place,
            staff,
            part.staves,
            part.instrument(part.first_transposition).name,
        )
        for number, (place, part, staff) in enumerate(staves, start=1)
    )


def choose(
    entries: tuple[PartEntry, ...], choice: str | None, where: str, option: str = "--part"
) -> PartEntry:
    """The entry that ``choice`` names: a number, a name, an identifier, words of a name.

    A bare number is the number in the list; a part that is *called* by a number is
    reached in double quotes.  Case does not count, and the first way that fits
    exactly one entry wins.  Without a choice the only part is taken, of several
    staves the first.  Raises UsageError, with the list of parts and the ``option``
    that takes one, where none or several fit.
    """
    if choice is None or not choice.strip():
        if entries[-1].part == 0:
            return entries[0]
        raise UsageError(
            f"{where}: a score of several parts; choose one with {_ways(entries, option)}"
        )
    wanted = " ".join(choice.split()).casefold()
    for fits in _fitting(wanted):
        found = [entry for entry in entries if fits(entry, wanted)]
        if len(found) == 1 or (found and len({entry.part for entry in found}) == 1):
            return found[0]
        if found:
            raise UsageError(
                f"{where}: {choice!r} fits several parts; choose one with "
                f"{_ways(tuple(found), option)}"
            )
    raise UsageError(
        f"{where}: no part is called {choice!r}; {_hint(entries, wanted, option)}choose one "
        f"with {_ways(entries, option)}"
    )


def _fitting(wanted: str) -> tuple[Callable[[PartEntry, str], bool], ...]:
    """The ways in which a choice may fit, the surest first."""
    if wanted.isdecimal():
        return (_has_number,)
    if _is_quoted(wanted):
        return (_is_called_in_quotes, _is_called)
    return (_is_called, _has_identifier, _begins_with_words, _has_words, _begins)


def _hint(entries: tuple[PartEntry, ...], wanted: str, option: str) -> str:
    """A name that the player may have meant."""
    names = {entry.name.casefold(): entry.name for entry in entries}
    if wanted.isdecimal() and wanted in names:
        return f"the part that is called so is {option} '\"{names[wanted]}\"'; "
    near = get_close_matches(wanted, names, 1)
    return f"did you mean {names[near[0]]!r}? " if near else ""


def _is_quoted(wanted: str) -> bool:
    return len(wanted) > 2 and wanted[0] == wanted[-1] == '"'


def _is_called_in_quotes(entry: PartEntry, wanted: str) -> bool:
    return _is_called(entry, wanted[1:-1].strip())


def _is_called(entry: PartEntry, wanted: str) -> bool:
    return entry.name.casefold() == wanted


def _has_number(entry: PartEntry, wanted: str) -> bool:
    return wanted == str(entry.number)


def _has_identifier(entry: PartEntry, wanted: str) -> bool:
    return entry.part_id.casefold() == wanted


def _begins_with_words(entry: PartEntry, wanted: str) -> bool:
    return f"{entry.name.casefold()} ".startswith(f"{wanted} ")


def _has_words(entry: PartEntry, wanted: str) -> bool:
    return f" {wanted} " in f" {entry.name.casefold()} "


def _begins(entry: PartEntry, wanted: str) -> bool:
    return entry.name.casefold().startswith(wanted)


def _ways(entries: tuple[PartEntry, ...], option: str) -> str:
    listed = ", ".join(f"{entry.number} ({entry.name})" for entry in entries)
    by_number = next((entry.name for entry in entries if entry.name.isdecimal()), "")
    quoted = f"; a name that is a number in quotes: {option} '\"{by_number}\"'" if by_number else ""
    return f"{option} {listed}{quoted}"
