"""The same takes heard by an independent front end: librosa's pYIN and onset detection.

Neither knows the written notes.  A note is what lies between two detected onsets, its pitch
the median of pYIN's there.  Both sides are matched to what was played by mir_eval's notes
with its usual tolerances (onset 50 ms, pitch 50 cents, ends left out).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import librosa
import mir_eval
import numpy as np

from bench.take_tones import Recorded
from drills.listening.played import listen
from tests.listening.takes import RATE, Samples, Take

Notes = tuple[np.ndarray, np.ndarray]
"""Begin and end in seconds (notes x 2), hertz."""
HOP = 256


def by_librosa(samples: Samples, lowest: float, highest: float) -> Notes:
    """Notes by pYIN and spectral flux, with their usual settings."""
    f0, voiced, _ = librosa.pyin(samples, fmin=lowest, fmax=highest, sr=RATE, hop_length=HOP)
    onsets = librosa.onset.onset_detect(
        y=samples, sr=RATE, hop_length=HOP, backtrack=False, units="frames"
    )
    edges = [*onsets, len(f0)]
    found = []
    for begin, end in pairwise(edges):
        own = f0[begin:end][voiced[begin:end]]
        if len(own) > 3:
            found.append((begin * HOP / RATE, end * HOP / RATE, float(np.median(own))))
    if not found:
        return np.zeros((0, 2)), np.zeros(0)
    return np.array([one[:2] for one in found]), np.array([one[2] for one in found])


def truth(take: Take) -> Notes:
    """What was played."""
    keys = np.array([p.key for p in take.played]) + take.manner.detune / 100
    times = np.array([(p.at, max(p.end, p.at + 0.02)) for p in take.played])
    return times, 440 * 2 ** ((keys - 69) / 12)


def matched(real: Notes, found: Notes) -> tuple[float, list[float]]:
    """F1 of notes, and the onset errors of the matched ones in ms."""
    pairs = mir_eval.transcription.match_notes(*real, *found, offset_ratio=None)
    share = 2 * len(pairs) / max(len(real[1]) + len(found[1]), 1)
    return share, [1000 * (found[0][b, 0] - real[0][a, 0]) for a, b in pairs]


def against(jobs: Sequence[tuple[str, int]], sources: dict[str, Recorded]) -> Iterator[str]:
    """A line for each condition: ours and theirs."""
    from bench.takes import made, wanted_of  # noqa: PLC0415 - that module imports this one

    yield "condition              F1 ours librosa | median ms ours librosa | p95 ours librosa"
    for condition in dict.fromkeys(name for name, _ in jobs):
        rows = []
        for name, seed in jobs:
            if name != condition:
                continue
            _, take = made(name, seed, sources)
            wanted = wanted_of(take)
            samples = take.samples.astype(np.float32)
            played = listen(samples, RATE, wanted)
            hertz = [440 * 2 ** ((n.key - 69 + played.tuning / 100) / 12) for n in played.notes]
            times = [(max(n.at, 0), max(n.end, n.at + 0.02)) for n in played.notes]
            ours = matched(truth(take), (np.array(times), np.array(hertz)))
            low, high = (440 * 2 ** ((k - 69) / 12) for k in (wanted.keys[0], wanted.keys[-1]))
            theirs = matched(truth(take), by_librosa(samples, low, high))
            rows.append((ours, theirs))
        yield f"{condition:20s}" + "".join(_columns(rows))


def _columns(rows: Sequence[tuple[tuple[float, list[float]], ...]]) -> Iterator[str]:
    """Ours and theirs: share, median and 95th percentile."""
    shares = [float(np.mean([row[side][0] for row in rows])) for side in (0, 1)]
    errors = [np.abs(np.concatenate([row[side][1] for row in rows])) for side in (0, 1)]
    yield f"  {shares[0]:8.3f} {shares[1]:8.3f} |"
    yield f"  {np.median(errors[0]):8.1f} {np.median(errors[1]):8.1f} |"
    yield f"  {np.percentile(errors[0], 95):8.1f} {np.percentile(errors[1], 95):8.1f}"
