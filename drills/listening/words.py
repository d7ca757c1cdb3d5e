"""A verdict in one or two plain and kind sentences, and what to do next.

What went best comes first, then the one or two things to do, with place and number, and the
rung of the ladder that follows from it: who has faults stays on a rung, who has none goes on
once the rung has gone right as often in a row as the sheet asks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice
from typing import Final

from drills.listening.paper import OnLadder, OnPaper
from drills.listening.phrases import among, begun, count_words, hard, move, placed, slowly
from drills.listening.repeats import Habit
from drills.listening.stretch import stretch_of
from drills.listening.thresholds import USUAL, Thresholds
from drills.listening.verdict import NoteVerdict, Verdict

UNKNOWN: Final = OnPaper()
THINGS: Final = 2
"""To do next, at most: who is told ten does none."""
_MORE: Final = "for more to be said about time and pitch; record nearer to the instrument"
DOUBTS: Final = {
    "echo": f"The room echoes too long {_MORE}, or in a smaller room.",
    "others": f"Too much else sounds {_MORE}, and alone.",
}


def sentence(
    verdict: Verdict,
    habits: Sequence[Habit] = (),
    paper: OnPaper = UNKNOWN,
    rung: OnLadder | None = None,
    *,
    times: tuple[int, int] = (1, 1),
    in_a_row: int = 0,
    swing: float | None = None,
    thresholds: Thresholds = USUAL,
) -> str:
    """What to say first.

    ``times``: how many times through had every note, and how many there were;
    ``in_a_row``: how many, the last ones, had no fault at all; ``swing``: the ratio of eighths
    that was meant, None where that was not said.
    """
    if verdict.refused:
        return (
            f"I cannot judge this take: {verdict.refused} "
            f"({_sure(verdict.certainty)}). Check the recording, the place, the part and the "
            "instrument."
        )
    if verdict.bars is not None:
        return f"{begun(verdict.bars.words)}. {_of_bars(verdict, paper)}"
    swung = swing is None and swings(verdict, thresholds)
    habits = [one for one in habits if not (swung and one.what in ("late", "early"))]
    things = list(islice(_things(verdict, habits, paper, thresholds, swung=swung), THINGS))
    if verdict.doubt and not things:
        return f"{_best(verdict, paper, times)} {DOUBTS[verdict.doubt]}"
    return f"{_best(verdict, paper, times)} {_next(things, rung, in_a_row)}"


def swings(verdict: Verdict, thresholds: Thresholds) -> bool:
    """Whether the eighths were clearly long and short, as a player does who means to swing."""
    timing = verdict.timing
    if timing is None or timing.swing is None:
        return False
    return timing.swing - (timing.swing_uncertain or 0.0) > 1 + 2 * thresholds("swing")


def _of_bars(verdict: Verdict, paper: OnPaper) -> str:
    """What was wrong in the bars that were played."""
    tried = [note for note in verdict.notes if note.tries]
    wrong = [note for note in tried if note.call == "wrong"]
    if wrong:
        return f"In them {_wrong(wrong[0], paper)}."
    return f"The {len(tried)} notes heard there were right; the spot itself is still to be played."


def _sure(certainty: float) -> str:
    return "sure" if certainty > 0.9 else "likely" if certainty > 0.7 else "not sure"


def _best(verdict: Verdict, paper: OnPaper, times: tuple[int, int]) -> str:
    judged = [n for n in verdict.notes if n.call != "unclear"]
    right = sum(n.call == "right" for n in judged)
    stretch = stretch_of(verdict)
    if stretch is not None:
        return _part(verdict, stretch)
    unheard = len(verdict.notes) - len(judged)
    rest = f" of those that could be heard ({unheard} could not)" if unheard else ""
    if not judged:
        return "None of the notes could be heard well enough to judge."
    if right == len(judged):
        full, count = times
        often = "once" if full == 1 else f"{count_words(full)} times"
        again = f" {often} out of {count_words(count)}" if count > 1 else ""
        return f"All {right} notes{rest} were there{again}."
    best = f" in the best of {count_words(times[1])} times" if times[1] > 1 else ""
    said = f"{right} of {len(judged)} notes{rest} were right{best}"
    if verdict.clean_notes < 3:
        return f"{said}."
    first, last = verdict.clean
    bars = dict.fromkeys(bar for n in (first, last) if (bar := paper.bar(n)))
    where = f" ({' to '.join(bars)})" if bars else ""
    return f"{said}, and {first} to {last}{where} went through clean."


def _part(verdict: Verdict, stretch: tuple[int, int]) -> str:
    """What was right of a part of the spot."""
    first, last = stretch
    inside = [n for n in verdict.notes[first - 1 : last] if n.call != "unclear"]
    right = sum(n.call == "right" for n in inside)
    played = f"You played notes {first} to {last} of {len(verdict.notes)}"
    if right == len(inside):
        return f"{played}, and they were all there."
    return f"{played}, and {right} of these {len(inside)} were right."


def _next(things: Sequence[str], rung: OnLadder | None, in_a_row: int) -> str:
    """What to do, and on which rung."""
    if things:
        said = "; ".join(things)
        return begun(f"stay on {rung.words}: {said}." if rung else f"{said}.")
    if rung is None:
        return "Play it like this once more, then a little faster."
    if in_a_row >= rung.needed:
        row = f"That was {count_words(in_a_row)} times in a row"
        if not rung.following:
            return f"{row} at the last rung, {rung.words}: this is where it was to arrive."
        return f"{row} on {rung.words}: go on to {rung.following}."
    so = f"on {rung.words} until it goes like this {count_words(rung.needed)} times in a row"
    then = f", then go on to {rung.following}" if rung.following else ""
    return f"Stay {so}{then}."


def _things(
    verdict: Verdict,
    habits: Sequence[Habit],
    paper: OnPaper,
    thresholds: Thresholds,
    *,
    swung: bool,
) -> Iterator[str]:
    """What is worth doing something about, the most important first."""
    told = set[int]()
    for habit in habits:
        told.add(habit.number)
        yield _habit(habit, paper)
    stretch = stretch_of(verdict)
    first, last = stretch or (1, len(verdict.notes))
    inside = verdict.notes[first - 1 : last]
    faults = [n for n in inside if n.call in ("wrong", "missed") and n.number not in told]
    if faults:
        yield _faults(faults, paper)
    yield from _added(verdict, paper)
    if verdict.restarts:
        yield _restarts(verdict, paper)
    if verdict.doubt:
        return
    if swung and verdict.timing is not None:
        yield (
            f"you swing the eighths, {verdict.timing.swing:.1f} to 1: if that is meant, say so "
            "with --swing, else play them even"
        )
    else:
        yield from _in_time(verdict, paper, thresholds, told)
    yield from _in_tune(verdict, paper, thresholds)
    if stretch is not None:
        whole = len(verdict.notes)
        yield f"now play on from note {last}" if last < whole else f"now begin before note {first}"


def _habit(habit: Habit, paper: OnPaper) -> str:
    """What comes back."""
    when = f"{count_words(habit.times)} times out of {count_words(habit.of)}"
    if habit.what in ("late", "early") and habit.late is not None:
        off = f"comes {abs(habit.late):.0f} ms {habit.what} {when}"
        return f"{move(habit.number, paper)} {off}{hard(habit.number, paper)}"
    return f"note {placed(habit.number, paper)} is {habit.what} {when}, {slowly(habit.number)}"


def _wrong(note: NoteVerdict, paper: OnPaper) -> str:
    """ "note 11 in bar 33 was C#5 instead of B4, play 10 to 12 slowly"."""
    likely = "likely " if note.certainty == "likely" else ""
    where = f"note {placed(note.number, paper)} was {likely}"
    if note.call == "missed":
        return f"{where}missed, {slowly(note.number)}"
    heard = f"{paper.heard(note)} instead of {paper.written(note)}"
    return f"{where}{heard}, {slowly(note.number)}"


def _faults(faults: Sequence[NoteVerdict], paper: OnPaper) -> str:
    if len(faults) == 1:
        return _wrong(faults[0], paper)
    first, second = faults[:2]
    said = (
        f"notes {first.number} and {second.number} were {first.call}"
        if first.call == second.call
        else f"note {first.number} was {first.call} and note {second.number} {second.call}"
    )
    more = f" ({len(faults)} such notes in all)" if len(faults) > THINGS else ""
    return f"{said}{more}, {slowly(first.number)} and correctly"


def _added(verdict: Verdict, paper: OnPaper) -> Iterator[str]:
    if not verdict.extras:
        return
    one = verdict.extras[0]
    name = paper.added(one, verdict.notes)
    what = "was struck twice" if one.call == "twice" else f"was followed by an added {name}"
    where = f"note {placed(one.after, paper)}" if one.after else "the beginning"
    more = f" ({len(verdict.extras)} added notes in all)" if len(verdict.extras) > 1 else ""
    yield f"{where} {what}{more}"


def _restarts(verdict: Verdict, paper: OnPaper) -> str:
    stopped = verdict.restarts[0].stopped
    again = (
        f", and {count_words(len(verdict.restarts))} times in all" if verdict.restarts[1:] else ""
    )
    return f"you stopped at note {placed(stopped, paper)}{again}, practise the way into it and on"


def _in_time(
    verdict: Verdict, paper: OnPaper, thresholds: Thresholds, told: set[int]
) -> Iterator[str]:
    """What of the time is worth doing something about."""
    if verdict.other_rhythm:
        count = sum(bool(note.timed) for note in verdict.notes)
        yield (
            f"the notes came in another rhythm than is written ({count} of them off your own "
            "beat), so play it slower, with a click; or say with --drill what it was"
        )
        return
    off = [note for note in _off(verdict) if note.number not in told]
    if off:
        worst = off[0]
        said = f"{move(worst.number, paper)} comes {abs(worst.late or 0.0):.0f} ms {worst.timed}"
        yield f"{said}{hard(worst.number, paper)}{among(off, paper)}"
    timing = verdict.timing
    if timing is None:
        return
    known = timing.uncertain
    uneven = [group for group in timing.groups if thresholds.called_uneven(group.spread, known)]
    if thresholds.called_uneven(timing.evenness, known) or (uneven and not off):
        limp = max(uneven, key=lambda group: group.spread, default=None)
        where = f"notes {limp.first} to {limp.last}" if limp else "the notes"
        ms = limp.spread if limp else timing.evenness
        yield f"{where} are uneven by {ms:.0f} ms, play them in rhythms"
    if abs(timing.last / timing.first - 1) > thresholds("tempo"):
        way = "faster" if timing.last > timing.first else "slower"
        first, last = paper.tempo(timing.first), paper.tempo(timing.last)
        yield f"it got {way}, from {first:.0f} to {last:.0f}, play with a click"


def _in_tune(verdict: Verdict, paper: OnPaper, thresholds: Thresholds) -> Iterator[str]:
    """What of the pitch is."""
    off = [note for note in verdict.notes if note.tuned]
    if off:
        worst = max(off, key=lambda note: abs(_cents(note)))
        more = f", as are {len(off) - 1} others" if len(off) > 2 else ""
        yield (
            f"note {placed(worst.number, paper)} ({paper.written(worst)}) is "
            f"{abs(_cents(worst)):.0f} cents {worst.tuned}{more}"
        )
    wavering = [note for note in verdict.notes if note.wavers]
    if wavering:
        note = max(wavering, key=lambda n: n.unsteady or 0.0)
        where = f"note {placed(note.number, paper)}"
        yield f"{where} wavers by {note.unsteady:.0f} cents, hold it alone"
    drift = verdict.pitch_drift
    if drift is not None and abs(drift) > thresholds("tuning"):
        way = "rose" if drift > 0 else "sank"
        yield f"the pitch {way} by {abs(drift):.0f} cents from the beginning to the end"


def _cents(note: NoteVerdict) -> float:
    return (note.cents if note.pure_cents is None else note.pure_cents) or 0.0


def _off(verdict: Verdict) -> list[NoteVerdict]:
    """The right notes that came late or early, those furthest off first."""
    off = [note for note in verdict.notes if note.timed]
    return sorted(off, key=lambda note: -abs(note.late or 0.0))
