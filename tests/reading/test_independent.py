"""Other readers say the same: plain lxml for everything, partitura for a sample.

Compared are the printed notes with bar, place in the bar, written pitch, length
and whether they are struck.  The files are those that music21 carries: the
MusicXML test suite of the LilyPond project and music21's corpus.  A file's own
rounding of tuplets is allowed for; every other difference has its reason below.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import music21
import pytest

from drills.music.notes import Note
from drills.music.pitch import Pitch
from drills.music.score import Part
from drills.reading.musicxml import open_score, read_all
from tests.reading.plain import PlainNote, plain_notes

if TYPE_CHECKING:
    from partitura.score import Part as PartituraPart

PACKAGE = Path(music21.__file__).parent
SUITE = sorted(
    path
    for path in (PACKAGE / "musicxml" / "lilypondTestSuite").iterdir()
    if path.suffix in (".xml", ".mxl")
)
CORPUS = sorted(
    path for path in (PACKAGE / "corpus").rglob("*") if path.suffix in (".xml", ".mxl", ".musicxml")
)
ROUNDING = Fraction(1, 16)
"""What whole divisions may be off, added up over a bar, in quarters."""

DIFFERENT = {
    ("opus18no1/movement1.mxl", 0): "bar 169 is overfull: a dotted 16th counted as an eighth",
    ("opus41no1/movement1.mxl", 2): "17 divisions of a quarter: all values are rounded",
    ("opus41no1/movement4.mxl", 0): "played lengths without a note value, such as 1483/384",
    ("opus41no1/movement4.mxl", 3): "played lengths that only two tied notes can write",
    ("trecento/PMFC_24_17", 2): "one division of a quarter: dotted quarters count as halves",
    ("trecento/PMFC_24_17", 3): "one division of a quarter: dotted quarters count as halves",
    ("trecento/PMFC_13_17", 1): "a chord has the same tone twice",
    ("lilypondTestSuite/71e-TabStaves.xml", 3): "a chord has the same tone twice, on two strings",
}
"""Parts (by the end of the path and the part's index) where we differ, and why."""


def our_notes(
    parts: Iterable[tuple[tuple[int, int], Part]],
) -> dict[tuple[int, int], list[PlainNote]]:
    found: dict[tuple[int, int], list[PlainNote]] = {}
    for place, part in parts:
        for bar in part.bars:
            for event in (event for voice in bar.voices for event in voice.events):
                if isinstance(event, Note) and not event.hidden:
                    for tone in event.tones:
                        alter = float(tone.alter) if isinstance(tone, Pitch) else 0
                        found.setdefault(place, []).append(
                            PlainNote(
                                bar.index,
                                event.start.quarters,
                                f"{tone.step}{tone.octave} {alter:g}",
                                event.length.quarters,
                                event.is_attack,
                            )
                        )
    return found


def read_ours(path: Path) -> dict[tuple[int, int], list[PlainNote]]:
    score = open_score(path)
    places = [(entry.part, entry.staff) for entry in score.entries]
    return our_notes(zip(places, read_all(score), strict=True))


def alike(one: PlainNote, other: PlainNote) -> bool:
    return (
        (one.bar, one.pitch) == (other.bar, other.pitch)
        and abs(one.start - other.start) <= ROUNDING
        and abs(one.length - other.length) <= ROUNDING
    )


def held_from_nothing(note: PlainNote, notes: list[PlainNote]) -> bool:
    """True where no note of that pitch ends as this one starts: a tie that leads from nowhere."""
    before = [other for other in notes if other.pitch == note.pitch]
    if note.start > 0:
        here = [other for other in before if other.bar == note.bar]
        return all(abs(other.start + other.length - note.start) > ROUNDING for other in here)
    bar = [other for other in notes if other.bar == note.bar - 1]
    end = max((other.start + other.length for other in bar), default=Fraction(0))
    last = [other for other in before if other.bar == note.bar - 1]
    return all(other.start + other.length < end for other in last)


def differences(theirs: list[PlainNote], ours: list[PlainNote]) -> list[str]:
    """What is not alike, as texts."""

    def by_place(note: PlainNote) -> tuple[int, str, Fraction, bool]:
        return note.bar, note.pitch, note.start, note.attack

    if len(theirs) != len(ours):
        return [f"{len(theirs)} notes there, {len(ours)} here"]
    found = []
    pairs = zip(sorted(theirs, key=by_place), sorted(ours, key=by_place), strict=True)
    for one, other in pairs:
        if not alike(one, other):
            found.append(f"{one} there, {other} here")
        elif one.attack != other.attack and not (other.attack and held_from_nothing(one, theirs)):
            found.append(f"{one} there, {other} here: struck or held")
    return found


def known(path: Path, part: int) -> str | None:
    text = path.as_posix()
    return next((why for (end, at), why in DIFFERENT.items() if end in text and at == part), None)


def compared(path: Path) -> dict[tuple[int, int], list[str]]:
    """The differences of every staff, apart from those that are known."""
    theirs, ours = plain_notes(path), read_ours(path)
    found = {}
    for place in sorted(theirs.keys() | ours.keys()):
        if known(path, place[0]) is None:
            different = differences(theirs.get(place, []), ours.get(place, []))
            if different:
                found[place] = different[:3]
    return found


@pytest.mark.parametrize("path", SUITE, ids=lambda path: path.name)
def test_the_suite_as_plain_lxml_reads_it(path: Path) -> None:
    assert compared(path) == {}


@pytest.mark.parametrize("chunk", range(4))
def test_a_sample_of_the_corpus_as_plain_lxml_reads_it(chunk: int) -> None:
    special = [path for path in CORPUS if any(end in path.as_posix() for end, _ in DIFFERENT)]
    sample = [*CORPUS[::12], *special]
    assert {path.name: compared(path) for path in sample[chunk::4] if compared(path)} == {}


@pytest.mark.parametrize(("end", "part"), DIFFERENT)
def test_every_known_difference_is_one(end: str, part: int) -> None:
    path = next(path for path in [*CORPUS, *SUITE] if end in path.as_posix())
    theirs, ours = plain_notes(path), read_ours(path)
    assert differences(theirs[part, 1], ours[part, 1])


PARTITURA_DIFFERENT = {
    "01d-Pitches-Microtones.xml": "partitura rounds quarter tones to whole semitones",
    "01f-Pitches-EditorialMicrotoneAccidentals.xml": "partitura does not know quarter tones",
    "41c-StaffGroups.xml": "partitura leaves out the last part",
    "73a-Percussion.xml": "partitura keeps unpitched notes apart",
    "opus59no2/movement2.mxl": "partitura counts notes that are not printed",
    "schumann_robert/opus48no2.mxl": "partitura counts notes that are not printed",
    "PMFC_13_04-Credo Cursor.xml": "partitura takes an editorial sharp over a note as its pitch",
}
"""Files (by the end of the path) where partitura says otherwise, and why."""
ENDS = (*(end for end, _ in DIFFERENT), *PARTITURA_DIFFERENT)
FOR_PARTITURA = [
    path
    for path in [*SUITE[::3], *CORPUS[5::60]]
    if not any(end in path.as_posix() for end in ENDS)
]


def partitura_notes(path: Path) -> list[tuple[int, Fraction, str, Fraction]]:
    """Bar, place, pitch and length of every note as partitura reads them."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import partitura  # noqa: PLC0415  # it warns while it is imported

        score = partitura.load_musicxml(path, force_note_ids=False)
    return [
        found
        for part in score.parts
        for found in _notes_of(part, [measure.start.t for measure in part.measures])
    ]


def _notes_of(
    part: PartituraPart, bars: list[int]
) -> Iterable[tuple[int, Fraction, str, Fraction]]:
    quarters = part.quarter_map
    for note in part.notes:
        if type(note).__name__ == "GraceNote":
            continue
        bar = max(place for place, start in enumerate(bars) if start <= note.start.t)
        start = Fraction(float(quarters(note.start.t) - quarters(bars[bar])))
        length = Fraction(float(quarters(note.end.t) - quarters(note.start.t)))
        step = getattr(note, "step", "B")
        alter = float(getattr(note, "alter", 0) or 0)
        yield bar, start, f"{step}{note.octave} {alter:g}", length


def partitura_agrees(path: Path) -> bool:
    theirs = sorted(
        (bar, pitch, start, length) for bar, start, pitch, length in partitura_notes(path)
    )
    ours = sorted(
        (note.bar, note.pitch, note.start, note.length)
        for notes in read_ours(path).values()
        for note in notes
    )
    return len(theirs) == len(ours) and all(
        one[:2] == other[:2]
        and abs(one[2] - other[2]) <= ROUNDING
        and abs(one[3] - other[3]) <= ROUNDING
        for one, other in zip(theirs, ours, strict=True)
    )


@pytest.mark.parametrize("path", FOR_PARTITURA, ids=lambda path: path.name)
def test_a_sample_as_partitura_reads_it(path: Path) -> None:
    assert partitura_agrees(path)


@pytest.mark.parametrize("end", PARTITURA_DIFFERENT)
def test_every_known_difference_from_partitura_is_one(end: str) -> None:
    path = next(path for path in [*CORPUS, *SUITE] if path.as_posix().endswith(end))
    if end.startswith("01f"):
        with pytest.raises(KeyError, match="quarter-flat"):
            partitura_notes(path)
    else:
        assert not partitura_agrees(path)
