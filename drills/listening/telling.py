"""A verdict line by line: the numbers under the sentence, each with its unit.

Conventions.  Pitches are named as the player reads them; notes are counted as on the sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from drills.listening.known import KNOWN_CENTS
from drills.listening.paper import OnPaper
from drills.listening.phrases import count_words
from drills.listening.repeats import Habit, habits, slips
from drills.listening.stretch import stretch_of
from drills.listening.thresholds import THRESHOLDS, USUAL, Thresholds
from drills.listening.verdict import AgainstClick, Lengths, NoteVerdict, Timing, Verdict
from drills.listening.words import DOUBTS, UNKNOWN, swings

LEAST: Final = 3
"""Notes of a clean stretch that is told."""


def told(
    verdict: Verdict,
    paper: OnPaper = UNKNOWN,
    thresholds: Thresholds = USUAL,
    swing: float | None = None,
) -> Iterator[str]:
    """One time through, line by line; ``swing`` is the ratio that was meant."""
    yield from _notes(verdict, paper)
    if verdict.doubt:
        yield DOUBTS[verdict.doubt]
    else:
        if verdict.timing is not None:
            yield from _time(verdict.timing, paper, thresholds, swing)
        yield from _lengths(verdict.lengths)
        yield from _pitch(verdict, thresholds)
    timed = not (verdict.other_rhythm or (swing is None and swings(verdict, thresholds)))
    first, last = stretch_of(verdict) or (1, len(verdict.notes))
    for note in verdict.notes[first - 1 : last]:
        if verdict.bars is not None and not note.tries:
            continue
        said = ", ".join(_note(note, paper, timed=timed))
        if said:
            yield f"  note {note.number}: {said}"
    for begin, end in ((1, first - 1), (last + 1, len(verdict.notes))):
        if begin <= end:
            yield f"  notes {begin} to {end}: not played"
    for extra in verdict.extras:
        name = paper.added(extra, verdict.notes)
        what = "struck twice" if extra.call == "twice" else f"{name} added"
        yield f"  after note {extra.after}: {what}"
    for one in verdict.restarts:
        yield f"  stopped at note {one.stopped}, went back to {one.back_to}"


def _notes(verdict: Verdict, paper: OnPaper) -> Iterator[str]:
    stretch = stretch_of(verdict)
    first, last = stretch or (1, len(verdict.notes))
    own = verdict.notes[first - 1 : last]
    judged = [note for note in own if note.call != "unclear"]
    unheard = len(own) - len(judged)
    clean = verdict.clean_notes
    share = sum(note.call == "right" for note in judged) / len(judged) if judged else 0.0
    said = f"{100 * share:.0f} % of {len(judged)} notes right"
    if stretch is not None:
        said += f", {first} to {last}"
    if unheard:
        said += f" ({unheard} could not be heard)"
    if clean >= LEAST:
        first, last = verdict.clean
        bars = dict.fromkeys(bar for n in (first, last) if (bar := paper.bar(n)))
        where = f", {' to '.join(bars)}" if bars else ""
        said += f"; longest clean stretch {clean} notes, {first} to {last}{where}"
    yield said


def _time(
    timing: Timing, paper: OnPaper, thresholds: Thresholds, swing: float | None
) -> Iterator[str]:
    drift = (
        f", from {paper.tempo(timing.first):.0f} to {paper.tempo(timing.last):.0f}"
        if abs(timing.last / timing.first - 1) > thresholds("tempo")
        else ", steady"
    )
    tempo, known = paper.tempo(timing.tempo), max(paper.tempo(timing.tempo_uncertain), 0.1)
    yield f"tempo {paper.beat_words} = {tempo:.1f} (known to {known:.1f}){drift}"
    uneven = thresholds.called_uneven(timing.evenness, timing.uncertain)
    even = "uneven" if uneven else "even"
    what = f"equal values {even}: they" if timing.groups else "attacks"
    yield (
        f"{what} spread by {timing.evenness:.0f} ms; "
        f"an attack is known to {timing.uncertain:.0f} ms or so"
    )
    if timing.downbeats is not None and timing.offbeats is not None:
        yield (
            f"against your own beat: on the beat {ms_words(timing.downbeats)}, "
            f"off it {ms_words(timing.offbeats)}"
        )
    rests = [
        f"{ms_words(value)} {where}"
        for value, where in (
            (timing.before_rests, "before rests"),
            (timing.after_rests, "after them"),
        )
        if value is not None
    ]
    if rests:
        yield ", ".join(rests)
    if timing.swing is not None:
        yield _swing(timing, thresholds, swing)
    if timing.click is not None:
        yield from _click(timing.click, paper)


def _click(click: AgainstClick, paper: OnPaper) -> Iterator[str]:
    what = "the click that is heard, " if click.heard else "a click at "
    where = (
        "laid where it fits your attacks best"
        if click.mean is None
        else f"{ms_words(click.mean)} on average"
    )
    against = "" if click.mean is None else " against that"
    yield (
        f"against {what}{paper.tempo(click.tempo):g}: {where}, spread {click.spread:.0f} ms; "
        f"{ms_words(click.first)} at the beginning, {ms_words(click.last)} at the end{against}"
    )


def _swing(timing: Timing, thresholds: Thresholds, meant: float | None) -> str:
    played, known = timing.swing or 1.0, timing.swing_uncertain or 0.0
    said = f"eighths {played:.2f} to 1 (known to {max(known, 0.01):.2f})"
    if meant is None:
        return said
    if abs(played - meant) <= thresholds("swing") + known:
        return f"{said}, as meant ({meant:.2f} to 1)"
    share = played / (1 + played) - meant / (1 + meant)
    off = 60_000 / timing.tempo * share
    return f"{said}, meant {meant:.2f} to 1: the offbeats come {ms_words(off)}"


def _lengths(lengths: Lengths) -> Iterator[str]:
    """A description: no length is a fault."""
    said = []
    if lengths.slurred is not None and lengths.widest is not None:
        number, gap = lengths.widest
        said.append(
            f"gaps within slurs {lengths.slurred:.0f} ms, the widest {gap:.0f} ms after note "
            f"{number}"
            if gap >= THRESHOLDS["gap"].value
            else "no gaps within slurs"
        )
    if lengths.short is not None:
        said.append(f"short notes sound for {100 * lengths.short:.0f} % of their value")
    if lengths.tongued is not None:
        said.append(f"tongued ones for {100 * lengths.tongued:.0f} %")
    if said:
        yield f"lengths: {', '.join(said)}"


def _pitch(verdict: Verdict, thresholds: Thresholds) -> Iterator[str]:
    pitched = [note for note in verdict.notes if note.cents is not None]
    said = f"your A: {440 * 2 ** (verdict.tuning / 1200):.1f} Hz"
    if pitched:
        off = sorted(abs(note.cents or 0.0) for note in pitched)
        said += f"; {_cents(off[len(off) // 2])} off equal temperament, as a median"
    pure = sorted(abs(n.pure_cents) for n in verdict.notes if n.pure_cents is not None)
    if pure:
        said += f", {pure[len(pure) // 2]:.0f} off the chords' pure tuning"
    if pitched:
        said += f"; a pitch is known to {KNOWN_CENTS:.0f} cents"
    drift = verdict.pitch_drift
    if drift is not None and abs(drift) >= thresholds("tuning"):
        said += f"; {abs(drift):.0f} cents {'higher' if drift > 0 else 'lower'} at the end"
    yield said
    heard = sum(note.call == "right" for note in verdict.notes)
    if heard > len(pitched):
        least, few = THRESHOLDS["short"].value, heard - len(pitched)
        what = "one note" if few == 1 else f"{count_words(few)} notes"
        yield f"nothing is said about the pitch of {what} shorter than {least:g} s, or unclear"


def _note(note: NoteVerdict, paper: OnPaper, *, timed: bool) -> Iterator[str]:
    """What is worth a line about a note."""
    likely = " (likely)" if note.certainty == "likely" else ""
    if note.call == "wrong":
        yield f"{paper.heard(note)} instead of {paper.written(note)}{likely}"
    elif note.call == "missed":
        yield f"missed{likely}"
    elif note.call == "unclear":
        yield "could not be heard"
    if timed and note.timed and note.late is not None and note.late_share is not None:
        yield f"{ms_words(note.late)} ({100 * abs(note.late_share):.0f} % of the beat)"
    if note.tuned:
        value = note.cents if note.pure_cents is None else note.pure_cents
        against = "" if note.pure_cents is None else " for its chord"
        yield f"{abs(value or 0):.0f} cents {note.tuned}{against}"
    if note.wavers:
        yield f"wavers by {note.unsteady:.0f} cents"


def times_told(verdicts: Sequence[Verdict], paper: OnPaper = UNKNOWN) -> Iterator[str]:
    """Every time through by itself, then how they spread, what is a habit and what a slip."""
    yield "time  right  tempo  spread  clean  what was off"
    for number, one in enumerate(verdicts, 1):
        if one.refused or one.timing is None:
            yield f"{number:4d}      -      -       -      -  could not be judged"
            continue
        off = [str(n.number) for n in one.notes if n.call in ("wrong", "missed") or n.timed]
        what = f"note{'s' * (len(off) > 1)} {', '.join(off[:8])}" if off else ""
        yield (
            f"{number:4d} {100 * one.share_right:4.0f} % {paper.tempo(one.timing.tempo):6.1f} "
            f"{one.timing.evenness:4.0f} ms {one.clean_notes:6d}  {what}"
        ).rstrip()
    tempos = [
        paper.tempo(one.timing.tempo)
        for one in verdicts
        if not one.refused and one.timing is not None
    ]
    if len(tempos) > 1:
        yield f"tempo from {min(tempos):.1f} to {max(tempos):.1f} from time to time"
    for habit in habits(verdicts):
        yield f"  habit: note {habit.number} {_again(habit)}"
    once = slips(verdicts)
    if once:
        said = ", ".join(f"note {one.number} {one.what}" for one in once[:6])
        more = f" and {count_words(len(once) - 6)} more" if len(once) > 6 else ""
        yield f"  once only, so a slip: {said}{more}"


def _again(habit: Habit) -> str:
    said = f"{habit.what} {count_words(habit.times)} times out of {count_words(habit.of)}"
    if habit.late is None or habit.what not in ("late", "early"):
        return said
    spread = "" if habit.spread is None else f", give or take {habit.spread:.0f} ms"
    return f"{said}, {ms_words(habit.late)} on average{spread}"


def _cents(value: float) -> str:
    """ "1 cent"."""
    return f"{value:.0f} cent{'' if round(value) == 1 else 's'}"


def ms_words(value: float) -> str:
    """ "40 ms late", "in time"."""
    if abs(value) < 1:
        return "in time"
    return f"{abs(value):.0f} ms {'late' if value > 0 else 'early'}"
