"""What the stand's processes answer: loops by their schema, clicks that are read, recordings."""

from __future__ import annotations

import asyncio
import io
import json
import re
import shutil
from importlib import import_module
from inspect import signature
from pathlib import Path

import jsonschema
import numpy as np
import pytest
import soundfile

from drills.errors import ReadError, UsageError
from drills.jobs import takes
from drills.project.log import log_path, read_entries
from drills.resources import scores_folder
from drills.sheets.clicks.reading import read_pattern
from drills.stand import book_tasks, day_tasks, lesson_tasks, play_tasks, take_tasks, tasks
from drills.stand.drawing import harmless
from drills.stand.wishes import settings_of
from drills.stand.work import TaskFailedError, Workers
from tests.reading.other.silent import SILENT
from tests.stand.standing import MARCH, ROOT, to_its_end
from tests.stand.take_sound import (
    BEFORE,
    EVERY,
    RATE,
    late_clicks,
    late_note,
    opened_here,
    tones_of,
)

SCHEMA = json.loads((ROOT / "docs/schema/loop.json").read_text("utf-8"))


@pytest.fixture(name="folder")
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copy(scores_folder() / MARCH, tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_a_loop_is_what_its_schema_says(folder: Path) -> None:
    assert folder
    told = play_tasks.blocks(MARCH, "2", "33")
    for block in told["blocks"]:
        asked = {
            "full": False,
            "block": block["number"],
            "item": len(block["items"]) - 1,
            "number": told["rungs"][0],
            "click": "",
            "groove": "",
            "voices": ("line",),
            "count_in": 1,
            "first": 3,
            "rounds": 2,
        }
        loop = json.loads(json.dumps(play_tasks.loop(MARCH, "2", "33", asked)))
        jsonschema.validate(loop, SCHEMA)
        assert len(loop["rounds"]) == 2
        assert loop["notes"]
        svg = play_tasks.music((MARCH, "2", "33"), block["number"], asked["item"], 800)["svg"]
        assert all(f'id="{note}"' in svg for note, _, _ in loop["notes"])


def test_every_click_that_is_offered_is_read() -> None:
    for words, text in play_tasks.CLICKS:
        assert words
        assert not text or read_pattern(text)


def test_choices_are_those_of_the_command_line() -> None:
    assert settings_of({"staff_size": "22"})[1].page.staff_size == 22
    for words in ({"nonsense": "1"}, {"staff_size": "900"}, {"paper": "a0"}, {"rhythm": ["x"]}):
        with pytest.raises(UsageError):
            settings_of(words)


def test_a_picture_keeps_shapes_only() -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        'onload="hurt()"><script>hurt()</script><style>*{}</style>'
        '<a xlink:href="javascript:hurt()">'
        '<text>x</text></a><use xlink:href="http://evil.example/#a"/><use xlink:href="#n1"/>'
        '<foreignObject><b/></foreignObject><path d="M0 0" onclick="hurt()" style="x:url(y)"/>'
        '<g class="section placeholder"><ellipse/></g></svg>'
    )
    found = harmless(svg)
    for word in ("hurt", "evil", "style", "foreign", "placeholder", "script"):
        assert word not in found
    assert 'xlink:href="#n1"' in found
    assert "<path" in found


def test_how_late_a_device_is() -> None:
    """The clicks of the tests' microphone, as if they had been sent out 37 ms before."""
    sent = [number * EVERY - 0.037 for number in range(2, 10)]
    found = take_tasks.latency(late_clicks(), sent)
    assert found["milliseconds"] == pytest.approx(37, abs=0.2)
    silence = io.BytesIO()
    soundfile.write(silence, np.zeros(RATE), RATE, format="WAV")
    with pytest.raises(UsageError, match="not heard"):
        take_tasks.latency(silence.getvalue(), sent)


def test_a_take_is_kept_beside_what_it_is_of(folder: Path) -> None:
    about = {"score": MARCH, "number": 2, "part": "../../x", "at": "33", "tempo": ""}
    kept = take_tasks.add(late_clicks(1.0), about)
    (sound,) = (folder / "takes").glob("*.wav")
    assert kept["name"] == sound.name
    assert json.loads(sound.with_suffix(".json").read_text("utf-8"))["at"] == "33"
    for wrong in (b"", b"nonsense" * 100, b"RIFF\0\0\0\0WAVEfmt ", b"<html>"):
        with pytest.raises(ReadError, match="no sound"):
            take_tasks.add(wrong, about)


def test_a_take_beside_the_one_before(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The ninth note no longer late, 40 ms behind the click of a device that is 25 ms late."""
    monkeypatch.setattr(takes, "open_recording", opened_here)
    monkeypatch.setattr(take_tasks, "take_files", lambda *_: ())
    tones = tones_of("33", "112")
    about = {"score": MARCH, "number": 2, "part": "mine", "at": "33", "tempo": "quarter = 112"}
    clicked = {"begins": BEFORE - 0.065, "quarter": 60 / 112, "latency": 0.025}
    first, second = (
        take_tasks.add(late_note(tones, 8, by), {**about, **clicked})["name"] for by in (0.07, 0.0)
    )
    found = take_tasks.verdict(second, (MARCH, "2"), "33", first)
    assert "better: note 9 (was late)" in found["compared"]
    assert [bar["number"] for bar in found["bars"]] == ["33", "34"]
    assert found["bars"][0]["begin"] == pytest.approx(BEFORE, abs=0.02)
    seconds = [at for at, _, _ in found["click"]]
    assert seconds[:3] == pytest.approx([BEFORE - 0.04 + n * 60 / 112 for n in range(3)])
    said = next(line for line in found["more"] if line.startswith("against a click at 112"))
    late = re.search(r": (\d+) ms late on average", said)
    assert late is not None, said
    assert int(late[1]) == pytest.approx(40, abs=6)
    assert (folder / "takes" / second).exists()


def test_what_is_not_yet_right_is_no_number_reached(folder: Path) -> None:
    book_tasks.put("", (MARCH, 2, "33"), "", 104)
    assert book_tasks.listed()["parts"][0]["spots"][0]["goal"] == 104
    for right in (True, False):
        day_tasks.judged((MARCH, "2", "33"), 1, "60", right=right)
    said = [entry.said for entry in read_entries(log_path(folder / "book.toml"))]
    assert [(one.number, one.right) for one in said] == [(60, 1), (None, 0)]
    assert said[1].word == "not yet at 60"


@pytest.mark.parametrize("student", ["../../evil", "/etc", "..", "a/b", "x" * 500, "\0", "CON", ""])
def test_a_hand_out_stays_in_the_folder(folder: Path, student: str) -> None:
    kept = lesson_tasks.keep(student, "33", b"zip")
    assert (folder / kept).read_bytes() == b"zip"
    assert (folder / kept).resolve().relative_to(folder.resolve() / "hand-outs")
    assert len(Path(kept).parts) == 3


NAMED = re.compile(r'"((?:[a-z]+_)?tasks)\.([a-z_]+)"')
"""How the server names a task."""
STREAMED = re.compile(r'_stream\([^"]*?"((?:[a-z]+_)?tasks)\.([a-z_]+)"')
"""Those that tell their stages."""


def test_every_task_that_the_server_names_is_there() -> None:
    text = "".join(path.read_text("utf-8") for path in (ROOT / "drills/stand").glob("on_*.py"))
    named = NAMED.findall(text)
    assert len(named) > 20
    for module, name in named:
        assert callable(getattr(import_module(f"drills.stand.{module}"), name)), (module, name)
    streamed = STREAMED.findall(text)
    assert len(streamed) > 4
    for module, name in streamed:
        task = getattr(import_module(f"drills.stand.{module}"), name)
        assert list(signature(task).parameters)[-1] == "tell", (module, name)


def test_a_process_that_takes_too_much_ends_and_the_next_one_answers(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none(*_: object) -> None:
        raise NotImplementedError("an event loop of Windows waits for no pipe")

    async def run() -> None:
        monkeypatch.setattr(asyncio.get_running_loop(), "add_reader", none)
        workers = Workers(tmp_path, 1, "tests.stand")
        await workers.start()
        try:
            with pytest.raises(TaskFailedError, match="memory"):
                await workers.run("greedy.greedy", "")
            with pytest.raises(TaskFailedError, match="seconds"):
                await workers.run("greedy.endless", "", seconds=0.3)
            waiting = asyncio.ensure_future(workers.run("greedy.endless", ""))
            await asyncio.sleep(0.05)
            waiting.cancel()
            with pytest.raises(asyncio.CancelledError):
                await waiting
            assert await workers.run("greedy.answering", "next") == "next"
        finally:
            await workers.stop()

    to_its_end(run())


def test_the_page_counts_a_silent_file_as_its_book_says(folder: Path) -> None:
    quay = folder / "quay.mid"
    quay.write_bytes(SILENT["mid"])
    assert str(tasks.part_of(quay, 1).bars[0].time) == "4/4"
    (folder / "book.toml").write_text('[[part]]\nfile = "quay.mid"\nmetre = "3/4"\n')
    assert str(tasks.part_of(Path("quay.mid"), 1).bars[0].time) == "3/4"
    assert str(play_tasks.source_at("quay.mid", "1", "2").part.bars[0].time) == "3/4"
    (folder / "book.toml").write_text("nonsense")
    assert str(tasks.part_of(quay, 1).bars[0].time) == "4/4"
