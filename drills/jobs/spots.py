"""From a score to its hard spots: what ``drills spots`` shows and a sheet may take up.

    ranking = rank_part(Path("march.musicxml"), "Clarinet 1", Judging())
    ranking.spots[0].span.asked

Apart from build.py, which prints: a ranking needs no engraver.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path

from drills.effort.demand import VoiceDemand, demand_of
from drills.effort.moves import Move, cost_of_tones, instrument_for
from drills.effort.settings import Judgement
from drills.effort.suggest import HardSpot, hard_spots
from drills.errors import UsageError
from drills.instruments.judged import EffortInstrument
from drills.music.lines import bar_starts
from drills.music.pitch import Pitch
from drills.music.score import Part
from drills.output.files import OutputFile, check_place, made_from
from drills.output.pictures import marked_png, marked_svg
from drills.places.finding import Span
from drills.places.tempos import AskedTempo
from drills.reading.given import NOTHING_GIVEN, Given
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_part
from drills.reading.source import ScoreSource
from drills.sheets.metre_changes import metre_remarks

PLOTS = (".svg", ".png")
TOP = 10
"""Spots that are shown unless the player asks for more or fewer."""


@dataclass(frozen=True, slots=True)
class Judging:
    """By what a part is judged."""

    voice: str = ""
    """The one with most notes unless given."""
    instrument: str | None = None
    """A name that holds in place of the score's."""
    tempo: AskedTempo | None = None
    """The score's unless given."""
    judgement: Judgement = field(default_factory=Judgement)


@dataclass(frozen=True, slots=True)
class Ranking:
    """A part with its hard spots."""

    judged: VoiceDemand
    spots: tuple[HardSpot, ...]
    """The hardest first."""


def rank_part(
    score: ScoreSource,
    part: str | None,
    how: Judging,
    *,
    top: int | None = TOP,
    limits: Limits | None = None,
    given: Given = NOTHING_GIVEN,
    tell: Callable[[str], None] = lambda _: None,
) -> Ranking:
    """The ``top`` hard spots of a part of a score, or all.

    ``part`` is a name or number, None where the score has one part.  Raises
    ReadError, UsageError, and PlaceError for a voice that the part has not.
    """
    tell(f"reading {score}")
    music = read_part(open_score(score, limits or Limits(), given), part)
    tell(f"judging {music.name or score}")
    return rank(music, how, top=top)


def rank(
    part: Part, how: Judging, *, top: int | None = None, marked: Sequence[Span] = ()
) -> Ranking:
    """The hard spots of a part, without those that the player ``marked``."""
    judged = demand_of(
        part,
        how.voice,
        instrument=how.instrument,
        tempo=how.tempo,
        judgement=how.judgement,
    )
    told = metre_remarks(part, how.tempo, Fraction(0), max(bar_starts(part), default=Fraction(0)))
    judged = replace(judged, remarks=(*judged.remarks, *told))
    return Ranking(judged, hard_spots(judged, top, marked))


def plotted(ranking: Ranking, path: Path, *, force: bool = False) -> OutputFile:
    """The picture of a ranking as a file to write: SVG or PNG by the ending of ``path``.

    Raises UsageError for another ending, WriteError for a file that is not ours.
    """
    part = ranking.judged.part
    kind = path.suffix.lower()
    if kind not in PLOTS:
        raise UsageError(f"--plot {path}: end the name in {' or '.join(PLOTS)}")
    mark = made_from(part.source, part.name, ["plot"], part.credits.title)
    check_place(path, mark, force, [Path(part.source)])
    from drills.output.plot import plot_page, png_bytes, svg_bytes  # noqa: PLC0415 - a plot is rare

    titles = (part.credits.title, part.name or part.source)
    page = plot_page(ranking.judged, ranking.spots, ", ".join(filter(None, titles)))
    if kind == ".svg":
        return OutputFile(path, marked_svg(svg_bytes(page), mark), mark)
    return OutputFile(path, marked_png(png_bytes(page), mark), mark)


def cost_of_notes(notes: str, instrument: str) -> tuple[EffortInstrument, tuple[Move, ...]]:
    """The moves of a few written notes, such as "D4 D5"; raises UsageError for what is no note."""
    words = notes.replace(",", " ").split()
    try:
        tones = [Pitch.parse(word) for word in words]
    except ValueError as error:
        raise UsageError(f"{notes!r}: {error}") from error
    if len(tones) < 2:
        raise UsageError(f"{notes!r}: a move needs two notes, such as D4 D5")
    found = instrument_for(instrument)
    return found, cost_of_tones(tones, found)
