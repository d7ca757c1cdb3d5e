"""How often chords read from notes are those that people name: the tables and the picture here.

    .venv/bin/python docs/harmony/measure.py [FOLDER]

FOLDER holds analyses in RomanText for the pieces that music21's corpus has without one (see
tests/harmony/split.py); without it they are left out.  Rewrites ``agreement.md`` and
``calibration.png``.  Takes some minutes: music21 reads every score.
"""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Final

import matplotlib.pyplot as plt
from music21 import corpus

from tests.harmony.agreement import Compared, compared, rates
from tests.harmony.corpus import analysed_chorale, madrigal, piece
from tests.harmony.numerals import analysis
from tests.harmony.split import CHORALES, KINDS, MADRIGALS, OTHERS

HERE: Final = Path(__file__).parent
HALVES: Final = ("development", "test")
MOST: Final = 25
NAMES: Final = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
CHORDS: Final = {
    frozenset((0, 4, 7)): "",
    frozenset((0, 3, 7)): "m",
    frozenset((0, 3, 6)): "dim",
    frozenset((0, 4, 8)): "+",
    frozenset((0, 4, 7, 10)): "7",
    frozenset((0, 3, 7, 10)): "m7",
    frozenset((0, 4, 7, 11)): "maj7",
    frozenset((0, 3, 6, 10)): "m7(b5)",
    frozenset((0, 3, 6, 9)): "dim7",
}
Collections = dict[str, list[Compared]]


def gathered(half: str, folder: Path | None) -> Collections:
    """Every stretch of every piece of one half, by collection."""
    found: defaultdict[str, list[Compared]] = defaultdict(list)
    for number in CHORALES[half]:
        found["chorales"] += compared(*analysed_chorale(number))
    for name in MADRIGALS[half]:
        found["madrigals"] += compared(*madrigal(name))
    if folder is None:
        return dict(found)
    for name, where in OTHERS[half].items():
        text = (folder / f"{name}.txt").read_text(encoding="utf-8")
        score = corpus.parse(where)
        own = piece(name, score)
        found[KINDS[name]] += compared(own, analysis(text, score, own))
    return dict(found)


def table(halves: Mapping[str, Collections]) -> Iterator[str]:
    """Rows of Markdown: what agrees, by half and collection."""
    yield "| half | collection | quarters | root | root and triad | all tones |"
    yield "| --- | --- | --- | --- | --- | --- |"
    for half, collections in halves.items():
        everything = [one for row in collections.values() for one in row]
        for name, row in (*collections.items(), ("**all**", everything)):
            lasts = float(sum(one.end - one.start for one in row))
            told = " | ".join(f"{rate:.3f}" for rate in rates(row))
            yield f"| {half} | {name} | {lasts:.0f} | {told} |"


def by_kind(row: Sequence[Compared]) -> Iterator[str]:
    """Rows of Markdown: what agrees, by the kind of chord that the analysis names."""
    kinds: defaultdict[str, list[Compared]] = defaultdict(list)
    for one in row:
        kinds[_kind(one)].append(one)
    whole = float(sum(one.end - one.start for one in row))
    yield "| people name | share | root | all tones |"
    yield "| --- | --- | --- | --- |"
    for kind, own in sorted(kinds.items(), key=lambda pair: -_lasts(pair[1])):
        root, _, tones = rates(own)
        yield f"| C{kind} | {_lasts(own) / whole:.3f} | {root:.3f} | {tones:.3f} |"


def _lasts(row: Sequence[Compared]) -> float:
    return float(sum(one.end - one.start for one in row))


def _kind(one: Compared) -> str:
    above = frozenset((semitone - one.wanted.root) % 12 for semitone in one.wanted.classes)
    return CHORDS.get(above, " with other tones")


def confusions(row: Sequence[Compared]) -> Iterator[str]:
    """Rows of Markdown: what is read most often for what, as if the analysis named a chord on C."""
    mistaken: Counter[tuple[str, str]] = Counter()
    for one in row:
        if one.has_all:
            continue
        root = one.read.chord.root
        read = "no chord"
        if root is not None:
            name = NAMES[(root.semitone - one.wanted.root) % 12]
            read = f"{name}{one.read.chord.suffix}"
        mistaken[_kind(one), read] += one.end - one.start  # type: ignore[assignment]
    whole = _lasts(row)
    yield "| people name | read | share of time |"
    yield "| --- | --- | --- |"
    for (kind, read), lasts in mistaken.most_common(MOST):
        yield f"| C{kind} | {read} | {float(lasts) / whole:.4f} |"


def calibration(halves: Mapping[str, Collections]) -> Iterator[str]:
    """Draw how often what is said with some certainty is right; rows of Markdown of the same."""
    figure, axes = plt.subplots(figsize=(5, 5), dpi=110)
    axes.plot((0.4, 1), (0.4, 1), color="0.7")
    yield "| certainty | share, test | root, test | root and triad, test |"
    yield "| --- | --- | --- | --- |"
    for half, mark in zip(halves, ("o", "s"), strict=True):
        row = [one for own in halves[half].values() for one in own if one.read.chord.root]
        points = []
        for low in range(4, 10):
            own = [one for one in row if low <= 10 * one.read.chord.certainty < low + 1]
            if not own:
                continue
            root, triad, _ = rates(own)
            said = float(sum(x.read.chord.certainty * (x.end - x.start) for x in own)) / _lasts(own)
            points.append((said, triad))
            if half == "test":
                share = _lasts(own) / _lasts(row)
                yield f"| 0.{low} to 0.{low}9 | {share:.3f} | {root:.3f} | {triad:.3f} |"
        axes.plot(*zip(*points, strict=True), mark + "-", label=half)
    axes.set_xlabel("certainty that is said")
    axes.set_ylabel("share with the root and triad that people name")
    axes.legend()
    figure.tight_layout()
    figure.savefig(HERE / "calibration.png", metadata={"Software": None})


def page(halves: Mapping[str, Collections]) -> str:
    """The whole page."""
    test = [one for row in halves["test"].values() for one in row]
    parts = (
        "# How often chords read from notes are those that people name\n",
        "Made by `docs/harmony/measure.py`; which pieces are which half, and whose analyses they",
        "are, stands in `tests/harmony/split.py`. Shares are of time. Constants were chosen on the",
        "development half. The test half is measured again whenever the reading changes; nothing",
        "is chosen by it.\n",
        *table(halves),
        "\n## By kind of chord, test half\n",
        *by_kind(test),
        "\n## Certainty\n",
        "Below 0.75 a chord is printed with a question mark, below 0.5 nothing is said of what a",
        "note is in it.\n",
        *calibration(halves),
        "\n![How often what is said with some certainty is right](calibration.png)\n",
        "## What is read for what, test half\n",
        "The chord of the analysis is moved to C, and what was read with it.\n",
        *confusions(test),
    )
    return "\n".join(parts) + "\n"


def main() -> None:
    """Measure and write."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else None
    halves = {half: gathered(half, folder) for half in HALVES}
    (HERE / "agreement.md").write_text(page(halves), encoding="utf-8")


if __name__ == "__main__":
    main()
