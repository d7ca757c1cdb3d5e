"""What sound costs, as ratios measured in one run.

    python bench/sound.py [--runs 5] [--minutes 10]

Times are never quoted: each row compares two things that are timed in turn on the machine
at hand. Against other renderers only the samples are made (ours block by block, with the
headroom found first); against real time and for memory the whole 16 bit file is written.

    clicks          a click on every beat of a climb against mir_eval.sonify.clicks
                    with the same times and a click of the same length
    line            four notes a beat against pretty_midi's sines on the same MIDI file
    all / real time clicks, drums and the line: the file's length against the time it took
    60 / 6 minutes  highest memory of a process that writes an hour, against six minutes
"""

from __future__ import annotations

import argparse
import io
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import mir_eval
import numpy as np
import pretty_midi

from drills.music.time import COMMON_TIME
from drills.output.audio import AudioSettings, Tags, audio_writer
from drills.output.audio.encode import sound
from drills.output.audio.level import amplitudes
from drills.output.audio.mixing import Terms
from drills.output.audio.struck import struck
from drills.output.midi import practice_midi_bytes
from drills.sound.practice.events import Cue, Event, Strike, TempoStep, Tone

RATE = 44_100
TEMPOS = (60, 63, 66, 69, 72, 76, 80, 84, 88, 92, 96, 100, 104, 108, 112, 116, 120)
DRUMS = ((0, "ride", 0.8), (0, "bass-drum", 0.9), (Fraction(2, 3), "ride", 0.6))
LINE = tuple(58 + (7 * place) % 19 for place in range(16))


@dataclass(frozen=True)
class Climb:
    """Bars of 4/4 that get faster, with any of: click, groove, line."""

    minutes: int
    voices: tuple[str, ...]
    a4: Fraction = Fraction(440)
    cues: tuple[Cue, ...] = ()

    @property
    def duration(self) -> Fraction:
        return Fraction(60 * self.minutes)

    @property
    def tempos(self) -> tuple[TempoStep, ...]:
        """Each tempo for an equal share of the time, begun anew wherever that falls."""
        share = self.duration / len(TEMPOS)
        steps, quarters = [], Fraction(0)
        for number, tempo in enumerate(TEMPOS):
            per = Fraction(60, tempo)
            steps.append(TempoStep(share * number, quarters, per, COMMON_TIME))
            quarters += share / per
        return tuple(steps)

    def events(self) -> Iterator[Event]:
        end = TempoStep(self.duration, Fraction(0), Fraction(1), COMMON_TIME)
        for step, after in pairwise((*self.tempos, end)):
            per = step.seconds_per_quarter
            for beat in range(int((after.at - step.at) / per)):
                yield from self._beat(beat, step.at + beat * per, step.quarters + beat, per)

    def _beat(self, beat: int, at: Fraction, quarter: Fraction, per: Fraction) -> Iterator[Event]:
        found: list[Event] = []
        if "click" in self.voices:
            found.append(Strike(at, quarter, "click", "low-wood-block"))
        if "groove" in self.voices:
            found += [
                Strike(at + after * per, quarter + after, "groove", sound, level)
                for after, sound, level in DRUMS
            ]
        if "line" in self.voices:
            for place in range(4):
                begin = Fraction(place, 4)
                last = begin + Fraction(1, 4)
                key = Fraction(LINE[(4 * beat + place) % len(LINE)])
                found.append(
                    Tone(
                        at + begin * per,
                        at + last * per,
                        quarter + begin,
                        quarter + last,
                        "line",
                        key,
                    )
                )
        yield from sorted(found, key=lambda event: event.at)


def seconds(work: Callable[[], object]) -> float:
    """Wall time of one call."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def samples(climb: Climb) -> None:
    """All samples of ours: headroom and mix, every block thrown away."""
    for _ in sound(climb, Terms(RATE, amplitudes({}))):
        pass


def write(climb: Climb, path: Path) -> None:
    """The whole of ours: headroom, mix, file."""
    audio_writer(climb, Tags(), AudioSettings("wav", RATE))(path)


def click_row(minutes: int) -> Callable[[], float]:
    climb = Climb(minutes, ("click",))
    times = np.array([float(event.at) for event in climb.events()])
    click = struck("low-wood-block", RATE).wave
    length = 60 * minutes * RATE

    def theirs() -> None:
        mir_eval.sonify.clicks(times, RATE, click=click, length=length)

    return lambda: seconds(lambda: samples(climb)) / seconds(theirs)


def line_row(minutes: int) -> Callable[[], float]:
    climb = Climb(minutes, ("line",))
    midi = pretty_midi.PrettyMIDI(io.BytesIO(practice_midi_bytes(climb)))

    def theirs() -> None:
        midi.synthesize(fs=RATE)

    return lambda: seconds(lambda: samples(climb)) / seconds(theirs)


def real_time_row(minutes: int, path: Path) -> Callable[[], float]:
    climb = Climb(minutes, ("click", "groove", "line"))
    return lambda: 60 * minutes / seconds(lambda: write(climb, path))


def memory_row(path: Path) -> Callable[[], float]:
    """Each in a process of its own, which tells its highest memory."""

    def highest(minutes: int) -> float:
        command = [sys.executable, __file__, "--once", str(minutes), str(path)]
        done = subprocess.run(command, check=True, capture_output=True, text=True)
        return float(done.stdout)

    return lambda: highest(60) / highest(6)


def once(minutes: int, path: Path) -> None:
    """Write a file and print the highest memory of this process."""
    write(Climb(minutes, ("click", "groove", "line")), path)
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)


def main() -> None:
    """Measure every row and print the table."""
    asked = argparse.ArgumentParser(description="Ratios of one run.")
    asked.add_argument("--runs", type=int, default=5)
    asked.add_argument("--minutes", type=int, default=10)
    asked.add_argument("--once", nargs=2, help=argparse.SUPPRESS)
    found = asked.parse_args()
    if found.once:
        once(int(found.once[0]), Path(found.once[1]))
        return
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "sound.wav"
        rows = {
            "clicks": (click_row(found.minutes), "at most 2"),
            "line": (line_row(found.minutes), "at most 1"),
            "all / real time": (real_time_row(found.minutes, path), "at least 100"),
            "60 / 6 minutes": (memory_row(path), "at most 1.05"),
        }
        print(f"{'':15} {'median':>8} {'lowest':>8} {'highest':>8}  allowed")
        for title, (measure, allowed) in rows.items():
            ratios = sorted(measure() for _ in range(found.runs))
            print(
                f"{title:15} {statistics.median(ratios):8.2f} {ratios[0]:8.2f} "
                f"{ratios[-1]:8.2f}  {allowed}"
            )


if __name__ == "__main__":
    main()
