"""One score, or several files of single parts as one score."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from drills.errors import UsageError
from drills.jobs.folder import scores_in
from drills.music.score import Part
from drills.places.aligning import align
from drills.places.aligning.sharing import shared
from drills.reading.limits import Limits
from drills.reading.musicxml import ScoreFile, open_score, read_all
from drills.reading.partlist import PartEntry
from drills.reading.source import ScoreSource


@dataclass(frozen=True, slots=True)
class Gathered:
    """All parts of one piece, wherever they came from."""

    parts: tuple[Part, ...]
    entries: tuple[PartEntry, ...]
    """One for each part, numbered from 1."""
    where: str
    """How messages begin."""
    sources: tuple[ScoreSource, ...]
    """Files and typed bars, folders looked through."""
    remarks: tuple[str, ...] = ()
    """Where files disagree, and what their formats do not say."""

    @property
    def name(self) -> str:
        """What tells it from others, for the marks of files."""
        return " ".join(source.name for source in self.sources)

    @property
    def stem(self) -> str:
        """What files made from it are called where the music has no title."""
        return self.sources[0].stem


def gathered(sources: Sequence[ScoreSource], limits: Limits) -> Gathered:
    """Every part of the sources, those of several files laid on one time line.

    A folder stands for the scores in it.  Raises ReadError and UsageError.
    """
    found = tuple(one for source in sources for one in _looked_through(source))
    if not found:
        raise UsageError(f"{', '.join(map(str, sources))}: there is no score in it")
    scores = [open_score(source, limits) for source in found]
    if len(scores) == 1:
        only = scores[0]
        return Gathered(read_all(only), only.entries, only.where, found, only.remarks)
    names = _names(scores)
    parts = tuple(
        replace(part, name=name)
        for part, name in zip((p for score in scores for p in read_all(score)), names, strict=True)
    )
    aligned = align(parts)
    with_signs, disagreements = shared(aligned)
    entries = (entry for score in scores for entry in score.entries)
    told = dict.fromkeys(f"{score.where}: {remark}" for score in scores for remark in score.remarks)
    return Gathered(
        with_signs,
        tuple(
            replace(entry, number=number, name=name, part=number - 1)
            for number, (entry, name) in enumerate(zip(entries, names, strict=True), start=1)
        ),
        ", ".join(map(str, sources)),
        found,
        tuple(dict.fromkeys((*told, *aligned.remarks, *disagreements))),
    )


def _looked_through(source: ScoreSource) -> Sequence[ScoreSource]:
    return scores_in(source) if isinstance(source, Path) and source.is_dir() else (source,)


def _names(scores: Sequence[ScoreFile]) -> list[str]:
    """A name for each part: its own, its file's where it has none, both where two are alike."""
    rows = [(score, entry.name) for score in scores for entry in score.entries]
    own = [name if name and not _is_no_name(name) else score.path.stem for score, name in rows]
    count = Counter(own)
    told = [
        name if count[name] == 1 else f"{name} ({score.path.stem})"
        for name, (score, _) in zip(own, rows, strict=True)
    ]
    again = Counter(told)
    seen: Counter[str] = Counter()
    named = []
    for name in told:
        seen[name] += 1
        named.append(name if again[name] == 1 else f"{name} {seen[name]}")
    return named


def _is_no_name(name: str) -> bool:
    """True for what a reader or an exporter writes where a part has no name."""
    words = name.casefold().split()
    return words[0] in {"part", "music", "musicxml", "voice", "staff"} and len(words) <= 2
