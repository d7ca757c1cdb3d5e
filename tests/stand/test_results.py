"""What the page gives is byte for byte what the command line writes.

A sheet and a sound are made to their ends by both.  For twenty spots, what is asked of
the engraver, of the maker of samples and of the listener is compared: each is a function of what
it is given (tested in tests/output and tests/listening), so in their place stands one that
writes down its arguments, and takes no time.  ``bench/stand.py equal`` does it all for real.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import shutil
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pikepdf
import pytest
import soundfile
from click.testing import CliRunner

from drills.cli import drills
from drills.listening import played, sound_file
from drills.listening.onsets import Attack
from drills.listening.played import Played, PlayedNote
from drills.listening.spectra import Floats
from drills.listening.states import NOTE
from drills.listening.wanted import Wanted
from drills.music.score import Part
from drills.output import audio, engrave
from drills.output.engrave import Engraved
from drills.reading import musicxml
from drills.resources import scores_folder
from drills.sheets import making
from drills.stand import lesson_tasks, sheet_tasks, take_tasks
from drills.stand.bounds import TAKES
from drills.stand.wishes import Words
from tests.stand.standing import MARCH
from tests.stand.take_sound import opened_here

AIR = "air.musicxml"
SPOTS = [("2", bar) for bar in (9, 11, 18, 23, 25, 27, 28, 29, 31, 32, 33, 35)] + [
    ("4", bar) for bar in (9, 11, 18, 25, 28, 29, 31, 33)
]


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for path in scores_folder().glob("*.musicxml"):
        shutil.copy(path, tmp_path)
    monkeypatch.chdir(tmp_path)


def tell(_: str) -> None:
    pass


def command(*words: str) -> str:
    done = CliRunner().invoke(drills, [*words, "--quiet"])
    assert done.exit_code == 0, done.output
    return done.stdout


CHOSEN: list[tuple[str, str, Words, list[str]]] = [
    (
        "4",
        "D-D:2",
        {"student": "yes", "staff_size": "18", "landing": "no", "rhythm": ["dotted"], "all": "yes"},
        ["--student", "--staff-size", "18", "--no-landing", "--rhythm", "dotted", "--all"],
    ),
    (
        "3",
        "33",
        {"for_instrument": "horn", "practice_minutes": "8", "paper": "letter"},
        ["--for", "horn", "--minutes", "8", "--paper", "letter"],
    ),
]


def same_pages(part: str, place: str, words: Words, options: list[str]) -> None:
    made = sheet_tasks.sheet((MARCH, part), (place,), words, "pdf", tell)
    ((name, content),) = made["files"]
    command("sheet", MARCH, "--part", part, "--at", place, *options)
    assert Path(name).read_bytes() == content


def test_the_same_page() -> None:
    same_pages("2", "33", {}, [])


def test_the_same_sound() -> None:
    made = sheet_tasks.climb(AIR, "1", "5")
    ((name, content),) = made["files"]
    command("click", AIR, "--part", "1", "--at", "5")
    assert Path(name).read_bytes() == content


# --- twenty spots -------------------------------------------------------------------


def _told(*given: object) -> str:
    return hashlib.sha256(repr(given).encode()).hexdigest()


def _engraved(texts: Any, formats: Any, *_: object) -> Engraved:  # noqa: ANN401 - as engrave
    """An empty page that says what it was made from."""
    document = pikepdf.new()
    document.add_blank_page()
    said = _told(texts, formats)
    document.pages[0].obj["/From"] = pikepdf.String(said)
    out = io.BytesIO()
    document.save(out, static_id=True)
    svg = f'<svg xmlns="http://www.w3.org/2000/svg"><desc>{said}</desc></svg>'.encode()
    return Engraved((out.getvalue(),), ((1,),), svgs=(svg,) if "svg" in formats else ())


def _sounded(*given: object) -> Callable[[Path], None]:
    """A few samples that say what they were made from: practice, tags and settings."""
    said = np.frombuffer(bytes.fromhex(_told(*given[:3])), dtype=np.int16)
    return lambda path: soundfile.write(path, said, 44_100, format="WAV")


def _heard(samples: Floats, rate: int, wanted: Wanted) -> Played:
    """Every note where the numbers of its recording say, some of them late."""
    seed = int(hashlib.sha256(samples.tobytes()).hexdigest()[:8], 16)
    notes = []
    for n, one in enumerate(wanted.notes):
        at = (
            1.0 + one.at * wanted.pace * (1 + seed % 7 / 20) + (0.07 if (seed + n) % 11 == 0 else 0)
        )
        notes.append(
            PlayedNote(NOTE, n, one.key, at, at + 0.1, Attack.CHANGED, 0.002, 0.1, 3.0, 1.0, 0)
        )
    return Played(tuple(notes), 0.0, len(samples) / rate, 0.9, room=False, echo=False, crowd=0.0)


def _once(function: Callable[..., Any]) -> Callable[..., Any]:
    """The same, once for the same arguments."""
    kept: dict[str, Any] = {}

    def found(*given: object, **named: object) -> Any:  # noqa: ANN401 - as the function
        key = repr([(id(one) if isinstance(one, Part) else one) for one in given]) + repr(named)
        if key not in kept:
            kept[key] = function(*given, **named), given  # and the part stays where it is
        return kept[key][0]

    return found


@contextlib.contextmanager
def _none_ahead(*_: object) -> Iterator[None]:
    yield None


@pytest.fixture(name="quick")
def _quick(monkeypatch: pytest.MonkeyPatch) -> None:
    stands_in: dict[Callable[..., Any], Callable[..., Any]] = {
        engrave.engrave: _engraved,
        engrave.lilypond_ahead: _none_ahead,
        audio.audio_writer: _sounded,
        played.listen: _heard,
        sound_file.open_recording: opened_here,
        musicxml.open_score: _once(musicxml.open_score),
        making.make_sheet: _once(making.make_sheet),
    }
    for module in [one for name, one in sys.modules.items() if name.startswith("drills.")]:
        for function, other in stands_in.items():
            if getattr(module, function.__name__, None) is function:
                monkeypatch.setattr(module, function.__name__, other)


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize(("part", "place", "words", "options"), CHOSEN)
def test_choices_are_the_same(part: str, place: str, words: Words, options: list[str]) -> None:
    same_pages(part, place, words, options)


@pytest.mark.usefixtures("quick")
def test_twenty_spots_are_the_same() -> None:
    seen, said = set(), set()
    for part, bar in SPOTS:
        where = (MARCH, "--part", part, "--at", str(bar))
        pages = sheet_tasks.sheet((MARCH, part), (str(bar),), {}, "pdf", tell)
        sound = sheet_tasks.climb(MARCH, part, str(bar))
        for name, content in (*pages["files"], *sound["files"]):
            command("sheet" if name.endswith(".pdf") else "click", *where)
            assert Path(name).read_bytes() == content, name
            seen.add(content)
            Path(name).unlink()
        take = _recorded(part, bar)
        found = take_tasks.verdict(take.name, (MARCH, part), str(bar), "")
        data = dict(found["files"])["take.json"]
        assert command("take", str(take), *where, "--json").encode() == data, bar
        said.add(json.loads(data)["takes"][0]["sentence"])
    assert len(seen) == 2 * len(SPOTS), "no two of them are alike"
    assert len(said) > 5


def _recorded(part: str, bar: int) -> Path:
    """Some sound, as the page keeps it with what its click was."""
    out = io.BytesIO()
    soundfile.write(out, np.full(800, bar * 100 + int(part), dtype=np.int16), 8000, format="WAV")
    about = {"score": MARCH, "number": int(part), "part": "mine", "at": str(bar), "tempo": ""}
    clicked = {"begins": 1.0, "quarter": 0.5, "latency": 0.02}
    kept = take_tasks.add(out.getvalue(), {**about, **clicked})
    return Path(TAKES) / str(kept["name"])


@pytest.mark.usefixtures("quick")
def test_the_same_hand_out() -> None:
    """The very archive, which holds pages, sound and the page for the phone."""
    made = lesson_tasks.hand((AIR, "1"), ("5",), "Mia", "horn", tell)
    (name, packed), _ = made["files"]
    command("hand-out", AIR, "--part", "1", "--at", "5", "--student", "Mia", "--for", "horn")
    assert Path(name).read_bytes() == packed
    assert made["kept"] == f"hand-outs/Mia/{name}"
    assert Path(made["kept"]).read_bytes() == packed
    assert lesson_tasks.students() == ["Mia"]
