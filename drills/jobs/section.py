"""From a score and a place to the files of a whole section: the job of ``drills section``.

    wanted = SectionWanted(places=("E:3",))
    write_section([Path("march.musicxml")], wanted, Settings(), SectionOutputs())

One call reads the score once, makes every player's drills, and engraves those of
one player while the next one's are being made.  Everything is written, or nothing.
Every error is a DrillsError.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from pathlib import Path
from time import perf_counter

from drills.jobs.assumed_tempo import assumed_tempos
from drills.jobs.gathering import Gathered, gathered
from drills.jobs.paper import paper_for
from drills.jobs.request import Settings, Tell, chosen_style, say_nothing, unusual
from drills.jobs.section_files import Assembled, FileWanted, Portions, assembled, named, text_file
from drills.jobs.section_names import files_of, folder_name
from drills.jobs.section_players import SectionParts, section_parts
from drills.jobs.sheet_files import PRINTED, SheetSet, Style, pdf_library_meanwhile, render
from drills.jobs.wanted_spots import places_in
from drills.music.score import Part
from drills.output.engrave import Engraver
from drills.output.files import (
    ENDINGS,
    OutputFile,
    check_place,
    new_folder,
    write_files,
)
from drills.places.aligning import align, find_stretch
from drills.reading.source import ScoreSource, Typed, paths_of
from drills.section.making import make_section
from drills.section.players import PlayerPage, Section
from drills.section.said import check_said, reach
from drills.sheets.sheet import Sheet


@dataclass(frozen=True, slots=True)
class SectionWanted:
    """What a section is to work on."""

    places: tuple[str, ...]
    """At least one; each is a section of its own in every file."""
    parts: tuple[str, ...] = ()
    """Names or numbers of the chosen parts; all that have pitches unless given."""
    said: tuple[tuple[str, str], ...] = ()
    """Places and the chords that the player says for them, in concert pitch."""
    counts: tuple[tuple[str, int], ...] = ()
    """How many players a staff has, by its name, where the score does not say."""
    cells: int | None = None
    """The most cells that all play together; None for what make_section takes."""
    whole_score: bool = True
    """The spot itself stands in score before all else."""


@dataclass(frozen=True, slots=True)
class SectionOutputs:
    """Which files are written, where, and how."""

    folder: Path | None = None
    """Named after the piece and the place, in the current folder, unless given."""
    formats: tuple[str, ...] = ("pdf",)
    """Keys of files.ENDINGS; empty for none."""
    force: bool = False
    leader_only: bool = False
    """No files for the players."""
    style: Style = field(default_factory=Style)


@dataclass(frozen=True, slots=True)
class SectionWritten:
    """What a call has written."""

    sections: tuple[Section, ...]
    """One for each place."""
    folder: Path
    paths: tuple[Path, ...] = ()
    """The leader's files first, then those of each player who has something to drill."""
    pages: tuple[int, ...] = ()
    """Of each file; 0 where it is not printed."""
    remarks: tuple[str, ...] = ()
    reading: float = 0.0
    """Seconds that it took to read the score."""


@dataclass(frozen=True, slots=True)
class _Player:
    """One player's material, place by place."""

    part: Part
    pages: list[PlayerPage] = field(default_factory=list)
    leaves: list[int] = field(default_factory=list)

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """The sheets of the places where there is something to drill."""
        return tuple(page.player.sheet for page in self.pages if page.player.sheet is not None)


def write_section(
    scores: Sequence[ScoreSource],
    wanted: SectionWanted,
    settings: Settings,
    outputs: SectionOutputs,
    tell: Tell = say_nothing,
) -> SectionWritten:
    """Make and write a section's material: all files, or none.

    Raises ReadError, UsageError, PlaceError, NotationError, EngraveError, WriteError;
    where a file cannot be written before any long work.
    """
    tell(f"reading {', '.join(map(str, scores))}")
    began = perf_counter()
    score = gathered(scores, settings.limits, settings.given)
    if score.tempo is not None and settings.choices.tempo is None:
        choices = replace(settings.choices, tempo=score.tempo, tempo_source="the book")
        settings = replace(settings, choices=choices)
    wanted = replace(wanted, places=tuple(_places(score, wanted.places)))
    reading = perf_counter() - began
    read = section_parts(score, wanted.places, wanted.parts, settings, wanted.counts)
    _check_said(read, wanted)
    credits = read.parts[0].credits
    folder = outputs.folder or Path(folder_name(score, credits, wanted.places))
    players = [_Player(read.parts[index]) for index in read.chosen]
    chosen = (
        *settings.chosen,
        *unusual(wanted, SectionWanted(wanted.places)),
        *chosen_style(outputs.style),
    )
    files = files_of(score, credits, wanted.places, [player.part for player in players], chosen)
    inputs = paths_of(*score.sources)
    with ExitStack() as stack:
        if outputs.formats:
            stack.enter_context(new_folder(folder))
        for one in files[:1] if outputs.leader_only else files:
            for kind in outputs.formats:
                check_place(folder / f"{one.name}{ENDINGS[kind]}", one.mark, outputs.force, inputs)
        maker = _Maker(read, players, wanted, settings, files, tell)
        sections, made, remarks = maker.make(outputs)
        written = [
            (OutputFile(folder / name, content, one.wanted.mark), pages)
            for one in made
            for name, content, pages in named(one)
        ]
        write_files([file for file, _ in written], outputs.force, inputs)
    return SectionWritten(
        sections,
        folder,
        tuple(file.path for file, _ in written),
        tuple(pages for _, pages in written),
        (*score.remarks, *read.remarks, *_about_tempos(score, sections), *remarks),
        reading,
    )


def _check_said(read: SectionParts, wanted: SectionWanted) -> None:
    """Raises PlaceError where a chord is said for a place in none of the spots."""
    if not wanted.said:
        return
    aligned = align(read.heard or read.parts)
    found = [find_stretch(aligned, place, read.chosen) for place in wanted.places]
    spots = [reach(aligned, one.low, one.high, one.span.words) for one in found]
    check_said(aligned, spots, wanted.said, range(len(aligned.parts)))


def _places(score: Gathered, places: Sequence[str]) -> Sequence[str]:
    """The places that are named; where all is typed and none is named, all that was typed."""
    if places or not all(isinstance(source, Typed) for source in score.sources):
        return places
    longest = max(score.parts, key=lambda part: len(part.bars))
    return places_in(score.sources[0], longest, places)


def _about_tempos(score: Gathered, sections: Sequence[Section]) -> tuple[str, ...]:
    """What to say about tempos that nobody gave."""
    sheets = [p.sheet for one in sections for p in one.players if p.sheet is not None]
    return assumed_tempos(score.where, sheets, "give --tempo for another")


@dataclass(frozen=True, slots=True)
class _Maker:
    """Makes the sections and what goes into their files."""

    read: SectionParts
    players: Sequence[_Player]
    wanted: SectionWanted
    settings: Settings
    files: Sequence[FileWanted]
    """The leader's, then each player's; their leaves are known at the end."""
    tell: Tell

    def make(
        self, outputs: SectionOutputs
    ) -> tuple[tuple[Section, ...], list[Assembled], tuple[str, ...]]:
        """The sections, their files, and what should be known about the print."""
        printed = [kind for kind in PRINTED if kind in outputs.formats]
        if not printed and "ly" not in outputs.formats:
            sections = tuple(self._section(place, None)[0] for place in self.wanted.places)
            return sections, self._played(outputs), ()
        style = outputs.style
        with (
            pdf_library_meanwhile(),
            Engraver(printed, style.engraving, style.ahead) as engraver,
        ):
            portions = Portions(engraver if printed else None, style.page, self.files[0].mark)
            made = [
                self._section(place, portions, leader_only=outputs.leader_only)
                for place in self.wanted.places
            ]
            portions.finish()
            sections = tuple(section for section, _ in made)
            files = self._with_leaves([leaf for _, leaf in made])
            told = [f"{len(files) - 1} players"] if len(files) > 1 else []
            self.tell(f"engraving {' and '.join(['the section', *told])}")
            engraved = engraver.finish() if printed else None
        done = [] if engraved is None else assembled(files, portions.sizes, engraved, printed)
        if "ly" in outputs.formats:
            done += [text_file(one, portions.leaves, style.page) for one in files]
        return (
            sections,
            [*done, *self._played(outputs)],
            () if engraved is None else engraved.remarks,
        )

    def _section(
        self, place: str, portions: Portions | None, *, leader_only: bool = False
    ) -> tuple[Section, int]:
        """One place; each leaf is handed on as soon as it is made."""
        waiting = iter(self.players)

        def ready(page: PlayerPage) -> None:
            player = next(waiting)
            self.tell(f"writing out the drills of {player.part.name}")
            player.pages.append(page)
            if portions is not None and page.player.sheet is not None and not leader_only:
                player.leaves.append(portions.add(page))

        section = make_section(
            self.read.parts,
            self.read.chosen,
            place,
            self.settings.choices,
            said=self.wanted.said,
            heard=self.read.heard,
            by=self.read.by,
            how=self.settings.tuned,
            cells=self.wanted.cells,
            whole_score=self.wanted.whole_score,
            paper=paper_for(self.settings.page, self.settings.pages),
            ready=ready,
        )
        return section, portions.add(section) if portions is not None else 0

    def _with_leaves(self, sections: Sequence[int]) -> list[FileWanted]:
        """The files with their leaves: the leader's are the sections, each player's their own.

        Who has nothing to drill has no file.
        """
        leader, *own = self.files
        pairs = zip(own, self.players, strict=True)
        return [leader.of(sections), *(one.of(player.leaves) for one, player in pairs
                                       if player.leaves)]  # fmt: skip

    def _played(self, outputs: SectionOutputs) -> list[Assembled]:
        """Each player's drills in the formats that are not printed."""
        kinds = [kind for kind in outputs.formats if kind in ("musicxml", "midi")]
        if outputs.leader_only:
            return []
        found = []
        for one, player in zip(self.files[1:], self.players, strict=True):
            if kinds and player.sheets:
                made = SheetSet(player.sheets, one.name, one.mark)
                contents = render(made, kinds, outputs.style, self.tell).contents
                found += [Assembled(one, kind, contents[kind]) for kind in kinds]
        return found
