"""Every click within one sample of its exact second, with changes while it sounds.

The page's own engine runs in an OfflineAudioContext (W3C Web Audio API 1.1), where a struck sound
is a single sample, so that what is rendered tells where every click began.  The exact seconds are
worked out here, in fractions, from the loops that were asked for and from the bar lines at which
they were changed.
"""

from __future__ import annotations

import shutil
from fractions import Fraction
from itertools import count, islice
from math import floor
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from drills.resources import scores_folder
from drills.sound.practice.events import Strike
from drills.sound.practice.loop import Loop, make_loop
from drills.stand import play_tasks
from drills.stand.shelf import id_of
from tests.stand.standing import MARCH, Standing

if TYPE_CHECKING:  # an extra of the tests
    from playwright.sync_api import Page

RATE = 44_100
MINUTES = 10
PLACE = "33-34"
CHANGES: list[tuple[float, str, str]] = [
    (0.0, "60", ""),
    (31.7, "63", ""),
    (75.2, "63", "2,4"),
    (120.05, "80", "every 3 sixteenths"),
    (199.9, "72", "offbeats"),
    (260.4, "112", "4"),
    (300.0, "50", "2 with 2 without"),
    (444.4, "108", "beats"),
    (520.123, "76", ""),
]
"""When the player chooses (seconds after Play), which number and which click."""


def asked(number: str, click: str) -> dict[str, Any]:
    return {
        "full": False,
        "block": 1,
        "item": 0,
        "number": number,
        "click": click,
        "groove": "",
        "voices": (),
        "count_in": 1,
        "first": 0,
        "rounds": 110,
    }


def expected(loops: list[Loop], until: Fraction) -> list[Fraction]:
    """Exact seconds of every click: each loop goes on at the first bar line after its choice."""
    found = [event.at for event in loops[0].counted() if isinstance(event, Strike)]
    origin = loops[0].count_in
    first, bar = 0, 0
    for number, loop in enumerate(loops):
        bars, length = loop.bars(), loop.length
        lines = (
            (origin + k * length + at, k, n) for k in count(first) for n, at in enumerate(bars)
        )
        end = (until, 0, 0)
        if number + 1 < len(loops):
            chosen = Fraction(CHANGES[number + 1][0]).limit_denominator(10**6)
            end = next(line for line in lines if line[0] >= chosen)
        rounds = islice(loop.times_through(first, 400), 400)
        begin = origin + first * length + (bars[bar] if number else 0)
        for k, events in enumerate(rounds, first):
            if origin + k * length >= end[0]:
                break
            times = (origin + k * length + event.at for event in events)
            found += [at for at in times if begin <= at < end[0]]
        if number + 1 < len(loops):
            when, first, bar = end
            following = loops[number + 1]
            origin = when - following.bars()[bar] - first * following.length
    return found


ENGINE = """async ([loops, changes, seconds, rate]) => {
  const { Engine } = await import("/static/engine.js");
  const context = new OfflineAudioContext(1, seconds * rate, rate);
  const one = new AudioBuffer({ length: 1, numberOfChannels: 1, sampleRate: rate });
  one.copyToChannel(new Float32Array([1]), 0);
  const names = new Set(loops.flatMap((loop) => loop.sounds));
  const engine = new Engine(context, context.destination, new Map([...names].map((n) => [n, one])));
  engine.begin(loops[0], 0);
  engine.schedule(2.5);
  // As in the page: woken again and again, scheduled a little ahead.  Two things cannot be done at
  // one suspension, so a change stands in for the tick in its second.
  const waking = new Map(); // a change is chosen 0.06 s before it may take effect
  for (let at = 1; at < seconds; at += 1) waking.set(at, null);
  for (const [index, [at]] of changes.entries()) if (index) waking.set(Math.floor(at), index);
  for (const [second, index] of waking) {
    context.suspend(index ? changes[index][0] - 0.06 : second).then(() => {
      if (index) engine.change(loops[index], changes[index][0]);
      engine.schedule(Math.min(context.currentTime + 2.5, seconds));
      context.resume();
    });
  }
  const samples = (await context.startRendering()).getChannelData(0);
  const found = [];
  for (let n = 0; n < samples.length; n += 1) if (samples[n] > 0.001) found.push(n);
  return found;
}"""


@pytest.fixture(name="loops")
def _loops(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[list[Any], list[Loop]]:
    """The loops as the page gets them, and as they are."""
    shutil.copy(scores_folder() / MARCH, tmp_path)
    monkeypatch.chdir(tmp_path)
    kept: list[Loop] = []

    def keeping(*given: Any) -> Loop:  # noqa: ANN401 - as make_loop
        kept.append(make_loop(*given))
        return kept[-1]

    monkeypatch.setattr(play_tasks, "make_loop", keeping)
    told = [play_tasks.loop(MARCH, "2", PLACE, asked(*one[1:])) for one in CHANGES]
    return told, kept


def test_ten_minutes_of_clicks(
    page: Page, shown: Standing, loops: tuple[list[Any], list[Loop]]
) -> None:
    told, kept = loops
    page.goto(f"{shown.origin}/static/engine.js")
    seconds = 60 * MINUTES
    found = page.evaluate(ENGINE, [told, CHANGES, seconds, RATE])
    exact = [at for at in expected(kept, Fraction(seconds)) if at < seconds - 1]
    wanted = sorted({floor(at * RATE + Fraction(1, 2)) for at in exact})
    found = [sample for sample in found if sample < (seconds - 1) * RATE]
    assert len(wanted) > 500
    assert len(found) == len(wanted), "no click is lost and none is added"
    assert max(abs(a - b) for a, b in zip(found, wanted, strict=True)) <= 1


TAPPED = """async ([number, seconds]) => {
  const { Playing } = await import("/static/playing.js");
  const where = Object.fromEntries(new URLSearchParams(location.search));
  const playing = new Playing({ ...where, part: Number(where.part) }, () => {});
  const context = playing.context;
  const click = "every 3 sixteenths";
  const choices = { block: 1, item: 0, number, click, groove: "", voices: [], count_in: 1 };
  const loop = await playing.ready(choices);
  const one = new AudioBuffer({ length: 1, numberOfChannels: 1, sampleRate: context.sampleRate });
  one.copyToChannel(new Float32Array([1]), 0);
  for (const name of loop.sounds) playing.sounds.set(name, one);
  await context.audioWorklet.addModule("/static/tap.js");
  const tap = new AudioWorkletNode(context, "tap", { numberOfOutputs: 1 });
  const found = [];
  tap.port.onmessage = ({ data: { frame, samples } }) => {
    for (const [n, sample] of samples.entries()) if (sample > 1e-5) found.push(frame + n);
  };
  playing.out.connect(tap).connect(new GainNode(context, { gain: 0 })).connect(context.destination);
  const engraved = [];
  const { when } = await playing.begin(choices);
  const { work } = await import("/static/asking.js");
  for (const size of ["17", "19"]) {
    const asked = { score: where.score, part: Number(where.part), at: [where.at], kind: "svg" };
    engraved.push(work("/api/sheet", { ...asked, choices: { staff_size: size } }, () => {}));
  }
  await new Promise((after) => setTimeout(after, seconds * 1000));
  const ended = context.currentTime - 0.2;
  playing.end();
  const pages = (await Promise.all(engraved)).length;
  return { found, when, ended, loop, pages, rate: context.sampleRate };
}"""


def test_no_click_is_lost_while_sheets_are_engraved(page: Page, shown: Standing) -> None:
    """The page as it plays, tapped by a worklet before the limiter, both processes at work."""
    page.goto(f"{shown.origin}/static/engine.js?score={id_of(MARCH)}&part=2&at={PLACE}")
    got = page.evaluate(TAPPED, ["112", 4])
    loop, when, rate = got["loop"], got["when"], got["rate"]
    first = when + loop["count_in"]
    wanted = [when + event[0] for event in loop["counted"]]
    for number, events in enumerate(loop["rounds"]):
        wanted += [first + number * loop["length"] + event[0] for event in events]
    exact = [at * rate for at in wanted if at < got["ended"]]
    found = [sample for sample in got["found"] if sample < got["ended"] * rate]
    assert len(exact) > 7
    assert len(found) == len(exact), "no click is lost and none is added"
    assert max(abs(a - b) for a, b in zip(found, sorted(exact), strict=True)) <= 1
    assert got["pages"] == 2
