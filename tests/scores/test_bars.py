"""Every bar is full, as two independent readers count it, and tuplets close."""

from __future__ import annotations

import warnings
from fractions import Fraction
from itertools import pairwise

import pytest
from lxml import etree

from tests.scores.heard import NAMES, document, parsed, path_of

with warnings.catch_warnings():
    # a parser that partitura builds on imports a deprecated module of the standard library
    warnings.simplefilter("ignore", DeprecationWarning)
    import partitura

PICKUPS = {"march": Fraction(1), "air": Fraction(1), "swing": Fraction(3, 2)}


@pytest.mark.parametrize("name", NAMES)
def test_music21_finds_every_bar_full(name: str) -> None:
    for part in parsed(name).parts:
        bars = list(part.getElementsByClass("Measure"))
        assert [bar.number for bar in bars] == list(range(len(bars)))
        for bar in bars:
            full = Fraction(bar.barDuration.quarterLength)
            wanted = PICKUPS[name] if bar.number == 0 else full
            counted = sum(
                (Fraction(event.duration.quarterLength) for event in bar.notesAndRests), Fraction(0)
            )
            chords = sum(
                (Fraction(s.duration.quarterLength) for s in bar.getElementsByClass("ChordSymbol")),
                Fraction(0),
            )
            assert counted - chords == wanted, f"{part.partName}, bar {bar.number}"
            assert Fraction(bar.paddingLeft) == full - wanted


@pytest.mark.parametrize("name", NAMES)
def test_partitura_finds_every_bar_full(name: str) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # partitura warns about words that it does not know
        score = partitura.load_musicxml(str(path_of(name)))
    for part in score.parts:
        for number, bar in enumerate(part.iter_all(partitura.score.Measure)):
            events = part.iter_all(
                partitura.score.GenericNote, bar.start, bar.end, include_subclasses=True
            )
            filled = [
                (event.start.t, event.end.t)
                for event in events
                if not isinstance(event, partitura.score.GraceNote)
            ]
            edges = sorted(filled)
            assert edges[0][0] == bar.start.t, f"{part.part_name}, bar {number}"
            beats, unit = (int(value) for value in part.time_signature_map(bar.start.t)[:2])
            wanted = Fraction(beats * 4, unit) if number else PICKUPS[name]
            first, last = part.quarter_map([bar.start.t, bar.end.t])
            assert Fraction(last - first).limit_denominator(1000) == wanted
            assert edges[-1][1] == bar.end.t
            assert all(a[1] == b[0] for a, b in pairwise(edges))


@pytest.mark.parametrize("name", NAMES)
def test_each_length_is_its_value_with_dots_and_tuplet(name: str) -> None:
    """Values by the definition of ``note-type-value`` in MusicXML 4.0."""
    values: dict[str, Fraction | int] = {
        "whole": 4,
        "half": 2,
        "quarter": 1,
        "eighth": Fraction(1, 2),
        "16th": Fraction(1, 4),
    }
    for part in document(name).findall("part"):
        divisions = int(part.findtext("measure/attributes/divisions") or 0)
        for note in part.iterfind("measure/note"):
            kind = note.findtext("type")
            if kind is None or note.find("grace") is not None:
                assert (
                    note.find("grace") is not None or note.find("rest[@measure='yes']") is not None
                )
                continue
            dots = len(note.findall("dot"))
            length = values[kind] * (2 - Fraction(1, 2**dots))
            length *= Fraction(
                int(note.findtext("time-modification/normal-notes") or 1),
                int(note.findtext("time-modification/actual-notes") or 1),
            )
            assert length * divisions == int(note.findtext("duration") or 0)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("sign", ["tuplet", "slur", "tie", "wedge"])
def test_what_begins_ends(name: str, sign: str) -> None:
    for part in document(name).findall("part"):
        opened: set[str] = set()
        for element in part.iter(sign):
            number, kind = element.get("number", "1"), element.get("type")
            if kind == "stop":
                assert number in opened, _where(element)
                opened.remove(number)
            else:
                assert number not in opened, _where(element)
                opened.add(number)
        assert opened == set()


def _where(element: etree._Element) -> str:
    measure = next(element.iterancestors("measure"))
    part = next(element.iterancestors("part"))
    return f"{element.tag} in {part.get('id')}, bar {measure.get('number')}"


@pytest.mark.parametrize("name", NAMES)
def test_beams_are_whole(name: str) -> None:
    """Each level of beams is begun, carried on and ended by neighbours with enough flags."""
    flags = {"eighth": 1, "16th": 2}
    for part in document(name).findall("part"):
        for measure in part.findall("measure"):
            opened: set[str] = set()
            for note in measure.iterfind("note"):
                if note.find("grace") is not None:
                    continue
                beams = {beam.get("number", "1"): beam.text for beam in note.findall("beam")}
                assert len(beams) in (0, flags.get(note.findtext("type") or "", 0))
                for number, kind in beams.items():
                    assert (number in opened) == (kind in ("continue", "end")), _where(note)
                    if kind == "begin":
                        opened.add(number)
                    elif kind == "end":
                        opened.remove(number)
                assert opened <= beams.keys(), _where(note)
            assert opened == set()
