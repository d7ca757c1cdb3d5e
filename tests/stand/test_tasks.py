"""What the stand's processes answer: loops by their schema, clicks that are read, recordings."""

from __future__ import annotations

import asyncio
import io
import json
import shutil
from pathlib import Path

import jsonschema
import numpy as np
import pytest
import soundfile

from drills.errors import ReadError, UsageError
from drills.resources import scores_folder
from drills.sheets.clicks.reading import read_pattern
from drills.stand import play_tasks, take_tasks
from drills.stand.drawing import harmless
from drills.stand.wishes import settings_of
from drills.stand.work import TaskFailedError, Workers
from tests.stand.standing import MARCH, ROOT, to_its_end
from tests.stand.take_sound import EVERY, RATE, late_clicks

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


def test_a_process_that_takes_too_much_ends_and_the_next_one_answers(tmp_path: Path) -> None:
    async def run() -> None:
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
