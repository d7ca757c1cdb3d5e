"""A score and a place -> the section in that place: every player's sheet, and the section page."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby
from typing import Final

from drills.errors import NotationError, PlaceError, UsageError
from drills.harmony.chord import Harmony
from drills.harmony.tuning import FROM_ROOT, Tuned
from drills.music.pitch import CONCERT, Transposition
from drills.music.score import Part
from drills.places.aligning import Aligned, Stretch, align, find_stretch
from drills.places.bar_names import bar_name
from drills.section.cells import cells_score
from drills.section.chord_scores import build_score, chords_score
from drills.section.columns import columns_of
from drills.section.doublings import doublings
from drills.section.harmonies import Said, harmonies_in, harmonies_of
from drills.section.lines import PlayerLine, line_of, silence_of
from drills.section.players import Player, PlayerPage, Section
from drills.section.score import SectionScore
from drills.section.slices import slices_of
from drills.section.spot_score import spot_score
from drills.section.windows import costs_of, guide_of, hardest, windows_of
from drills.sheets.choices import Choices
from drills.sheets.chord_notes.names import certainty_remarks
from drills.sheets.chord_notes.playing import Played
from drills.sheets.chord_notes.spot import clipped
from drills.sheets.making import make_sheet, performing_tempo
from drills.sheets.sheet import CAUTIONS, Paper, Sheet

CELLS: Final = 8
"""Cells of the section unless another number is asked for."""
SHORT_FROM: Final = 9
"""Staves from which on the section's page stops after the chords unless cells are asked for:
two systems of them no longer share a page, and a leader would turn for every chord (our own
choice)."""


_SHORT: Final = (
    "with {} staves the page of the section stops after its chords; --section-cells "
    f"{CELLS} adds the same chords built up and the cells for all"
)


@dataclass(frozen=True, slots=True)
class _Spot:
    """What everything about a section in a spot is made of."""

    aligned: Aligned
    stretch: Stretch
    low: Fraction
    high: Fraction
    """Where the music of the spot ends: a named last beat is part of it."""
    harmonies: tuple[Harmony, ...]
    """From a bar before the spot to a bar after it."""
    lines: tuple[PlayerLine, ...]

    @property
    def inside(self) -> tuple[Harmony, ...]:
        """The harmonies of the spot alone."""
        return clipped(self.harmonies, self.low, self.high)

    def bar_words(self, bar: int) -> str:
        """The printed number of a common bar, in the part whose numbers count if it has it."""
        column = self.aligned.columns[bar]
        parts = [self.stretch.said_by, *range(len(column))]
        part = next(part for part in parts if column[part])
        return bar_name(self.aligned.parts[part], column[part][0])


@dataclass(frozen=True, slots=True)
class _Chords:
    """Where the chords come from."""

    said: Said
    heard: Sequence[Part]
    """Empty where nothing is rewritten."""
    by: Transposition
    how: Tuned

    def between(self, aligned: Aligned, low: Fraction, high: Fraction) -> tuple[Harmony, ...]:
        """The chords between two times of the common line, which rewriting leaves as it is."""
        of_score = align(self.heard) if self.heard else aligned
        found = harmonies_of(of_score, low, high, self.said, how=self.how)
        return tuple(replace(one, chord=one.chord.moved(self.by)) for one in found)


def _nobody_waits(_: PlayerPage) -> None:
    """The ``ready`` of a section that is wanted whole."""


def make_section(
    parts: Sequence[Part],
    chosen: Sequence[int],
    text: str,
    choices: Choices,
    *,
    said: Said = (),
    heard: Sequence[Part] = (),
    by: Transposition = CONCERT,
    how: Tuned = FROM_ROOT,
    cells: int | None = None,
    whole_score: bool = True,
    paper: Paper | None = None,
    ready: Callable[[PlayerPage], None] = _nobody_waits,
) -> Section:
    """The section in the place that ``text`` names.

    ``parts`` are all parts of the score, since chords are read from all of them;
    ``chosen`` the indices of the section's.  ``said`` are places with the chords
    that the player says for them, in concert pitch.  ``heard`` are the parts as the
    score has them, where ``parts`` are rewritten for other instruments: chords and
    their basses are those of the score; ``by`` moves them where the section keeps its
    written notes and sounds elsewhere.  ``how`` says from where chords are tuned.
    ``cells`` is the most cells of the section: CELLS unless given, and from SHORT_FROM staves
    on neither they nor the chords built up, which is said; ``whole_score`` puts the spot itself in
    score before all else; ``paper`` is asked as in make_sheet.
    ``ready`` is called for each player as soon as their drills are made, before the
    whole section is.  Raises PlaceError where no part knows the place or nobody plays
    there, UsageError for choices that make no sense, NotationError for what cannot be
    written in score.
    """
    spot = _spot(parts, chosen, text, choices, _Chords(said, heard, by, how))
    first = parts[spot.stretch.said_by]
    words = spot.stretch.span.words
    words = words[:1].upper() + words[1:]
    tempo = performing_tempo(first, spot.stretch.span, choices)
    players: list[Player] = []
    for player in _players(spot, choices, paper):
        ready(PlayerPage(player, words, tempo))
        players.append(player)
    scores, remarks = _scores(spot, players, choices, cells, whole_score=whole_score)
    return Section(
        credits=first.credits,
        words=words,
        asked=text.strip(),
        tempo=tempo,
        players=tuple(players),
        slices=slices_of(
            spot.aligned, spot.lines, spot.inside, (spot.low, spot.high), spot.bar_words
        ),
        scores=scores,
        cautions=CAUTIONS,
        remarks=(
            *spot.aligned.remarks,
            *spot.stretch.remarks,
            *certainty_remarks(spot.inside),
            *_voices_left(spot.lines),
            *remarks,
        ),
        source=first.source,
    )


def _spot(
    parts: Sequence[Part], chosen: Sequence[int], text: str, choices: Choices, chords: _Chords
) -> _Spot:
    if not chosen:
        raise UsageError("no part is chosen for the section; choose one or more")
    aligned = align(parts)
    stretch = find_stretch(aligned, text, chosen)
    low, high = stretch.low, _music_end(aligned, stretch)
    first = max(bisect_right(aligned.starts, low) - 2, 0)
    last = min(bisect_left(aligned.starts, high), len(aligned.bars) - 1)
    harmonies = chords.between(aligned, aligned.bars[first].start, aligned.bars[last].end)
    lines = tuple(
        line_of(aligned, part, span, (low, high), voice=choices.voice, harmonies=harmonies)
        for part, span in zip(chosen, stretch.spans, strict=True)
    )
    if not any(line.between(low, high) for line in lines):
        raise PlaceError(
            f"nobody of the section plays in {stretch.span.words}; choose a place where "
            "somebody does, or other parts"
        )
    return _Spot(aligned, stretch, low, high, harmonies, lines)


def _music_end(aligned: Aligned, stretch: Stretch) -> Fraction:
    """Where the spot's music ends: after the beat of an attack that is named as its last."""
    bar = aligned.bars[max(bisect_right(aligned.starts, stretch.high) - 1, 0)]
    if not stretch.includes_end:
        return stretch.high
    return min(stretch.high + bar.time.beat.quarters, max(bar.end, stretch.high))


# --- players ------------------------------------------------------------------------


def _players(spot: _Spot, choices: Choices, paper: Paper | None) -> Iterator[Player]:
    attacks = [_by_bar(spot.aligned, line.attacks(spot.low, spot.high)) for line in spot.lines]
    together = doublings(spot.lines, attacks, spot.bar_words)
    for line, own in zip(spot.lines, together, strict=True):
        yield _player(spot, line, choices, own, paper)


def _by_bar(aligned: Aligned, attacks: Sequence[Played]) -> dict[int, list[Played]]:
    def bar(played: Played) -> int:
        return bisect_right(aligned.starts, played.start) - 1

    return {index: list(inside) for index, inside in groupby(attacks, key=bar)}


def _player(
    spot: _Spot,
    line: PlayerLine,
    choices: Choices,
    together: tuple[str, ...],
    paper: Paper | None,
) -> Player:
    silence = silence_of(line, spot.low, spot.high)
    sheet = None
    if not silence and line.span is not None:
        try:
            sheet = _sheet(spot, line, choices, paper)
        except NotationError as problem:
            silence = f"no drills: {problem}"
    return Player(line.part, line.span, sheet, silence, together)


def _sheet(spot: _Spot, line: PlayerLine, choices: Choices, paper: Paper | None) -> Sheet | None:
    if line.span is None:
        return None
    own = replace(choices, voice=line.voice)
    harmonies = harmonies_in(spot.aligned, line.index, spot.harmonies)
    return make_sheet(line.part, line.span, own, harmonies=harmonies, paper=paper)


def _voices_left(lines: Sequence[PlayerLine]) -> tuple[str, ...]:
    return tuple(
        f"of {line.part.name} voice {line.voice} is taken; voice{'s' * (len(line.others) > 1)} "
        f"{', '.join(line.others)} {'plays' if len(line.others) == 1 else 'play'} here too"
        for line in lines
        if line.others
    )


# --- the section page ------------------------------------------------------------------


def _scores(
    spot: _Spot,
    players: Sequence[Player],
    choices: Choices,
    cells: int | None,
    *,
    whole_score: bool,
) -> tuple[tuple[SectionScore, ...], tuple[str, ...]]:
    columns = columns_of(spot.aligned, spot.lines, spot.inside, spot.low, spot.high)
    time = spot.aligned.bars[bisect_right(spot.aligned.starts, spot.low) - 1].time
    chords = chords_score(spot.lines, columns, time, spot.bar_words)
    short = cells is None and len(spot.lines) >= SHORT_FROM
    built = None if short else build_score(spot.lines, columns, time, spot.bar_words)
    together: SectionScore | None = None
    remarks: tuple[str, ...] = (_SHORT.format(len(spot.lines)),) if short else ()
    most = CELLS if cells is None else cells
    if choices.sizes and most > 0 and not short:
        guide = guide_of(spot.lines, spot.low, spot.high)
        windows = windows_of(spot.aligned, guide, max(choices.sizes), spot.low, spot.high)
        costs = [
            costs_of(spot.aligned, line.index, player.sheet)
            for line, player in zip(spot.lines, players, strict=True)
        ]
        together, remarks = cells_score(
            spot.aligned,
            spot.lines,
            hardest(windows, costs, most),
            spot.inside,
            ending=choices.ending,
            bar_words=spot.bar_words,
        )
    first, told = (
        spot_score(spot.aligned, spot.lines, spot.low, spot.high, spot.bar_words)
        if whole_score
        else (None, ())
    )
    made = (first, chords, built, together)
    return tuple(score for score in made if score is not None), (*told, *remarks)
