"""From a recording and a score to a verdict.

    with takes(...) ...                                        (cli/work_take.py)

Reading: the score gives the spot or a drill of its sheet, that gives what is wanted, the
recording gives what was played, both give the verdict.  Nothing of a recording is kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np

from drills.errors import PlaceError, ReadError, UsageError
from drills.jobs.request import Settings, Tell, say_nothing
from drills.jobs.sheets import music_of
from drills.jobs.wanted_spots import wanted_spots
from drills.listening.plan import Rung, read_plan, shift_of
from drills.listening.played import Played, listen
from drills.listening.repeats import Habit, habits, judge_all, times_through
from drills.listening.sound_file import Recording, open_recording
from drills.listening.spectra import Floats
from drills.listening.verdict import Verdict, judge
from drills.listening.wanted import Wanted
from drills.listening.words import sentence
from drills.listening.written import slurs_of, wanted_of
from drills.music.pitch import Pitch
from drills.project.book import BookSpot
from drills.reading.musicxml import open_score
from drills.rewriting.rewrite import rewritten
from drills.sheets.blocks import drill_words
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from drills.sound.timeline import Passage, drill_passage, spot_passage

AUTO: Final = "auto"
SPOT: Final = "The spot as it stands"
SOUNDS: Final = {
    *(".wav", ".flac", ".ogg", ".opus", ".mp3", ".caf", ".aiff", ".aif"),
    *(".m4a", ".mp4", ".3gp", ".webm", ".aac"),
}
"""Endings of what is taken for a recording in a folder."""
SPARE: Final = 1.5
"""Seconds of a rung's recording that are heard beyond its end."""


@dataclass(frozen=True, slots=True)
class Material:
    """Something that can be played, and what a recording of it must have."""

    what: str
    """"The spot as it stands", or a drill's heading and label."""
    wanted: Wanted
    written: tuple[Pitch, ...]
    """Each note as the player reads it; of a chord the highest tone."""


@dataclass(frozen=True, slots=True)
class JudgedRung:
    """One tempo of a practice."""

    words: str
    """The metronome number."""
    what: str
    verdicts: tuple[Verdict, ...]
    """One for each time through."""

    @property
    def clean(self) -> bool:
        """Nothing wrong, missed or added in most of the times through."""
        good = [v for v in self.verdicts if _clean(v)]
        return len(good) * 2 > len(self.verdicts)


@dataclass(frozen=True, slots=True)
class JudgedTake:
    """A recording with its verdict."""

    path: Path
    sheet: Sheet
    material: Material
    played: Played
    verdicts: tuple[Verdict, ...]
    """One for each time through."""
    habits: tuple[Habit, ...]
    rungs: tuple[JudgedRung, ...] = ()
    """Of a practice; the verdicts are then those of its best rung."""

    @property
    def best(self) -> Verdict:
        """The time through with most right notes; of equals the last."""
        return max(reversed(self.verdicts), key=lambda v: (not v.refused, v.share_right))

    @property
    def sentence(self) -> str:
        """What to say first."""
        if self.rungs:
            return practice_sentence(self.rungs)
        return sentence(self.best, self.habits)


@dataclass(frozen=True, slots=True)
class Reached:
    """What a verdict says to a log of practice."""

    spot: str
    """The place as the player asked for it."""
    block: str
    """What was played of it."""
    number: float
    """Quarters a minute that were reached."""
    right: float
    """Share of the notes that were right, 0 to 1."""


def reached(take: JudgedTake) -> Reached | None:
    """The verdict as a row of a log; None where the take was refused."""
    best = take.best
    if best.refused or best.timing is None:
        return None
    return Reached(
        take.sheet.spot.span.asked, take.material.what, best.timing.tempo, best.share_right
    )


@dataclass(frozen=True, slots=True)
class Asked:
    """What of the sheet was played."""

    place: str
    part: str | None = None
    drill: str | None = None
    """A label of the sheet, a heading and a label, or "auto"; None for the spot."""
    practice: Path | None = None
    """The plan of the practice sound that was played to."""


def judge_takes(
    recordings: Sequence[Path],
    score: Path,
    asked: Asked,
    settings: Settings,
    tell: Tell = say_nothing,
) -> tuple[JudgedTake, ...]:
    """Judge recordings of one spot, in the order of their names' dates.

    A folder stands for the recordings in it, oldest first.  Raises ReadError, UsageError,
    PlaceError, LimitError.
    """
    files = tuple(_files(recordings))
    tell(f"reading {score}")
    sheet, materials = _materials(score, asked, settings)
    plan = None if asked.practice is None else read_plan(asked.practice)
    found = []
    for path in files:
        tell(f"listening to {path}")
        with open_recording(path) as recording:
            if plan is not None:
                found.append(_practice(recording, sheet, materials, plan))
            else:
                found.append(_take(recording, sheet, _asked_for(materials, asked.drill)))
    return tuple(found)


def _files(given: Sequence[Path]) -> Iterator[Path]:
    for path in given:
        if not path.is_dir():
            yield path
            continue
        inside = [one for one in path.iterdir() if one.suffix.lower() in SOUNDS and one.is_file()]
        if not inside:
            raise ReadError(f"{path}: there are no recordings in this folder")
        yield from sorted(inside, key=lambda one: (one.stat().st_mtime, one.name))


def _materials(score: Path, asked: Asked, settings: Settings) -> tuple[Sheet, tuple[Material, ...]]:
    """The sheet of the spot and all that is on it, the spot itself first."""
    part, _ = music_of(open_score(score, settings.limits), asked.part, settings)
    spots = wanted_spots(part, [BookSpot(asked.place)])
    if len(spots) != 1:
        raise PlaceError(f"name one place with --at; {asked.place!r} means {len(spots)}")
    span = spots[0].span
    played = rewritten(part, settings.rewriting, [span])
    sheet = make_sheet(played, span, settings.choices)
    spot = _material(SPOT, spot_passage(sheet, played), sheet, slurs_of(sheet))
    drills = (
        _material(drill_words(block, drill), drill_passage(drill), sheet)
        for block in sheet.blocks
        if block.printed
        for drill in block.drills
    )
    return sheet, (spot, *drills)


def _material(what: str, passage: Passage, sheet: Sheet, slurred: Sequence[bool] = ()) -> Material:
    wanted = wanted_of(passage, sheet.tempo, slurred)
    written = tuple(
        max((tone for tone in one.tones if isinstance(tone, Pitch)), key=lambda tone: tone.midi)
        for one in passage.sounds()
    )
    return Material(what, wanted, written)


def _asked_for(materials: Sequence[Material], name: str | None) -> tuple[Material, ...]:
    """The drill that is named, or all of them for "auto"; UsageError for none or several."""
    if name is None:
        return (materials[0],)
    if name == AUTO:
        return tuple(materials)
    wanted = name.strip().casefold()
    found = [
        one
        for number, one in enumerate(materials)
        if wanted in (one.what.casefold(), one.what.casefold().rpartition(", ")[2], f"#{number}")
    ]
    if len(found) == 1:
        return (found[0],)
    names = ", ".join(dict.fromkeys(one.what.rpartition(", ")[2] for one in materials[1:]))
    what = "no drill" if not found else "more than one drill"
    raise UsageError(f"--drill {name}: {what} of the sheet is called that; there are {names}, auto")


def _take(recording: Recording, sheet: Sheet, materials: Sequence[Material]) -> JudgedTake:
    """The best of some materials; of one, that."""
    best: JudgedTake | None = None
    for material in materials:
        played = listen(recording.samples, recording.rate, material.wanted)
        verdicts = judge_all(material.wanted, played)
        own = JudgedTake(recording.path, sheet, material, played, verdicts, habits(verdicts))
        if best is None or _evidence(own) > _evidence(best):
            best = own
    if best is None:
        raise UsageError("the sheet has nothing to play")
    return best


def _evidence(take: JudgedTake) -> tuple[float, int]:
    """How well a recording fits what it is taken for."""
    times = [v for v in take.verdicts if not v.refused]
    if not times:
        return 0.0, 0
    share = float(np.mean([v.share_right * (1 - 0.1 * len(v.extras)) for v in times]))
    return share * take.played.sounding, len(take.material.wanted.notes)


def _clean(verdict: Verdict) -> bool:
    faults = [n for n in verdict.notes if n.call in ("wrong", "missed")]
    return not verdict.refused and not faults and not verdict.extras


# --- a practice ------------------------------------------------------------------------


def _practice(
    recording: Recording, sheet: Sheet, materials: Sequence[Material], plan: Sequence[Rung]
) -> JudgedTake:
    """Every rung of a practice by itself."""
    named = {material.what: material for material in materials}
    unknown = [rung.what for rung in plan if rung.what not in named]
    if unknown:
        raise UsageError(
            f"--practice: the sheet of this place has no {unknown[0]!r}; same options?"
        )
    shift = _shift(recording, named, plan)
    rungs = tuple(_judged(recording, named[rung.what], rung, shift) for rung in plan)
    done = [rung for rung in rungs if any(not v.refused for v in rung.verdicts)]
    if not done:
        whole = _take(recording, sheet, (named[plan[0].what],))
        return replace(whole, rungs=rungs)
    last = next((rung for rung in reversed(done) if rung.clean), done[-1])
    material = named[last.what]
    played = Played((), 0.0, recording.seconds, 0.0, room=False, echo=False, crowd=0.0)
    return JudgedTake(
        recording.path, sheet, material, played, last.verdicts, habits(last.verdicts), rungs
    )


def _shift(recording: Recording, named: dict[str, Material], plan: Sequence[Rung]) -> float:
    """Where the plan begins on the recording, from its first minute or two."""
    first = plan[0]
    material = named[first.what]
    wanted = replace(material.wanted, pace=60 / first.tempo)
    end = int(min(first.end + 20.0, recording.seconds) * recording.rate)
    played = listen(np.asarray(recording.samples[:end]), recording.rate, wanted)
    begun = [one.notes[0].at for one in times_through(played, wanted) if one.notes[0].note == 0]
    same = [rung for rung in plan if rung.what == first.what][:2]
    return shift_of(same, begun, wanted.notes[0].at)


def _judged(recording: Recording, material: Material, rung: Rung, shift: float) -> JudgedRung:
    pace = 60 / rung.tempo
    wanted = replace(material.wanted, pace=pace)
    verdicts: list[Verdict] = []
    for number, time in enumerate(rung.times):
        following = (*rung.times, rung.end)[number + 1]
        low, high = shift + time - 0.25, shift + max(following, time) + 0.1
        last = number + 1 == len(rung.times)
        verdicts.append(_one_time(recording, wanted, low, high + SPARE * last, shift + time))
    return JudgedRung(rung.words, rung.what, tuple(verdicts))


def _one_time(recording: Recording, wanted: Wanted, low: float, high: float, due: float) -> Verdict:
    """One time through, against the click that it was played to."""

    rate = recording.rate
    begin, end = max(int(low * rate), 0), max(min(int(high * rate), len(recording.samples)), 0)
    piece: Floats = np.asarray(recording.samples[begin:end])
    if len(piece) < rate // 4:
        piece = np.zeros(rate // 2, dtype=np.float32)
    played = listen(piece, rate, wanted)
    return judge(wanted, played, (due - begin / rate, wanted.pace))


def practice_sentence(rungs: Sequence[JudgedRung]) -> str:
    """ "Clean up to 96; at 104 note 7 breaks." """
    clean = [rung for rung in rungs if rung.clean]
    broken = next((rung for rung in rungs if not rung.clean), None)
    if broken is None:
        return f"Clean on every rung, up to {clean[-1].words}." if clean else "Nothing was heard."
    first = f"Clean up to {clean[-1].words}; " if clean else ""
    heard = [v for v in broken.verdicts if not v.refused]
    if not heard:
        return f"{first}at {broken.words} nothing of it was heard."
    counts = np.sum([[note.call in ("wrong", "missed") for note in v.notes] for v in heard], axis=0)
    worst = [int(n) + 1 for n in np.argsort(-counts, kind="stable")[:2] if counts[n]]
    if not worst:
        return f"{first}at {broken.words} notes are added: stay below and repeat."
    what = f"note {worst[0]} breaks" if len(worst) == 1 else _both(sorted(worst))
    return f"{first}at {broken.words} {what} it: stay below and repeat."


def _both(numbers: Sequence[int]) -> str:
    return f"notes {numbers[0]} and {numbers[1]} break"
