"""Pictures and levels of everything that sounds: PYTHONPATH=. python docs/sound/draw.py

Writes clicks.png, grooves.png and sounds.png beside it, and the tables of levels into
README.md.  Loudness is ITU-R BS.1770 (pyloudnorm), true peak that of scipy's four times
oversampling; both are measured on the samples that a file would hold.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import matplotlib as mpl
import numpy as np
import pyloudnorm
from matplotlib import pyplot as plt
from PIL import Image
from scipy.signal import resample_poly, spectrogram

from drills.music.grid import GridBar
from drills.music.tempo import Tempo
from drills.music.time import COMMON_TIME, TimeSignature
from drills.output.audio.encode import sound
from drills.output.audio.level import amplitudes
from drills.output.audio.mixing import Terms
from drills.output.audio.shapes import Wave
from drills.output.audio.struck import struck
from drills.sheets.clicks.laying import BEAT_LEVEL, Click, clicks
from drills.sheets.clicks.patterns import Fading
from drills.sheets.clicks.reading import read_pattern
from drills.sheets.ladder import metronome_number
from drills.sheets.metronome import settable
from drills.sound.groove import GROOVES, Groove, strokes
from drills.sound.practice.events import Cue, Event, Strike, TempoStep, Tone
from drills.sound.practice.sounding import PLAIN_LEVEL
from drills.sound.practice.voices import (
    CLICKS_OVER_SECTION,
    SOUNDS,
    USUAL_CLICKS,
    VOICES,
    section_level,
)
from tests.output.audibility import WINDOW, above
from tests.output.fixtures_sound import held_section

HERE = Path(__file__).parent
RATE = 44_100
TEMPO = 120
PATTERNS = (
    *("beats", "4", "2,4", "2.5", "offbeats", "groups", "divided", "every 3 sixteenths"),
    *("every 2 triplet eighths", "bars", "every 2 bars", "2 with 2 without", "fading"),
)
"""As a player types them."""
TONES = {"line": 70, "octave": 58, "section": 60, "bass": 41, "chord": 55}
"""A usual key for each voice that holds notes."""
INK, RULE = "#1b1b1b", "#b9b9b9"


@dataclass(frozen=True)
class Row:
    """Something to hear, at quarter = TEMPO."""

    found: tuple[Event, ...]
    duration: Fraction
    a4: Fraction = Fraction(440)
    cues: tuple[Cue, ...] = ()
    tempos: tuple[TempoStep, ...] = ()

    def events(self) -> Iterator[Event]:
        return iter(self.found)

    def samples(self) -> Wave:
        return np.concatenate(list(sound(self, Terms(RATE, amplitudes({})))))


def seconds(quarters: Fraction) -> Fraction:
    return quarters * 60 / TEMPO


def bars_of(time: TimeSignature, count: int) -> tuple[GridBar, ...]:
    length = time.bar_length
    return tuple(GridBar(number * length.quarters, length, time) for number in range(count))


def laid_out(pattern: str, count: int) -> Iterator[Click]:
    """A pattern over bars of 4/4; one that fades, a rung a bar."""
    read, bars = read_pattern(pattern), bars_of(COMMON_TIME, count)
    if read != Fading():
        yield from clicks(read, bars)
        return
    for rung, bar in enumerate(bars):
        yield from clicks(read, [bar], rung=rung)


def clicked(pattern: str, count: int) -> Row:
    """A pattern, the downbeat on the higher wood block."""
    found = tuple(
        Strike(
            seconds(click.at),
            click.at,
            "click",
            "high-wood-block" if click.accent else "low-wood-block",
            click.level,
        )
        for click in laid_out(pattern, count)
    )
    return Row(found, seconds(Fraction(4 * count)))


def drummed(groove: Groove, count: int, *, last: bool = False) -> Row:
    """A groove over bars of its first time signature, the quarter at TEMPO."""
    time = groove.times[0]
    laid = strokes(
        groove,
        bars_of(time, count),
        beats_per_minute=lambda _: TEMPO / time.beat.quarters,
        last=last,
    )
    found = tuple(Strike(seconds(s.at), s.at, "groove", s.sound, s.level) for s in laid)
    return Row(found, seconds(count * time.bar_length.quarters))


def ticking(name: str) -> Row:
    """A sound on every quarter for ten seconds, at full level."""
    found = tuple(
        Strike(seconds(Fraction(n)), Fraction(n), "click", name) for n in range(10 * TEMPO // 60)
    )
    return Row(found, Fraction(10))


def held(voice: str, key: int) -> Row:
    """A note of two seconds, five times."""
    found = tuple(
        Tone(
            Fraction(n), Fraction(n + 2), Fraction(2 * n), Fraction(2 * n + 4), voice, Fraction(key)
        )
        for n in range(0, 10, 2)
    )
    return Row(found, Fraction(10))


def levels(row: Row) -> str:
    """Loudness, sample peak and true peak as cells of a table."""
    samples = row.samples()[: round(row.duration * RATE)]
    loud = pyloudnorm.Meter(RATE).integrated_loudness(samples)
    peak = 20 * np.log10(np.abs(samples).max())
    true = 20 * np.log10(max(np.abs(resample_poly(samples, 4, 1)).max(), np.abs(samples).max()))
    return f"{loud:.1f} | {peak:.1f} | {true:.1f}"


PARTS = (4, 8, 17, 27)
"""Sizes of a section."""


def heard(name: str, parts: int) -> str:
    """Decibels of a click above what a section masks, in the best band of 2 to 4 kHz."""
    level = PLAIN_LEVEL * section_level(parts)
    masking = Row(tuple(held_section(parts, level)), Fraction(1)).samples()[RATE // 10 :]
    strike = Strike(Fraction(0), Fraction(0), "click", name, BEAT_LEVEL)
    click = Row((strike,), Fraction(1)).samples()[: round(WINDOW * RATE)]
    over = above(click, masking, RATE)
    return f"{max(over[hertz] for hertz in over if 2000 <= hertz <= 4000):.0f}"


HEAD = "| LUFS | peak, dBFS | true peak, dBTP |"


def tables() -> dict[str, str]:
    """The tables of README.md, by the names of their places."""
    rule = " | ---: | ---: | ---: |"
    struck_rows = [f"| {name} | {SOUNDS[name]} | {levels(ticking(name))} |" for name in SOUNDS]
    grooves = [
        f"| {groove.key} | {groove.times[0]} | {levels(drummed(groove, 8))} |"
        for groove in GROOVES.values()
    ]
    tones = [
        f"| {voice} | {VOICES[voice].words} | {key} | {levels(held(voice, key))} |"
        for voice, key in TONES.items()
    ]
    over = [
        f"| {name} | " + " | ".join(heard(name, parts) for parts in PARTS) + " |"
        for name in (*USUAL_CLICKS, *CLICKS_OVER_SECTION)
    ]
    sizes = " | ".join(f"{parts} parts" for parts in PARTS)
    return {
        "over": "\n".join([f"| click | {sizes} |", "| --- |" + " ---: |" * len(PARTS), *over]),
        "sounds": "\n".join(["| sound | key " + HEAD, "| --- | ---:" + rule, *struck_rows]),
        "grooves": "\n".join(["| groove | in " + HEAD, "| --- | ---" + rule, *grooves]),
        "tones": "\n".join(["| voice | what | key " + HEAD, "| --- | --- | ---:" + rule, *tones]),
    }


def write_tables() -> None:
    """Put the tables between the marks of README.md."""
    page = HERE / "README.md"
    text = page.read_text(encoding="utf-8")
    for name, table in tables().items():
        mark = f"<!-- table: {name} -->"
        found = re.compile(rf"{mark}\n((?!<!--).)*<!-- end -->", re.DOTALL)
        text = found.sub(lambda _, m=mark, t=table: f"{m}\n{t}\n<!-- end -->", text)
    page.write_text(text, encoding="utf-8")


def waveform(axes: plt.Axes, samples: Wave, until: float, bars: Sequence[float]) -> None:
    """Highest and lowest sample of each of many short stretches, with lines for the bars."""
    shown = samples[: round(until * RATE)]
    parts = np.array_split(shown, 1600)
    at = np.linspace(0, until, len(parts))
    low, high = [part.min() for part in parts], [part.max() for part in parts]
    axes.fill_between(at, low, high, color=INK, linewidth=0.4, edgecolor=INK)
    for bar in bars:
        axes.axvline(bar, color=RULE, linewidth=0.7, zorder=0)
    axes.set_xlim(0, until)
    axes.set_ylim(-0.5, 0.5)
    plain(axes)


def spectrum(axes: plt.Axes, samples: Wave, until: float, highest: int = 16_000) -> None:
    """Frequencies over time, 70 dB from white to black."""
    at, when, power = spectrogram(samples[: round(until * RATE)], RATE, nperseg=1024, noverlap=512)
    decibels = 10 * np.log10(power + 1e-20)
    top = decibels.max()
    axes.pcolormesh(
        when, at[1:], decibels[1:], vmin=top - 70, vmax=top, cmap="Greys", rasterized=True
    )
    axes.set_yscale("log")
    axes.set_ylim(40, highest)
    axes.set_xlim(0, until)
    plain(axes)


def plain(axes: plt.Axes) -> None:
    axes.set_xticks([])
    axes.set_yticks([])
    axes.minorticks_off()
    for side in ("top", "right", "left"):
        axes.spines[side].set_visible(False)
    axes.spines["bottom"].set_color(RULE)


def titled(axes: plt.Axes, text: str) -> None:
    axes.set_title(text, loc="left", fontsize=8, color=INK, pad=2)


def draw_clicks(path: Path) -> None:
    """Four bars of every click pattern."""
    figure, rows = plt.subplots(len(PATTERNS), 1, figsize=(8, 0.72 * len(PATTERNS)))
    tempo = Tempo(Fraction(TEMPO), COMMON_TIME.beat)
    for axes, name in zip(rows, PATTERNS, strict=True):
        pattern = read_pattern(name)
        row = clicked(name, 6 if name.startswith("every 3") else 4)
        bars = [2.0 * number for number in range(5)]
        waveform(axes, row.samples(), 8.0, bars)
        number = metronome_number(pattern, tempo, COMMON_TIME)
        shown = None if number is None else settable(number)
        metronome = f" (a plain metronome at {shown})" if shown and shown.isdecimal() else ""
        words = f"clicks {pattern.words(COMMON_TIME)}{metronome}"
        titled(axes, f"{name}: {'here less with every bar' if pattern == Fading() else words}")
    saved(figure, path)


def draw_grooves(path: Path) -> None:
    """Two bars of every groove, the second with its turn: waveform and spectrum."""
    figure, rows = plt.subplots(len(GROOVES), 2, figsize=(8, 0.85 * len(GROOVES)))
    for (left, right), groove in zip(rows, GROOVES.values(), strict=True):
        time = groove.times[0]
        row = drummed(groove, 2, last=True)
        samples, until = row.samples(), float(row.duration)
        bar = float(seconds(time.bar_length.quarters))
        waveform(left, samples, until, [0.0, bar])
        spectrum(right, samples, until)
        titled(left, f"{groove.key}: {groove.words}, {time}")
        titled(right, "40 Hz to 16 kHz")
    saved(figure, path)


def draw_sounds(path: Path) -> None:
    """Every struck sound: its first tenth of a second, and its spectrum."""
    columns = 5
    count = -(-len(SOUNDS) // columns)
    figure, rows = plt.subplots(2 * count, columns, figsize=(8, 1.25 * count))
    for axes in rows.flat:
        axes.axis("off")
    for place, name in enumerate(SOUNDS):
        line, column = divmod(place, columns)
        above, below = rows[2 * line][column], rows[2 * line + 1][column]
        wave = struck(name, RATE).wave
        above.axis("on")
        shown = wave[: RATE // 20]
        above.plot(np.arange(len(shown)), shown, color=INK, linewidth=0.5)
        above.set_xlim(-20, RATE // 20)
        above.set_ylim(-1.05, 1.05)
        plain(above)
        titled(above, name)
        below.axis("on")
        power = np.abs(np.fft.rfft(wave, 1 << 16))
        at = np.fft.rfftfreq(1 << 16, 1 / RATE)
        edges = np.geomspace(40, 18_000, 121)
        bands = [power[(at >= a) & (at < b)].max(initial=1e-9) for a, b in pairwise(edges)]
        decibels = np.maximum(20 * np.log10(np.array(bands) / max(bands)), -60)
        below.fill_between(edges[1:], -60, decibels, color=INK)
        below.set_xscale("log")
        below.set_xlim(40, 18_000)
        below.set_ylim(-60, 3)
        plain(below)
    saved(figure, path)


def saved(figure: plt.Figure, path: Path) -> None:
    """In sixteen greys, without what the program that drew it says of itself."""
    figure.tight_layout(pad=0.4, h_pad=0.5)
    drawn = BytesIO()
    figure.savefig(drawn, dpi=110)
    plt.close(figure)
    Image.open(drawn).convert("L").quantize(16).save(path, optimize=True)


DRAWN: dict[str, Callable[[Path], None]] = {
    "clicks.png": draw_clicks,
    "grooves.png": draw_grooves,
    "sounds.png": draw_sounds,
}


def main() -> None:
    """Draw and measure everything."""
    mpl.use("Agg")
    mpl.rcParams["font.family"] = "DejaVu Sans"
    for name, draw in DRAWN.items():
        draw(HERE / name)
    write_tables()


if __name__ == "__main__":
    main()
