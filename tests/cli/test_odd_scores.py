"""Music that is not even wrong, as a player runs the program on it."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from lxml import etree

from drills.jobs.book import build_book
from drills.jobs.request import Settings
from drills.project.book import read_book
from drills.reading import musicxml
from drills.reading.harvest import SideData, harvest
from tests.cli.music import Player
from tests.cli.music import score as usual_score
from tests.reading.made import attributes, bar, note, scale_bar, score

BACK = "<backup><duration>8</duration></backup>"
DRUM = (
    "<note><unpitched><display-step>E</display-step><display-octave>4</display-octave>"
    "</unpitched><duration>2</duration><voice>1</voice><type>quarter</type></note>"
)


def dotted_halves() -> str:
    """6/8 in which nothing is shorter than the bar."""
    dotted = {"inside": "<dot/>"}
    bars = [note(pitch, 3, "half", **dotted) for pitch in ("C5", "G5", "A4", "D6")]
    first = attributes(1, "6/8") + bars[0]
    return score(bar(first) + "".join(bar(b, str(n)) for n, b in enumerate(bars[1:], 2)))


def silent_second_voice() -> str:
    """Two bars in which a second voice plays, and one in which it does not."""
    low = BACK + note("E4", 4, "half", voice="2") * 2
    return score(
        bar(attributes() + note() * 4 + low)
        + bar(note("D5") * 4 + low, "2")
        + bar(note("D5") * 4, "3")
    )


def drum_after_b_flat() -> str:
    """A clarinet's B flat, which has several fingerings, and a drum after it."""
    beats = note("A4") + note("Bb4") + DRUM + note("F#5")
    return score(bar(attributes() + beats) + bar(beats, "2"), names=("Clarinet in B flat",))


def two_fractions() -> str:
    """2/4 + 3/8, written as two pairs of numbers (MusicXML 4.0, element time)."""
    pairs = "<beats>2</beats><beat-type>4</beat-type><beats>3</beats><beat-type>8</beat-type>"
    signs = attributes().replace("<beats>4</beats><beat-type>4</beat-type>", pairs)
    beats = note("C5") + note("E5") + note("G5", 1, "eighth") * 3
    return score(bar(signs + beats) + bar(beats, "2"))


def bass_altered_by_four() -> str:
    symbol = (
        "<harmony><root><root-step>C</root-step></root><kind>major</kind><bass>"
        "<bass-step>E</bass-step><bass-alter>4</bass-alter></bass></harmony>"
    )
    return score(bar(attributes() + symbol + note("C5") * 4))


SHEET = ("sheet", "--tempo", "120", "-o", "page.ly")


@pytest.mark.parametrize(
    ("music", "call"),
    [
        (dotted_halves, ("spots", "--tempo", "120")),
        (silent_second_voice, (*SHEET, "--voice", "2", "--at", "2-3@1")),
        (drum_after_b_flat, ("spots", "--tempo", "200")),
        (drum_after_b_flat, (*SHEET, "--at", "1-2", "--order", "hardest")),
        (two_fractions, (*SHEET, "--at", "1-2", "--also", "musicxml")),
        (bass_altered_by_four, (*SHEET, "--at", "1", "--functions")),
    ],
)
def test_it_is_read_and_drilled(
    player: Player, music: Callable[[], str], call: tuple[str, ...]
) -> None:
    player.write("odd.musicxml", music())
    command, *options = call
    done = player.run(command, "odd.musicxml", *options)
    assert (done.returncode, done.stderr.count("mistake in drills")) == (0, 0), done.stderr


@pytest.mark.skipif(sys.platform != "linux", reason="names are bytes on Linux")
@pytest.mark.parametrize("ending", [".wav", ".mid", ".ly"])
def test_a_name_that_is_not_utf_8(player: Player, ending: str) -> None:
    name = os.fsdecode(b"n\xe4chste")
    player.write(f"{name}.musicxml", score(scale_bar()))
    command = "sheet" if ending == ".ly" else "click"
    call = (command, f"{name}.musicxml", "--at", "1", "--tempo", "120", "-o", f"{name}{ending}")
    done = player.run(*call)
    assert done.returncode == 0, done.stderr


def test_a_book_reads_a_score_once_however_many_parts_it_has(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    names = ("Flute", "Oboe", "Clarinet 1", "Clarinet 2")
    (tmp_path / "suite.musicxml").write_text(usual_score("Suite", names), encoding="utf-8")
    entry = '[[part]]\nfile = "suite.musicxml"\npart = "{}"\n[[part.spot]]\nat = "1"\n'
    book = tmp_path / "spring.toml"
    book.write_text("".join(entry.format(name) for name in names), encoding="utf-8")
    count = []

    def counted(root: etree._Element, where: str) -> SideData:
        count.append(1)
        return harvest(root, where)

    monkeypatch.setattr(musicxml, "harvest", counted)
    assert len(build_book(read_book(book), Settings()).sheets) == len(names)
    assert len(count) == 1
