"""Takes whose truth is known: what is written, what a player made of it, and the sound.

Problem.  A judge of recordings can be checked only against recordings of which every
attack is known.  Method.  A melody is written by chance from a seed, performed with the
deviations that players have (an uneven hand, a tempo that drifts, wrong, missed, added
and doubled notes, stumbles), and sounded from tones of a ``Source``: computed ones here,
recorded ones in the bench.  Then it is put into a room, a phone, noise, a click.

Conventions.
  * Times in seconds, keys as MIDI numbers of sounding pitch, samples at ``RATE``, mono.
  * When a tone begins: a tongued one where its level comes within 6 dB of its own
    plateau, its own as it was played: who cuts a tone that swells short has a lower plateau, and
    reaches it sooner; a slurred one in the middle of the change from tone to tone; one that is
    repeated softly, without a gap, in the middle of its rise out of the dip.
  * A truth has an entry for every written note; ``key`` is what sounded for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float64]

RATE: Final = 22_050
PLATEAU: Final = (0.05, 0.3)
"""Seconds after a tone's beginning between which its plateau is taken."""
LEAD: Final = 0.06
"""Seconds of a tone before it begins, as far as the source has them."""


class Source(Protocol):
    """An instrument."""

    @property
    def lowest(self) -> int:
        """Lowest key."""
        ...

    @property
    def highest(self) -> int:
        """Highest key."""
        ...

    def tone(self, key: float, seconds: float, rng: np.random.Generator) -> tuple[Samples, int]:
        """Samples that last at least so long after the attack, and where the tone begins."""
        ...


@dataclass(frozen=True, slots=True)
class Written:
    """One note of the melody."""

    at: float
    """Quarters from the start."""
    length: float
    key: int
    slurred: bool = False
    """From the note before."""


@dataclass(frozen=True, slots=True)
class Played:
    """One attack that sounded."""

    at: float
    end: float
    key: float
    how: str
    """"tongued", "slurred", "soft"."""
    of: int | None
    """Which written note, None for an added one."""
    call: str
    """"right", "wrong", "added", "twice"."""
    run: int = 0
    """Counts the restarts."""


@dataclass(frozen=True, slots=True)
class Manner:
    """How somebody plays."""

    bpm: float = 96.0
    """Quarters a minute."""
    jitter: float = 0.008
    """Standard deviation of an attack, seconds."""
    drift: float = 0.0
    """Share by which the tempo has changed at the end."""
    rubato: float = 0.0
    """Share by which the tempo swings to and fro."""
    manner: str = "mixed"
    """"legato", "tongued", "mixed", "staccato", "soft"."""
    wrong: float = 0.0
    missed: float = 0.0
    added: float = 0.0
    twice: float = 0.0
    restarts: int = 0
    detune: float = 0.0
    """Cents."""
    vibrato: float = 0.0
    """Cents to either side."""
    swing: float = 1.0
    """Ratio of eighths on the beat to those off it."""
    release: float = 0.0
    """Seconds in which a tone that is not slurred from falls by 20 dB once it ends; cut off
    within 0.02 to 0.05 where none."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where it is recorded."""

    reverb: float = 0.0
    """Seconds to -60 dB."""
    direct: float = 3.0
    """Direct sound against the room, dB."""
    early: int = 0
    """Echoes of single walls before the many."""
    phone: bool = False
    noise: float | None = None
    """Signal to noise, dB."""
    click: float | None = None
    """Peak of a click on each beat against the peak of the music, dB."""
    talk: bool = False
    other: float | None = None
    """Level of a second player, dB."""


@dataclass(frozen=True, slots=True)
class Take:
    """A recording and its truth."""

    samples: Samples
    written: tuple[Written, ...]
    played: tuple[Played, ...]
    manner: Manner
    clicks: tuple[float, ...] = ()
    start: float = 0.0
    """When the first written note is due."""
    tones: tuple[Samples, ...] = ()
    """Of each attack the tone by itself and dry, from the attack to its end: what its own pitch
    is measured on."""

    def calls(self) -> list[str]:
        """For every written note: "right", "wrong" or "missed" (the last time it was tried)."""
        found = ["missed"] * len(self.written)
        for one in self.played:
            if one.of is not None and one.call in ("right", "wrong"):
                found[one.of] = one.call
        return found


# --- what is written ---------------------------------------------------------------


PATTERNS: Final = (
    (0.25, 0.25, 0.25, 0.25),
    (0.25, 0.25, 0.25, 0.25),
    (0.5, 0.5),
    (0.5, 0.25, 0.25),
    (0.25, 0.25, 0.5),
    (0.75, 0.25),
    (1.0,),
    (1 / 3, 1 / 3, 1 / 3),
)
MAJOR: Final = (0, 2, 4, 5, 7, 9, 11)


def melody(
    rng: np.random.Generator,
    low: int,
    high: int,
    beats: int = 16,
    *,
    repeats: float = 0.12,
    slurs: float = 0.5,
    patterns: Sequence[Sequence[float]] = PATTERNS,
    rests: float = 0.06,
) -> tuple[Written, ...]:
    """A melody of a scale with leaps, repeated notes and rests."""
    tonic = int(rng.integers(0, 12))
    scale = [k for k in range(low, high + 1) if (k - tonic) % 12 in MAJOR]
    place = int(rng.integers(len(scale) // 4, max(len(scale) // 4 + 1, 3 * len(scale) // 4)))
    notes: list[Written] = []
    beat = 0.0
    for _ in range(beats):
        if notes and rng.random() < rests:
            beat += 1.0
            continue
        slurred = rng.random() < slurs
        at = beat
        for number, length in enumerate(patterns[int(rng.integers(len(patterns)))]):
            if notes and rng.random() < repeats:
                step = 0
            elif rng.random() < 0.18:
                step = int(rng.choice([-5, -4, -3, 3, 4, 5, 7]))
            else:
                step = int(rng.choice([-2, -1, -1, 1, 1, 2]))
            if not 0 <= place + step < len(scale):
                step = -step
            place = int(np.clip(place + step, 0, len(scale) - 1))
            key = scale[place] + (int(rng.choice([-1, 1])) if rng.random() < 0.08 else 0)
            key = int(np.clip(key, low, high))
            same = bool(notes) and notes[-1].key == key
            joined = bool(notes) and abs(notes[-1].at + notes[-1].length - at) < 1e-6
            notes.append(Written(at, length, key, slurred and number > 0 and joined and not same))
            at += length
        beat += 1.0
    return tuple(notes)


# --- what is played ----------------------------------------------------------------


def _second(manner: Manner, beat: float, beats: float) -> float:
    """When a place comes, from the start."""
    if manner.swing != 1.0:
        whole, rest = divmod(beat, 1.0)
        share = manner.swing / (1 + manner.swing)
        rest = rest * 2 * share if rest <= 0.5 else share + (rest - 0.5) * 2 * (1 - share)
        beat = whole + rest
    part = beat / max(beats, 1e-9)
    bent = beat * (1 - manner.drift * part / 2)
    wave = manner.rubato * np.sin(2 * np.pi * beat / 8) * 8 / (2 * np.pi)
    return float((bent + wave) * 60 / manner.bpm)


def perform(
    rng: np.random.Generator, written: Sequence[Written], manner: Manner, start: float = 1.0
) -> tuple[Played, ...]:
    """What somebody makes of a melody."""
    beats = written[-1].at + written[-1].length
    stops = sorted(
        int(n) for n in rng.choice(np.arange(3, len(written)), manner.restarts, replace=False)
    )
    order: list[tuple[int, int, float]] = []  # written, run, seconds that come on top
    late, first = 0.0, 0
    for run, stop in enumerate((*stops, len(written))):
        order += [(n, run, late) for n in range(first, stop)]
        if stop < len(written):
            back = 0 if rng.random() < 0.4 else max(0, stop - int(rng.integers(1, 5)))
            gap = float(rng.uniform(0.3, 1.2))
            late += _second(manner, written[stop].at, beats) + gap
            late -= _second(manner, written[back].at, beats)
            first = back
    played: list[Played] = []
    for n, run, on_top in order:
        note = written[n]
        at = start + on_top + _second(manner, note.at, beats)
        due = start + on_top + _second(manner, note.at + note.length, beats)
        at += float(np.clip(rng.normal(0, manner.jitter), -3 * manner.jitter, 3 * manner.jitter))
        _play(rng, played, written, n, at, due, manner, run)
    return tuple(in_order(played, manner))


def _how(
    rng: np.random.Generator, written: Sequence[Written], n: int, manner: Manner, joined: bool
) -> str:
    note = written[n]
    same = n > 0 and written[n - 1].key == note.key
    if not joined:
        return "tongued"
    if manner.manner == "legato":
        return "soft" if same and rng.random() < 0.5 else "tongued" if same else "slurred"
    if manner.manner == "soft":
        return "soft" if same else "slurred" if note.slurred else "tongued"
    if manner.manner in ("tongued", "staccato"):
        return "tongued"
    return "slurred" if note.slurred else "tongued"


def _play(
    rng: np.random.Generator,
    played: list[Played],
    written: Sequence[Written],
    n: int,
    at: float,
    due: float,
    manner: Manner,
    run: int,
) -> None:
    note = written[n]
    joined = n > 0 and bool(played) and played[-1].end > at - 0.06 and played[-1].run == run
    how = _how(rng, written, n, manner, joined)
    end = due if manner.manner != "staccato" else at + 0.5 * (due - at)
    end = max(end, at + 0.07)
    fate = rng.random()
    near = {w.key for w in written[max(n - 2, 0) : n + 3]}  # what else could be meant
    if fate < manner.missed and (
        n == 0 or any(w.key == note.key for w in (*written[n - 1 : n], *written[n + 1 : n + 2]))
    ):
        fate = 1.0  # nobody could tell which of two equal notes is missing
    if fate < manner.missed:
        if played and not (n > 0 and written[n - 1].key == note.key) and rng.random() < 0.7:
            played[-1] = replace(played[-1], end=due)
        return
    if fate < manner.missed + manner.wrong:
        key = _another(rng, note.key, near)
        how = "tongued" if how == "soft" else how
        played.append(Played(at, end, key, how, n, "wrong", run))
        return
    fate -= manner.missed + manner.wrong
    if fate < manner.added and due - at > 0.2:
        half = at + (due - at) * float(rng.uniform(0.45, 0.6))
        key = _another(rng, note.key, near)
        played.append(Played(at, half, note.key, how, n, "right", run))
        added = "slurred" if how == "slurred" else "tongued"
        played.append(Played(half, end, key, added, None, "added", run))
        return
    fate -= manner.added
    if fate < manner.twice and due - at > 0.24:
        half = at + (due - at) * float(rng.uniform(0.45, 0.6))
        played.append(Played(at, half, note.key, how, n, "right", run))
        again = "soft" if manner.manner == "soft" else "tongued"
        played.append(Played(half, end, note.key, again, None, "twice", run))
        return
    played.append(Played(at, end, note.key, how, n, "right", run))


def _another(rng: np.random.Generator, key: int, near: set[int]) -> int:
    """A wrong pitch that is none of those around it."""
    steps = [s for s in (-1, 1, -2, 2, -3, 3, -4, 4) if key + s not in near]
    return key + int(rng.choice(steps[:4]))


def in_order(played: Sequence[Played], manner: Manner) -> list[Played]:
    """Each note ends before the next begins, and what is next to itself is tongued."""
    found: list[Played] = []
    for one in sorted(played, key=lambda p: p.at):
        note = one
        if found:
            before = found[-1]
            if note.at < before.at + 0.05:
                note = replace(note, at=before.at + 0.05, end=max(note.end, before.at + 0.12))
            if note.how == "slurred" and (before.key == note.key or before.end < note.at - 0.06):
                note = replace(note, how="tongued")
            if note.how == "soft" and (before.key != note.key or before.end < note.at - 0.06):
                note = replace(note, how="tongued")
            if (
                before.end > note.at - 0.06 and manner.manner != "staccato"
            ) or before.end > note.at:
                found[-1] = replace(before, end=note.at)
        found.append(note)
    return found


# --- how it sounds -----------------------------------------------------------------


def sounded(
    rng: np.random.Generator, played: Sequence[Played], source: Source, manner: Manner, end: float
) -> Samples:
    """The samples of a performance, dry."""
    return tones_of(rng, played, source, manner, end)[0]


def tones_of(
    rng: np.random.Generator, played: Sequence[Played], source: Source, manner: Manner, end: float
) -> tuple[Samples, tuple[Samples, ...], tuple[Played, ...]]:
    """The samples of a performance, dry; each of its tones by itself, from its attack on; and the
    performance with its attacks where they sounded."""
    out = np.zeros(int((end + 1.0) * RATE))
    tones: list[Samples] = []
    begun: list[Played] = []
    for number, note in enumerate(played):
        follows = played[number + 1] if number + 1 < len(played) else None
        tone, begins = source.tone(note.key + manner.detune / 100, note.end - note.at + 0.2, rng)
        if manner.vibrato:
            tone = _vibrated(tone, manner.vibrato, float(rng.uniform(0, 6.3)))
        tone = tone * 10 ** (float(rng.uniform(-2, 2)) / 20)
        if note.how == "tongued":
            first = max(begins - int(LEAD * RATE), 0)
            piece, before = tone[first:], begins - first
            fade_in = min(int(0.004 * RATE), before)
            piece = piece.copy()
            if fade_in:
                piece[:fade_in] *= np.linspace(0, 1, fade_in)
        else:
            width = float(rng.uniform(0.010, 0.022)) if note.how == "slurred" else 0.016
            before = int(width * RATE / 2)
            at = begins + int(0.09 * RATE)
            piece = tone[at : at + int((note.end - note.at + 0.15) * RATE) + before].copy()
            ramp = np.linspace(0, 1, 2 * before)
            piece[: 2 * before] *= np.sin(ramp * np.pi / 2) if note.how == "slurred" else ramp**2
            if note.how == "soft":
                piece[: 2 * before] += (
                    0.12 * np.std(piece) * rng.normal(size=2 * before) * (np.hanning(2 * before))
                )
        _end(rng, piece, before, note, follows, manner.release)
        tones.append(piece[before : before + round((note.end - note.at) * RATE)])
        moved = _begins(piece, before, note.end - note.at) if note.how == "tongued" else 0.0
        begun.append(replace(note, at=note.at + moved))
        where = round(note.at * RATE) - before
        low = max(where, 0)
        piece = piece[low - where :][: len(out) - low]
        out[low : low + len(piece)] += piece
    return out, tuple(tones), tuple(begun)


def _begins(piece: Samples, before: int, seconds: float) -> float:
    """Seconds after sample ``before`` at which a tone that is held for some seconds comes within
    6 dB of its own plateau."""
    shape = np.hanning(int(0.01 * RATE))
    level = np.sqrt(np.convolve(piece**2, shape / shape.sum(), "same"))
    sounds = before + int(np.argmax(np.append(level[before:] < 0.03 * level.max(), True)))
    first, last = (before + int(after * RATE) for after in PLATEAU)
    last = min(last, before + int(seconds * RATE), sounds - int(0.02 * RATE))
    plateau = np.median(level[min(first, last - 1) : last]) if last > before else level.max()
    return (int(np.argmax(level > plateau / 2)) - before) / RATE


def _end(
    rng: np.random.Generator,
    piece: Samples,
    before: int,
    note: Played,
    follows: Played | None,
    release: float,
) -> None:
    """Let a tone end: cut by the tongue, passed over into a slur, or by itself."""
    length = note.end - note.at
    if follows is not None and follows.at - note.end < 0.06 and follows.how == "slurred":
        fall, stop, slope = 0.016, follows.at - note.at + 0.008, "cos"
    elif follows is not None and follows.at - note.end < 0.06 and follows.how == "soft":
        fall, stop, slope = 0.018, follows.at - note.at - 0.004, "dip"
    elif follows is not None and follows.at - note.end < 0.06:
        gap = float(rng.uniform(0.015, 0.05))
        fall, stop, slope = 0.02, max(length - gap, 0.6 * length), "line"
    else:
        fall, stop, slope = 0.05, length, "line"
    stop_at = min(before + int(stop * RATE), len(piece))
    start = max(stop_at - int(fall * RATE), 0)
    ramp = np.linspace(0, 1, stop_at - start)
    if slope == "cos":
        piece[start:stop_at] *= np.cos(ramp * np.pi / 2)
        piece[stop_at:] = 0
    elif slope == "dip":
        depth = 10 ** (-float(rng.uniform(7, 14)) / 20)
        piece[start:stop_at] *= 1 - ramp * (1 - depth)
        tail = min(int(0.016 * RATE), len(piece) - stop_at)
        piece[stop_at : stop_at + tail] *= depth * (1 - np.linspace(0, 1, tail))
        piece[stop_at + tail :] = 0
    elif release:
        after = np.arange(len(piece) - start) / RATE
        piece[start:] *= 10 ** (-after / release)
    else:
        piece[start:stop_at] *= (1 - ramp) ** 1.5
        piece[stop_at:] = 0


def _vibrated(tone: Samples, cents: float, phase: float) -> Samples:
    time = np.arange(len(tone)) / RATE
    depth = cents / 1200 * np.log(2)
    shift = depth / (2 * np.pi * 5.5) * (np.sin(2 * np.pi * 5.5 * time + phase) - np.sin(phase))
    return np.asarray(np.interp(time + shift, time, tone))


# --- where it is recorded ----------------------------------------------------------


def recorded(
    rng: np.random.Generator,
    dry: Samples,
    place: Place,
    clicks: Sequence[float] = (),
    other: Samples | None = None,
) -> Samples:
    """A dry performance as a device in a place hears it."""
    out = dry
    level = _active_level(out)
    if place.click is not None:
        out = out + 10 ** (place.click / 20) * np.max(np.abs(dry)) * _clicks(clicks, len(dry))
    if place.other is not None and other is not None:
        behind = np.zeros(len(out))
        behind[: min(len(other), len(out))] = other[: len(out)]
        behind *= level / max(_active_level(behind), 1e-9) * 10 ** (place.other / 20)
        out = out + _in_room(rng, behind, max(place.reverb, 0.4), -2.0)[: len(out)]
    if place.reverb:
        out = _in_room(rng, out, place.reverb, place.direct, place.early)
    if place.talk:
        talk = speech(rng, 0.8) * 2 * level
        out = np.concatenate([talk, np.zeros(int(0.3 * RATE)), out, 0.7 * talk[::-1]])
    if place.noise is not None:
        hiss = _noise(rng, len(out))
        out = out + hiss * (_active_level(out) * 10 ** (-place.noise / 20))
    if place.phone:
        out = _phone(out)
    peak = float(np.max(np.abs(out)))
    return np.asarray(out * (0.5 / peak)) if peak else out


def _active_level(x: Samples) -> float:
    size = int(0.02 * RATE)
    blocks = x[: len(x) // size * size].reshape(-1, size)
    power = (blocks**2).mean(1)
    loud = power[power > power.max() * 1e-3]
    return float(np.sqrt(loud.mean())) if len(loud) else 0.0


def _noise(rng: np.random.Generator, size: int) -> Samples:
    """Half white, half pink, of level 1."""
    white = rng.normal(size=size)
    spectrum = np.fft.rfft(rng.normal(size=size))
    pink = np.fft.irfft(spectrum / np.sqrt(np.maximum(np.arange(len(spectrum)), 20)), size)
    both: Samples = white / white.std() + pink / pink.std()
    return np.asarray(both / both.std())


def _in_room(
    rng: np.random.Generator, x: Samples, seconds: float, direct: float, early: int = 0
) -> Samples:
    size = int(1.2 * seconds * RATE)
    time = np.arange(size) / RATE
    tail = rng.normal(size=size) * 10 ** (-3 * time / seconds)
    high = rng.normal(size=size) * 10 ** (-3 * time / (0.5 * seconds))
    tail = np.convolve(tail, np.ones(4) / 4)[:size] + 0.4 * high
    tail[: int(0.004 * RATE)] = 0
    if early:
        walls = rng.integers(int(0.002 * RATE), int(0.03 * RATE), early)
        tail[walls] += rng.choice([-1.0, 1.0], early) * np.sqrt((tail**2).sum() / (2 * early))
    tail *= 10 ** (-direct / 20) / np.sqrt((tail**2).sum())
    tail[0] += 1.0
    total = len(x) + size
    n = 1 << (total - 1).bit_length()
    wet = np.fft.irfft(np.fft.rfft(x, n) * np.fft.rfft(tail, n), n)
    return np.asarray(wet[: len(x) + size // 2])


def _phone(x: Samples) -> Samples:
    """A small microphone's band, and a gain that levels out."""
    n = 1 << (len(x) - 1).bit_length()
    f = np.fft.rfftfreq(n, 1 / RATE)
    band = (f / 200) ** 2 / (1 + (f / 200) ** 2) / np.sqrt(1 + (f / 6500) ** 8)
    x = np.fft.irfft(np.fft.rfft(x, n) * band, n)[: len(x)]
    size = 32
    blocks = np.abs(np.pad(x, (0, -len(x) % size)).reshape(-1, size)).max(1)
    level = np.empty_like(blocks)
    now = 0.0
    for i, peak in enumerate(blocks):
        time = 0.004 if peak > now else 0.2
        now += (peak - now) * (1 - np.exp(-size / RATE / time))
        level[i] = now
    threshold = 0.15 * np.max(np.abs(x))
    gain = np.minimum(1, (threshold / np.maximum(level, 1e-9)) ** 0.6)
    gain = np.interp(np.arange(len(x)), np.arange(len(gain)) * size + size / 2, gain)
    y = np.tanh(1.5 * x * gain / np.max(np.abs(x * gain)))
    step = 2**-15
    return np.asarray(np.round(y / step) * step)


def click_sound(accent: bool = False) -> Samples:
    """A short ping with a knock."""
    time = np.arange(int(0.05 * RATE)) / RATE
    tone = np.sin(2 * np.pi * (2200 if accent else 1650) * time) * np.exp(-time / 0.008)
    knock = np.random.default_rng(5).normal(size=len(time)) * np.exp(-time / 0.002)
    both: Samples = tone + 0.3 * knock
    return np.asarray(both / np.max(np.abs(both)))


def _clicks(times: Sequence[float], size: int) -> Samples:
    out = np.zeros(size)
    sound = click_sound()
    for time in times:
        at = round(time * RATE)
        piece = sound[: max(size - at, 0)]
        out[at : at + len(piece)] += piece
    return out


def speech(rng: np.random.Generator, seconds: float) -> Samples:
    """Syllables: a buzzing source through two moving formants, of peak level 1."""
    size = int(seconds * RATE)
    time = np.arange(size) / RATE
    pitch = 120 * 2 ** (np.cumsum(rng.normal(size=size)) * 0.0012 + 0.2 * np.sin(5 * time))
    phase = 2 * np.pi * np.cumsum(pitch) / RATE
    out = np.zeros(size)
    first = 500 + 250 * np.sin(2 * np.pi * 2.7 * time + rng.uniform(0, 6))
    second = 1500 + 600 * np.sin(2 * np.pi * 1.9 * time + rng.uniform(0, 6))
    for h in range(1, 25):
        f = h * pitch
        weight = np.exp(-(((f - first) / 180) ** 2)) + 0.6 * np.exp(-(((f - second) / 250) ** 2))
        out += (weight + 0.02) * np.sin(h * phase)
    out += 0.15 * rng.normal(size=size)
    out *= np.clip(np.sin(2 * np.pi * 4.3 * time + rng.uniform(0, 6)) + 0.3, 0, None)
    return np.asarray(out / np.max(np.abs(out)))


def make_take(
    seed: int,
    source: Source,
    manner: Manner,
    place: Place,
    beats: int = 16,
    repeats: float = 0.12,
    written: tuple[Written, ...] | None = None,
) -> Take:
    """One take, the same for the same seed."""
    rng = np.random.default_rng(seed)
    low = int(rng.integers(source.lowest, max(source.lowest + 1, source.highest - 18)))
    high = min(low + 24, source.highest)
    notes = written or melody(rng, low, high, beats, repeats=repeats)
    played = perform(rng, notes, manner)
    end = max(p.end for p in played)
    dry, tones, played = tones_of(rng, played, source, manner, end)
    beat = 60 / manner.bpm
    clicks = tuple(1.0 + beat * n for n in range(-1, int((end - 1.0) / beat) + 1))
    other = None
    if place.other is not None:
        theirs = perform(rng, melody(rng, low, high, beats), replace(manner, bpm=manner.bpm))
        other = sounded(rng, theirs, source, manner, theirs[-1].end)
    samples = recorded(rng, dry, place, clicks, other)
    shift = 0.0
    if place.talk:
        shift = 0.8 + 0.3
        played = tuple(replace(p, at=p.at + shift, end=p.end + shift) for p in played)
        clicks = tuple(c + shift for c in clicks)
    return Take(
        samples,
        notes,
        played,
        manner,
        clicks if place.click is not None else (),
        1.0 + shift,
        tones,
    )


# --- computed tones ----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Computed:
    """A tone of twelve partials, its colour between a reed's and a flute's."""

    lowest: int = 52
    highest: int = 88
    odd: float = 0.4
    """How much weaker the even partials are."""

    def tone(self, key: float, seconds: float, rng: np.random.Generator) -> tuple[Samples, int]:
        """See ``Source``."""
        f0 = 440 * 2 ** ((key - 69) / 12)
        size = int((LEAD + seconds + 0.2) * RATE)
        time = np.arange(size) / RATE
        rise = float(rng.uniform(0.012, 0.03))
        begins = int(LEAD * RATE)
        envelope = 1 / (1 + np.exp(-(time - LEAD) / (rise / 5)))  # -6 dB where it begins
        out = np.zeros(size)
        for h in range(1, 13):
            if h * f0 > 0.45 * RATE:
                break
            weight = 0.75 ** (h - 1) * (self.odd if h % 2 == 0 else 1.0)
            out += (
                weight
                * envelope ** (1 + 0.1 * h)
                * np.sin(2 * np.pi * h * f0 * time + float(rng.uniform(0, 6.3)))
            )
        out += 0.004 * rng.normal(size=size) * envelope
        return out / np.std(out[begins + 500 :]) * 0.1, begins
