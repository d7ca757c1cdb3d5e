"""A part written out whole and read again is the same part."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import music21
import pytest
from lxml import etree

from drills.errors import DrillsError
from drills.instruments.general_midi import drum_of
from drills.music.notes import Note
from drills.music.pitch import Unpitched
from drills.music.score import Bar, Part
from drills.output.musicxml.part import part_bytes
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_all
from tests.schema import complaints

ROOT = Path(__file__).parents[2]
SUITE = Path(music21.__file__).parent / "musicxml" / "lilypondTestSuite"
FILES = [*sorted((ROOT / "scores").glob("*.musicxml")), *sorted(SUITE.glob("*.xml"))]


def parts_of(path: Path) -> tuple[Part, ...]:
    try:
        return read_all(open_score(path, Limits()))
    except DrillsError:
        return ()


DRUMS_UNLIKE: Final = {"12ab-Clefs-Percussion-NonTrad"}
"""Pitches under a percussion clef that changes inside the part: read again, all are drums."""


def heard(bar: Bar) -> list[object]:
    """Attacks, lengths, pitches and drums: what no way of writing may change."""
    return [
        (event.start, event.length, *(_struck(event) if isinstance(event, Note) else ()))
        for voice in bar.voices
        for event in voice.events
    ]


def _struck(note: Note) -> tuple[object, bool]:
    """Its tones, and whether it is tied; a drum is its place and the key that sounds."""
    tones = [
        (tone.step, tone.octave, drum_of(tone)) if isinstance(tone, Unpitched) else tone
        for tone in note.tones
    ]
    return tones, note.tie_stop


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_written_and_read_again_it_is_the_same(path: Path, tmp_path: Path) -> None:
    for number, part in enumerate(parts_of(path)):
        file = tmp_path / f"{number}.musicxml"
        file.write_bytes(part_bytes(part))
        (again,) = read_all(open_score(file, Limits()))
        assert [bar.number for bar in again.bars] == [bar.number for bar in part.bars]
        if path.stem not in DRUMS_UNLIKE:
            assert [heard(bar) for bar in again.bars] == [heard(bar) for bar in part.bars]
        assert [bar.marks for bar in again.bars] == [bar.marks for bar in part.bars]


@pytest.mark.parametrize("path", FILES[:3], ids=lambda path: path.stem)
def test_it_is_music_xml_with_ids_for_bars_and_notes(path: Path) -> None:
    """Valid by the schema of MusicXML 4.0 (W3C), every bar and note named once."""
    for part in parts_of(path):
        root = etree.fromstring(part_bytes(part))
        assert complaints(part_bytes(part)) == []
        measures = [measure.get("id") for measure in root.iter("measure")]
        assert measures == [f"b{index}" for index in range(len(part.bars))]
        notes = [note.get("id") for note in root.iter("note") if note.get("id") is not None]
        assert len(notes) == len(set(notes)) > 0
