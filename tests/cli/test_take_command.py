"""``drills take`` on the demo's music, sounded by computed tones."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pretty_midi
import pytest
import soundfile

from drills.cli import run
from drills.errors import UsageError
from drills.jobs.judged_take import reached
from drills.jobs.request import Settings
from drills.jobs.sheets import build_sheets
from drills.jobs.take_material import SPOT, Asked, asked_for, materials_of
from drills.jobs.takes import judge_takes
from drills.project.entries import Origin
from drills.project.log import log_path, read_entries
from drills.sheets.blocks import drill_words
from drills.sheets.choices import USUAL_MINUTES
from tests.listening.takes import RATE, Computed, Manner, Place, Written, make_take
from tests.output.pdf_text import page_texts

ROOT = Path(__file__).parents[2]
MARCH = ROOT / "scores" / "march.musicxml"
SPOT_29 = ("--part", "Clarinet 1", "--at", "29")
KEYS = (70, 69, 70, 74, 77, 76, 77, 68, 70, 72, 74, 71, 72, 80, 77, 74, 75)
"""Bar 29 of the first clarinet of the demo march as it sounds, read from the page."""
NOTES = tuple(
    Written(n / 4, 1.0 if n == 16 else 0.25, key, n % 4 != 0) for n, key in enumerate(KEYS)
)


@pytest.fixture(scope="module")
def recording(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bar once, at 92."""
    take = make_take(1, Computed(), Manner(bpm=92, jitter=0.005), Place(noise=30.0), written=NOTES)
    path = tmp_path_factory.mktemp("takes") / "evening.wav"
    soundfile.write(path, take.samples, RATE)
    return path


def test_the_verdict_in_words(recording: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["take", str(recording), str(MARCH), *SPOT_29]) == 0
    said = capsys.readouterr().out
    assert "All 17 notes were there." in said
    assert re.search(r"tempo quarter = (92\.[0-3]|91\.[789]) \(known to 0\.\d\), steady", said)
    assert "Stay on 92 until it goes like this five times in a row, then go on to " in said
    assert "equal values even" in said
    assert "pure tuning" not in said


def test_half_of_the_spot(recording: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Bar 29 of two bars that were asked for."""
    assert run(["take", str(recording), str(MARCH), "--part", "Clarinet 1", "--at", "29-30"]) == 0
    said = capsys.readouterr().out
    assert "You played bar 29. The 17 notes heard there were right" in said
    assert "missed" not in said


def test_data_fits_its_schema(recording: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["take", str(recording), str(MARCH), *SPOT_29, "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    schema = json.loads((ROOT / "docs" / "schema" / "take.json").read_text("utf-8"))
    jsonschema.Draft202012Validator(schema).validate(data)
    (take,) = data["takes"]
    (time,) = take["times"]
    assert [note["midi"] for note in time["notes"]] == list(KEYS)
    assert {note["call"] for note in time["notes"]} == {"right"}


def test_picture_and_midi(recording: Path, tmp_path: Path) -> None:
    """The MIDI file is read by pretty_midi, which shares no code with the writer."""
    picture = tmp_path / "take.pdf"
    command = ["take", str(recording), str(MARCH), *SPOT_29, "--picture", str(picture)]
    assert run([*command, "--also", "midi"]) == 0
    (words,) = page_texts(picture.read_bytes())
    for said in ("All 17 notes were there. Stay on 92", "60 late", "tempo 92", "Clarinet 1"):
        assert said.replace(" ", "") in words
    (part,) = pretty_midi.PrettyMIDI(str(recording.with_suffix(".mid"))).instruments
    assert [note.pitch for note in part.notes] == list(KEYS)
    recording.with_suffix(".mid").unlink()
    assert run([*command[:-1], str(tmp_path / "take.gif")]) == 2


def test_another_bar_is_refused(recording: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["take", str(recording), str(MARCH), "--part", "Clarinet 1", "--at", "33"]) == 0
    assert "not the spot" in capsys.readouterr().out


def test_cents_against_the_chord(recording: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Bar 29 is B flat seventh: its third is 5:4, 386.31 cents, its fifth 3:2, 701.96, its
    seventh 16:9, 996.09 (Helmholtz, On the Sensations of Tone, from memory)."""
    command = ["take", str(recording), str(MARCH), *SPOT_29, "--functions"]
    assert run([*command, "--json"]) == 0
    (take,) = json.loads(capsys.readouterr().out)["takes"]
    pure = {70: 0.0, 74: -13.69, 77: 1.96, 68: -3.91, 80: -3.91}
    told = [note for note in take["times"][0]["notes"][:-1] if note["pure_cents"] is not None]
    assert len(told) >= 5
    for note in told:
        assert note["cents"] - note["pure_cents"] == pytest.approx(pure[note["midi"]], abs=0.11)


def test_the_spot_at_another_pitch(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Played a major second (2 semitones) under what is written, one note of it wrong."""
    low = tuple(
        Written(n.at, n.length, n.key - 2 + (3 if i == 8 else 0)) for i, n in enumerate(NOTES)
    )
    take = make_take(4, Computed(), Manner(bpm=92, jitter=0.005), Place(noise=30.0), written=low)
    soundfile.write(tmp_path / "low.wav", take.samples, RATE)
    command = ["take", str(tmp_path / "low.wav"), str(MARCH), *SPOT_29]
    assert run(command) == 0
    said = capsys.readouterr().out
    assert "This is your spot, a tone lower." in said
    # read in B flat: sounding B flat is C on the page, three semitones over it E flat
    assert "note 9: Eb5 instead of C5" in said
    assert run([*command, "--json"]) == 0
    (judged,) = json.loads(capsys.readouterr().out)["takes"]
    assert judged["transposed"] == -2
    assert [note["midi"] for note in judged["times"][0]["notes"]] == list(KEYS)


def test_a_folder_is_a_table(
    recording: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("a.wav", "b.wav"):
        (tmp_path / name).write_bytes(recording.read_bytes())
    assert run(["take", str(tmp_path), str(MARCH), *SPOT_29]) == 0
    said = capsys.readouterr().out
    assert "recorded          right  tempo" in said
    assert len(re.findall(r"^2\d{3}-.*100 % .*[ab]\.wav$", said, re.MULTILINE)) == 2
    assert "The last one against the first:\nright notes: 100 % before, 100 % now" in said
    assert said.count("(the same to the ear)") == 2


def test_what_cannot_be_asked(recording: Path, tmp_path: Path) -> None:
    assert run(["take", str(recording), str(MARCH), "--part", "Clarinet 1"]) == 2
    assert run(["take", str(tmp_path / "no.wav"), str(MARCH), *SPOT_29]) == 3
    assert run(["take", str(tmp_path), str(MARCH), *SPOT_29]) == 3
    assert run(["take", str(recording), str(MARCH), *SPOT_29, "--drill", "nothing"]) == 2
    plan = tmp_path / "plan.json"
    plan.write_text("{}")
    assert run(["take", str(recording), str(MARCH), *SPOT_29, "--practice", str(plan)]) == 3


def _practice(plan: dict[str, Any], broken: int, higher: int) -> Iterator[tuple[float, np.ndarray]]:
    """What somebody plays to a plan: clean, but on one rung two notes are wrong."""
    (spot,) = plan["spots"]
    for number, stage in enumerate(spot["files"][0]["stages"]):
        bpm = float(stage["tempo"]["number"])
        for again, time in enumerate(stage["times"]):
            notes = tuple(
                Written(
                    n.at,
                    n.length,
                    n.key + higher + (2 if number == broken and i in (6, 11) else 0),
                )
                for i, n in enumerate(NOTES)
            )
            seed = 100 * number + again
            take = make_take(
                seed, Computed(), Manner(bpm=bpm, jitter=0.006), Place(), written=notes
            )
            yield time["seconds"] - take.start, take.samples


@pytest.mark.parametrize(
    ("plan", "times", "higher"),
    [("plan.json", "1", 0), ("practice.flac", "1", 0), ("plan.json", "1", -2), ("", "1", 0)],
)
def test_a_practice_has_a_verdict_for_every_rung(
    plan: str, times: str, higher: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Three rungs; the third breaks at notes 7 and 12.  Marks do not tell the times through;
    without a plan the recording itself tells the rungs."""
    asked = ["click", str(MARCH), *SPOT_29, "--start", "84", "--tempo", "112", "--rungs", "3"]
    assert run([*asked, "--times", times, "--json"]) == 0
    text = capsys.readouterr().out
    (tmp_path / "plan.json").write_text(text)
    assert run([*asked, "--times", times, "-o", str(tmp_path / "practice.flac")]) == 0
    late = 0.8  # the recorder was started a moment before the practice sound
    pieces = list(_practice(json.loads(text), 2, higher))
    end = max(at + len(piece) / RATE for at, piece in pieces)
    samples = np.zeros(int((end + late + 1) * RATE))
    for at, piece in pieces:
        begin = int((at + late) * RATE)
        samples[begin : begin + len(piece)] += piece
    soundfile.write(tmp_path / "evening.wav", samples, RATE)
    (take,) = judge_takes(
        [tmp_path / "evening.wav"],
        MARCH,
        Asked("29", "Clarinet 1", practice=tmp_path / plan if plan else None),
        Settings(),
    )
    assert take.transposed == higher
    assert [rung.words for rung in take.rungs] == ["84", "100", "112"]
    assert [rung.clean for rung in take.rungs] == [True, True, False]
    assert "notes 7 and 12 break it. Stay on " in take.sentence
    if plan.endswith("json"):
        assert take.rungs[0].against_click == pytest.approx(0, abs=8)
    row = reached(take)
    assert row is not None
    assert (row.spot, row.block) == ("29", SPOT)
    assert row.number == pytest.approx(float(take.rungs[1].words), rel=0.02)
    assert row.right == 1.0


def test_what_was_reached_goes_into_the_log(
    recording: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Once for each take, on the day on which it was recorded; for a spot of the book only."""
    book = tmp_path / "spring.toml"
    book.write_text(
        f'[[part]]\nfile = "{MARCH.as_posix()}"\npart = "Clarinet 1"\n[[part.spot]]\nat = "29"\n'
    )
    command = ["take", str(recording), str(MARCH), "--part", "2", "--at"]
    assert run([*command, "29", "--log", str(book)]) == 0
    (entry,) = read_entries(log_path(book))
    assert entry.said.number == Fraction(92)
    assert entry.said.right == 1
    assert entry.said.origin is Origin.TAKE
    assert entry.said.at.timestamp() == pytest.approx(recording.stat().st_mtime, abs=1)
    capsys.readouterr()
    assert run([*command, "29", "--log", str(book)]) == 0
    assert "it is there already" in capsys.readouterr().err
    assert len(read_entries(log_path(book))) == 1


def test_a_drill_is_counted_on_the_page_that_was_printed() -> None:
    """The page of a quarter of an hour has other drills than the sheet with everything: on it
    are the beats, each into the next, and the third drill is not the third of all."""
    settings = Settings()
    page = build_sheets(
        MARCH,
        ["29"],
        "Clarinet 1",
        replace(settings, choices=replace(settings.choices, minutes=USUAL_MINUTES)),
    )
    printed = [
        drill_words(block, drill)
        for block in page.sheets[0].blocks
        if block.printed
        for drill in block.drills
    ]
    _, materials = materials_of(MARCH, Asked("29", "Clarinet 1", "#3"), settings)
    for number, what in enumerate(printed, 1):
        (found,) = asked_for(materials, f"#{number}")
        assert found.what == what
        assert asked_for(materials, what) == (found,)
    with pytest.raises(UsageError, match="no drill"):
        asked_for(materials, f"#{len(printed) + 1}")
    assert [one.what for one in asked_for(materials, "Two notes at a time, 4-5")]
