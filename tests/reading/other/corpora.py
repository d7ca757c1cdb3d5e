"""Fifty files of each format from the packages at hand, and readers that are not ours.

``test_corpora.py`` compares every eighth file, ``bench/corpora.py`` all of them.

ABC: the first tune of each of fifty files of music21's corpus, against music21's own reader
of ABC, which this program does not use.  Humdrum: fifty files of that corpus, against
partitura.  MEI: scores of the corpus written by Verovio, and the sample files of music21 and
partitura, against Verovio's time map or partitura.  MIDI: the same scores played by Verovio
and the primitives of music21's tests, against symusic.

Compared are attacks, in quarters from the start to the two hundredth (other readers count
in floats or ticks), without grace notes, in written pitch where the other reader knows no
transposition.  ``DIFFERENT`` names every file with a difference and tells why.
"""

from __future__ import annotations

import base64
import re
import warnings
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import music21
import symusic
import verovio

from tests.reading.other.attacks import Attacks, agreement, read_attacks

with warnings.catch_warnings():
    # a parser that partitura builds on imports a deprecated module of the standard library
    warnings.simplefilter("ignore", DeprecationWarning)
    import partitura

CORPUS = Path(music21.__file__).parent / "corpus"
COUNT = 50

Reader = Callable[[Path], Attacks]

_AS_HERE = (
    "music21 loses an accidental or a broken rhythm; abc2midi (Debian 20230208) reads it as here"
)
_DOTS = "music21 does not lengthen a note before a staccato dot (c>.d: ABC 2.1, 4.4)"
_BAR = "music21 forgets an accidental before the end of the bar (ABC 2.1, 4.2)"
_TIED = "Verovio's time map strikes tied notes again, and partitura cannot read the file"
_PLAYED = "not exactly on a grid, or drums: attacks are moved, and that is told"

DIFFERENT: dict[str, str] = {
    "00-ballad10.abc": _AS_HERE,
    "01-0001-0050.abc": _AS_HERE,
    "06-BillyTheKids.abc": _DOTS,
    "07-BonnieAnnieClog.abc": _AS_HERE,
    "10-CentennialHornpipe.abc": _AS_HERE,
    "11-ColumbiaHornpipe.abc": _AS_HERE,
    "15-EmpressClog.abc": _AS_HERE,
    "22-ImOerYoungToMarryYetStrathspey.abc": _AS_HERE,
    "29-MadameDelCarosHornpipe.abc": _DOTS,
    "35-NightingaleClog.abc": _BAR,
    "38-PalmettoHornpipe.abc": _BAR,
    "46-SwallowSloopOfWarReel.abc": _AS_HERE,
    "00-bwv1.mei": _TIED,
    "03-bwv124.mei": _TIED,
    "21-bwv281.mei": _TIED,
    "45-bwv72.mei": _TIED,
    **dict.fromkeys((f"test{n:02d}.mid" for n in (4, 5, 7, 9, 11, 16, 17)), _PLAYED),
}
"""Name of a file, and why another reader has other attacks there."""


@dataclass(frozen=True, slots=True)
class Compared:
    """A file as this program and the best of the other readers hear it."""

    name: str
    attacks: int
    agreement: float
    """Of 1: the share of attacks that both have."""

    @property
    def explained(self) -> bool:
        return self.agreement == 1 or self.name in DIFFERENT


def compared(kind: str, folder: Path, stride: int = 1) -> Iterator[Compared]:
    """Every so many of the fifty files of a kind, made in ``folder`` where they are made."""
    make, readers, written = _KINDS[kind]
    for path in make(folder, stride):
        ours = read_attacks(path, written=written)
        best = max((agreement(ours, found) for found in _each(readers, path)), default=0.0)
        yield Compared(path.name, sum(ours.values()), best)


def _abc(folder: Path, stride: int) -> Iterator[Path]:
    files = sorted(p for p in CORPUS.rglob("*.abc") if p.stat().st_size < 40_000)
    chosen = list(enumerate(files[:: len(files) // COUNT][:COUNT]))
    for number, file in chosen[::stride]:
        first = re.split(r"^(?=X:)", file.read_text("utf-8", "replace"), flags=re.MULTILINE)
        path = folder / f"{number:02d}-{file.stem}.abc"
        path.write_text(next(tune for tune in first if tune.startswith("X:")), "utf-8")
        yield path


def _humdrum(folder: Path, stride: int) -> Iterator[Path]:  # noqa: ARG001 - as the others
    files = sorted(p for p in CORPUS.rglob("*.krn") if p.stat().st_size < 5_000)
    yield from files[:: len(files) // COUNT][:COUNT][::stride]


def _mei(folder: Path, stride: int) -> Iterator[Path]:
    given = [
        *Path(partitura.__file__).parent.rglob("*.mei"),
        *Path(music21.__file__).parent.rglob("mei/test/notes*.mei"),
    ]
    yield from sorted(given)[::stride]
    for path, toolkit in _scores(folder, COUNT - len(given), stride):
        made = path.with_suffix(".mei")
        made.write_text(toolkit.getMEI(), "utf-8")
        yield made


def _midi(folder: Path, stride: int) -> Iterator[Path]:
    given = [
        path
        for path in sorted(Path(music21.__file__).parent.rglob("testPrimitive/*.mid"))
        if sum(_by_symusic(path).values())
    ]
    yield from given[::stride]
    for path, toolkit in _scores(folder, COUNT - len(given), stride):
        made = path.with_suffix(".mid")
        made.write_bytes(base64.b64decode(toolkit.renderToMIDI()))
        yield made


def _scores(folder: Path, count: int, stride: int) -> Iterator[tuple[Path, verovio.toolkit]]:
    """Small scores of the corpus, loaded by Verovio, each with a name for what is made of it."""
    verovio.enableLog(verovio.LOG_OFF)
    files = sorted(p for p in CORPUS.rglob("*.mxl") if p.stat().st_size < 8_000)
    chosen = list(enumerate(files[:: len(files) // count][:count]))
    for number, file in chosen[::stride]:
        toolkit = verovio.toolkit()
        toolkit.setOptions({"expandNever": True})
        assert toolkit.loadFile(str(file))
        yield folder / f"{number:02d}-{file.stem}", toolkit


def _each(readers: list[Reader], path: Path) -> Iterable[Attacks]:
    """What those of the readers say that can read the file."""
    for read in readers:
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                yield read(path)
        except Exception:
            continue


def _by_music21(path: Path) -> Attacks:
    found: Attacks = Counter()
    for part in music21.converter.parse(str(path), format="abc", forceSource=True).parts:
        for note in part.recurse().notes:
            if note.duration.isGrace or isinstance(note, music21.harmony.ChordSymbol):
                continue
            at = Fraction(note.getOffsetInHierarchy(part))
            for member in note.notes if note.isChord else [note]:
                if member.tie is None or member.tie.type == "start":
                    found[at, member.pitch.midi] += 1
    return found


def _by_partitura_kern(path: Path) -> Attacks:
    return _of_partitura(partitura.load_kern(str(path)))


def _by_partitura_mei(path: Path) -> Attacks:
    return _of_partitura(partitura.load_mei(str(path)))


def _of_partitura(score: partitura.score.Score) -> Attacks:
    found: Attacks = Counter()
    for part in score.parts:
        begins = part.quarter_map(0)
        for note in part.notes_tied:
            if not isinstance(note, partitura.score.GraceNote):
                at = float(part.quarter_map(note.start.t) - begins)
                found[Fraction(at).limit_denominator(2000), note.midi_pitch] += 1
    return found


def _by_verovio(path: Path) -> Attacks:
    toolkit = verovio.toolkit()
    toolkit.setOptions({"expandNever": True})
    assert toolkit.loadData(path.read_text("utf-8"))
    found: Attacks = Counter()
    for step in toolkit.renderToTimemap():
        at = Fraction(step["qstamp"]).limit_denominator(2000)
        for name in step.get("on", []):
            found[at, toolkit.getMIDIValuesForElement(name)["pitch"]] += 1
    return found


def _by_symusic(path: Path) -> Attacks:
    score = symusic.Score(str(path))
    return Counter(
        (Fraction(note.time, score.ticks_per_quarter), note.pitch)
        for track in score.tracks
        for note in track.notes
        if not track.is_drum
    )


_KINDS: dict[str, tuple[Callable[[Path, int], Iterator[Path]], list[Reader], bool]] = {
    "ABC": (_abc, [_by_music21], False),
    "Humdrum": (_humdrum, [_by_partitura_kern], False),
    "MEI": (_mei, [_by_verovio, _by_partitura_mei], True),
    "MIDI": (_midi, [_by_symusic], False),
}
"""Files, other readers, and whether these know no transposition."""
KINDS = tuple(_KINDS)
