"""What the templates print for a section: its players' staves in score, and pages of one player."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Final

from drills.harmony.chord import NoteFunction
from drills.music.score import Bar
from drills.output.lilypond import functions, section_size
from drills.output.lilypond import words as ly
from drills.output.lilypond.music import WIDE, write_passages
from drills.output.lilypond.names import characters, name_lines, short_names
from drills.output.lilypond.page import Page
from drills.output.lilypond.passage import Passage
from drills.output.lilypond.section_size import Room
from drills.output.lilypond.sheet_view import tempo_markup, title_fits
from drills.output.lilypond.words import NOTHING, LilyPond
from drills.section.players import Player, PlayerPage, Section
from drills.section.score import SectionScore, Staff

NAME_POINTS: Final = 9.0
CHARACTER: Final = 1.62
"""Millimetres of a character of a name."""
NAME_GAP: Final = 3.0
"""Millimetres between a name and its staff."""
FUNCTION_POINTS: Final = 8.0
"""Of the functions under the notes at least."""
FUNCTION_SIZE: Final = -1.35
"""The same on a staff of the usual size, in LilyPond's steps: on larger ones they grow too."""
LABEL_POINTS: Final = 6.5
"""Of bar numbers and labels over the bars at least."""
LABEL_SIZE: Final = -1.5
CHORD_SIZE: Final = 0.5
CHORD_POINTS: Final = 8.5
"""Of the names of chords at least."""
HEAD: Final = 17.0
"""Millimetres of piece, spot and the room around them."""
SMALL_LINE: Final = 3.4
LINE_CHARACTERS: Final = 125
"""Of small print, on a line between the margins."""
FOOT: Final = 4.0
TO_YOU: Final = {"rests ": "you rest ", "holds ": "you hold "}
"""What is said of a player, said to them."""


@dataclass(frozen=True, slots=True)
class _Line:
    """One staff of a section's score."""

    name: LilyPond
    short: LilyPond
    music: LilyPond
    under: LilyPond


@dataclass(frozen=True, slots=True)
class _SectionMusic:
    """One ``\\score`` of a section."""

    heading: str
    staves: tuple[_Line, ...]
    chords: LilyPond
    labels: LilyPond
    under_size: float
    """Of the functions, in LilyPond's steps of a sixth of a doubling."""
    chord_size: float
    """The same of the names of chords."""
    label_size: float
    """The same of the labels over the bars."""
    indent: float
    """Millimetres before the first system."""
    short_indent: float
    ragged: bool
    """Too little music to be stretched to the margin."""


def section_view(section: Section, page: Page, number: int, *, numbered: bool) -> dict[str, object]:
    """What the templates print for a section's page."""
    small = _legends(section)
    notes = (*section.cautions, *section.remarks)
    room = Room(
        page,
        head=HEAD + _small_height(small),
        foot=FOOT + _small_height(notes),
        names=_width(_names(section)),
    )
    size = section_size.staff_size(section.scores, room)
    title = section.credits.title or "Section"
    return {
        "kind": "section",
        "with_functions": True,
        "number": number,
        "numbered": numbered,
        "sheet": section,
        "title": title,
        "part": "Section" if section.credits.title else "",
        "title_fits": title_fits(title, "Section"),
        "running": " · ".join(dict.fromkeys((title, "Section", section.words))),
        "tempo": tempo_markup(section.tempo),
        "legends": small,
        "broken": (),
        "staff_size": size,
        "scores": [
            _music(part, room.at(size))
            for score in section.scores
            if score.staves
            for part in section_size.divided(score, room.at(size))
        ],
    }


def silent_view(one: PlayerPage, number: int, *, numbered: bool) -> dict[str, object]:
    """What the templates print for a player who has nothing to drill."""
    part = one.player.part
    title = part.credits.title or part.name
    name = part.name if part.credits.title else ""
    return {
        "kind": "silent",
        "with_functions": False,
        "number": number,
        "numbered": numbered,
        "sheet": part,
        "title": title,
        "part": name,
        "title_fits": title_fits(title, name),
        "running": " · ".join(text for text in (title, name, one.words) if text),
        "words": one.words,
        "tempo": tempo_markup(one.tempo),
        "legends": (),
        "broken": (),
        "lines": (silence(one.player), *doubling_lines(one.player)),
    }


def silence(player: Player) -> str:
    """Why a player has no sheet, as a sentence: "You rest from bar 33 to bar 36."."""
    said = (player.silence or "nothing to drill here").rstrip(".")
    for told, to_you in TO_YOU.items():
        if said.startswith(told):
            said = f"{to_you}{said.removeprefix(told)}".replace(", then rests", ", then rest")
    return f"{said[:1].upper()}{said[1:]}."


def doubling_lines(player: Player) -> tuple[str, ...]:
    """With whom a player plays, as one line; none where nobody doubles."""
    if not player.doublings:
        return ()
    return (f"You play {'; '.join(player.doublings)}.",)


def _legends(section: Section) -> tuple[str, ...]:
    """What the labels mean that stand under the staves."""
    staves = [staff for score in section.scores for staff in score.staves]
    shown = {under.text for staff in staves for under in staff.under}
    tuned = any(under.cents for staff in staves for under in staff.under)
    found = [
        note.function
        for slice_ in section.slices
        for note in slice_.notes
        if note.function is not None
    ]
    said = functions.legend(_shown(found, shown), tuned=tuned, where="each note")
    names = any(score.chords for score in section.scores)
    return (*said, *(("Chords are named in concert pitch.",) if names else ()))


def _shown(found: Sequence[NoteFunction], labels: set[str]) -> Iterator[NoteFunction]:
    parts = {part.strip() for label in labels for part in label.replace("/", ",").split(",")}
    return (one for one in found if one.label in parts)


def _small_height(texts: Sequence[str]) -> float:
    """Millimetres of a paragraph of small print."""
    return SMALL_LINE * ceil(sum(len(text) + 1 for text in texts) / LINE_CHARACTERS)


def _names(section: Section) -> list[str]:
    return [staff.name for score in section.scores for staff in score.staves]


def _width(names: Sequence[str]) -> float:
    """Millimetres for the longest of the full names."""
    lines = (line for name in names for line in name_lines(name))
    return max(map(_line_width, lines), default=0.0) + NAME_GAP


def _line_width(line: str) -> float:
    """About how many millimetres wide a line of a name is."""
    return CHARACTER * characters(line)


def _music(score: SectionScore, room: Room) -> _SectionMusic:
    """One score with its players' names and rows of words."""
    names = [staff.name for staff in score.staves]
    short = short_names(names)
    bars = score.staves[0].bars
    layout = _Layout.of(score, room)
    return _SectionMusic(
        heading=score.heading,
        staves=tuple(
            _Line(
                name=_name_markup(name_lines(staff.name)),
                short=_name_markup((abbreviation,)),
                music=layout.write(staff),
                under=functions.unders(staff.bars, staff.under),
            )
            for staff, abbreviation in zip(score.staves, short, strict=True)
        ),
        chords=functions.chord_names(bars, score.chords),
        labels=functions.bar_labels(bars, score.bar_labels) if score.bar_labels else NOTHING,
        under_size=max(FUNCTION_SIZE, functions.font_size(FUNCTION_POINTS, room.page.staff_size)),
        chord_size=max(CHORD_SIZE, functions.font_size(CHORD_POINTS, room.page.staff_size)),
        label_size=max(LABEL_SIZE, functions.font_size(LABEL_POINTS, room.page.staff_size)),
        indent=_width(names),
        ragged=section_size.is_short(score, room.line),
        short_indent=max(map(_line_width, short)) + NAME_GAP,
    )


@dataclass(frozen=True, slots=True)
class _Layout:
    """Where the staves of a score are cut into stretches, and which are kept on one system."""

    edges: tuple[int, ...]
    repeated: bool
    doubled: frozenset[int]
    """Ends of stretches after which a double bar line stands."""
    whole: tuple[bool, ...]
    """For each stretch whether it fits on a system."""
    room: float

    @classmethod
    def of(cls, score: SectionScore, room: Room) -> _Layout:
        """The same for every staff of a score."""
        count = len(score.staves[0].bars)
        ends = [end + 1 for end in score.ends if end + 1 <= count]
        edges = tuple(dict.fromkeys((0, *sorted(ends), count)))
        widths = section_size.bar_widths(score)
        line = room.line - section_size.start_width(score.staves)
        whole = tuple(sum(widths[a:b]) <= WIDE * line for a, b in pairwise(edges))
        return cls(edges, score.repeated, frozenset(ends), whole, room.line)

    def write(self, staff: Staff) -> LilyPond:
        """The music of one staff."""
        stretches = zip(pairwise(self.edges), self.whole, strict=True)
        return write_passages(
            [self._passage(staff.bars[a:b], b, whole=whole) for (a, b), whole in stretches],
            self.room,
        )

    def _passage(self, bars: tuple[Bar, ...], end: int, *, whole: bool) -> Passage:
        return Passage(
            bars,
            repeated=self.repeated,
            rows=(len(bars),) if whole else (),
            double=not self.repeated and end in self.doubled,
        )


def _name_markup(lines: Sequence[str]) -> LilyPond:
    """A name at the right of its column, flats drawn."""
    texts = [rf"\line {{ {_with_flats(line)} }}" for line in lines]
    points = f"{NAME_POINTS:g}"
    return LilyPond(
        rf"\abs-fontsize #{points} \sans \override #'(baseline-skip . 2.2) "
        rf"\right-column {{ {' '.join(texts)} }}"
    )


def _with_flats(line: str) -> str:
    pieces = line.split("\N{MUSIC FLAT SIGN}")
    flat = r" \hspace #0.25 \raise #0.3 \fontsize #-3 \flat \hspace #0.1 "
    return rf"\concat {{ {flat.join(ly.ly_string(piece) for piece in pieces)} }}"
