"""Names for the parts of several files, so that each is told from the others."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from drills.reading.musicxml import ScoreFile


def distinct_names(scores: Sequence[ScoreFile]) -> list[str]:
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
