"""Why a passage is hard, in a player's words.

    bars 74 to 93, the run of sixteenths: 312 notes across the break in 40.1 s; 7.5 tongued
    notes a second; above all C5-D5 moves 6 fingers (4 times, first to beat 2 of bar 76)

Method.  First what there is to do and how much time it has, then every term that makes up
at least ``WORTH`` of the effort, the largest first, then the moves that make it hard, each
by its weightiest reason.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Final

from drills.effort.air import interval_words
from drills.effort.cores import Core
from drills.effort.demand import Demand, VoiceDemand
from drills.effort.moves import Move
from drills.effort.naming import plain_words
from drills.effort.settings import TERMS, Limits
from drills.effort.suggest import HardSpot
from drills.effort.terms import listed
from drills.music.pitch import Pitch
from drills.places.words import place_words

WORTH: Final = 0.1
"""Share of the effort from which a term is told (our own choice)."""
HALF: Final = 0.5
ALIKE: Final = 0.8
"""Share of the notes of one value that makes a run of them (our own choice)."""
RUN_NOTES: Final = 8
_COUNTS: Final = (
    *("no", "one", "two", "three", "four", "five", "six"),
    *("seven", "eight", "nine", "ten", "eleven", "twelve"),
)
_VALUES: Final = {
    **{"half": "half notes", "quarter": "quarters", "eighth": "eighths"},
    **{"16th": "sixteenths", "32nd": "thirty-seconds", "64th": "sixty-fourths"},
}
_TUPLETS: Final = {3: "triplets", 5: "quintuplets", 6: "sextuplets", 7: "septuplets"}
_BREAK: Final = "crosses the break"


def reason(judged: VoiceDemand, spot: HardSpot) -> str:
    """One line for a passage, its place included."""
    return f"{passage_words(judged, spot)}: {why(judged, spot)}"


def passage_words(judged: VoiceDemand, spot: HardSpot) -> str:
    """ "bars 74 to 93, the run of sixteenths": where it is, and what if it is of one kind."""
    place = plain_words(judged.part, spot.span)
    kind = _kind(judged, spot.notes)
    return f"{place}, the run of {kind}" if kind else place


def why(judged: VoiceDemand, spot: HardSpot) -> str:
    """The same without the place."""
    cores = core_words(judged, spot)
    return "; ".join((asked(judged, spot), *([f"above all {cores}"] if cores else [])))


def asked(judged: VoiceDemand, spot: HardSpot) -> str:
    """What there is to do, in what time, and what makes it hard beside its moves."""
    notes = f"{_count(len(spot.notes))} notes"
    across = " across the break" if any(map(_crosses, spot.demands)) else ""
    head = f"{notes}{across} in {_seconds(judged, spot):.1f} s"
    return "; ".join((head, *_terms(judged, spot.demands)))


def core_words(judged: VoiceDemand, spot: HardSpot) -> str:
    """The moves that make it hard; empty where moves are not what does."""
    told = core_list(judged, spot)
    return listed(told) if told else ""


def core_list(judged: VoiceDemand, spot: HardSpot) -> list[str]:
    """The same one by one: the first with its two weightiest reasons, the others with one."""
    if "move" not in _worth(judged, spot.demands):
        return []
    return [_core(judged, core, 1 if n else 2) for n, core in enumerate(spot.cores)]


def _core(judged: VoiceDemand, core: Core, reasons: int) -> str:
    sound = judged.demands[core.notes[0]].sound
    where = place_words(
        judged.part, sound.origin.bar, sound.origin.start, marks=False, begins=False
    )
    times = len(core.notes)
    often = f"{_count(times)} times, first to {where}" if times > 1 else f"to {where}"
    return f"{move_words(core.move, reasons)} ({often})"


def _count(number: int) -> str:
    return _COUNTS[number] if number < len(_COUNTS) else str(number)


def _kind(judged: VoiceDemand, notes: range) -> str:
    """What most of the notes are, where a player would call it a run of them."""
    if len(notes) < RUN_NOTES:
        return ""
    kinds = Counter(_value(judged.demands[index]) for index in notes)
    name, count = kinds.most_common(1)[0]
    return name if count >= ALIKE * len(notes) else ""


def _value(demand: Demand) -> str:
    note = demand.sound.notes[0]
    if len(demand.sound.notes) > 1 or note.value.dots:
        return ""
    if note.tuplets:
        return _TUPLETS.get(note.tuplets[-1].ratio.actual, "")
    return _VALUES.get(note.value.kind, "")


def _seconds(judged: VoiceDemand, spot: HardSpot) -> float:
    """From the first attack to the next after the last, or to the last one's end."""
    sounds = judged.line.sounds
    last = spot.demands[-1].sound
    end = last.end if last is sounds[spot.notes[-1]] else last.start
    return float(judged.tempos.seconds(sounds[spot.notes.start].start, end))


def _crosses(demand: Demand) -> bool:
    return any(term.words.startswith(_BREAK) for term in (demand.move.terms if demand.move else ()))


def _worth(judged: VoiceDemand, demands: Sequence[Demand]) -> list[str]:
    """The terms that are told, the largest first."""
    shares = dict.fromkeys(TERMS, 0.0)
    for demand in demands:
        for name, share in judged.shares(demand).items():
            shares[name] += share
    whole = sum(shares.values())
    worth = [name for name in TERMS if shares[name] and shares[name] >= WORTH * whole]
    return sorted(worth, key=lambda name: -shares[name])


def _terms(judged: VoiceDemand, demands: Sequence[Demand]) -> list[str]:
    limits = judged.judgement.limits
    return [_words(name, demands, limits) for name in _worth(judged, demands) if name != "move"]


def _words(name: str, demands: Sequence[Demand], limits: Limits) -> str:
    """What a term says of the moves of a spot."""
    index = list(TERMS).index(name)
    most = max(demands, key=lambda demand: demand.amounts[index])
    told = "rhythm against the beat"
    match name:
        case "leap":
            widest = max(_semitones(d.move) for d in demands if d.move is not None)
            told = f"leaps of up to {interval_words(widest)}"
        case "tonguing":
            rate = (1 + most.amounts[index]) * limits.tonguing / 2
            told = f"{rate:.1f} tongued notes a second"
        case "accidental":
            count = sum(1 for demand in demands if demand.amounts[index])
            told = f"{count} {'note' if count == 1 else 'notes'} outside the key"
        case "range":
            told = f"{most.sound.notes[0].tones[-1]} near the end of the range"
        case "breath":
            beats = limits.breath * (1 + most.amounts[index])
            more = "more than " if most.amounts[index] >= 1 else ""
            told = f"{more}{beats:.0f} beats without a place to breathe"
    return told


def _semitones(move: Move) -> int:
    if isinstance(move.first, Pitch) and isinstance(move.second, Pitch):
        return abs(int(move.second.midi - move.first.midi))
    return 0


def move_words(move: Move, most: int = 2) -> str:
    """The weightiest reason of a move, and the next, up to ``most``, if it is worth half a
    finger, with its notes.

    A move with grace notes on the way names them: "G4-A4 by way of B4, moves 3 fingers".
    """
    pair = f"{move.first}-{move.second}"
    by_way = f" by way of {listed(map(str, move.through))}," if move.through else ""
    terms = [term for term in move.terms if not term.words.startswith(_BREAK)]
    if not move.terms:
        return f"{pair}{by_way} moves nothing"
    first, *others = sorted(terms or move.terms, key=lambda term: -term.value)[:most]
    told = [first.words, *(term.words for term in others if term.value >= HALF)]
    if move.through:
        return f"{pair}{by_way} {', '.join(told)}"
    return f"{pair} {', '.join(words.removeprefix(f'{pair} ') for words in told)}"
