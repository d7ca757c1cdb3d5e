"""Why a spot is hard, in a player's words.

    bar 33 beat 2, four notes across the break in 0.4 s: C5-D5 moves 7 fingers

Method.  First what there is to do and how much time it has, then the hardest move
by its weightiest reason, then every other term that makes up at least ``WORTH`` of
the effort, the largest first.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from drills.effort.air import interval_words
from drills.effort.demand import Demand, VoiceDemand
from drills.effort.moves import Move
from drills.effort.settings import TERMS, Limits
from drills.effort.suggest import HardSpot
from drills.music.pitch import Pitch
from drills.places.bar_names import bar_name, spoken_beat

WORTH: Final = 0.1
"""Share of the effort from which a term is told (our own choice)."""
HALF: Final = 0.5
_COUNTS: Final = (
    *("no", "one", "two", "three", "four", "five", "six"),
    *("seven", "eight", "nine", "ten", "eleven", "twelve"),
)
_BREAK: Final = "crosses the break"


def reason(judged: VoiceDemand, spot: HardSpot) -> str:
    """One line for a spot, its place included."""
    return f"{place_words(judged, spot.notes.start)}, {why(judged, spot)}"


def place_words(judged: VoiceDemand, index: int) -> str:
    """ "bar 33 beat 2": where a note of the voice begins."""
    origin = judged.demands[index].sound.origin
    bar = judged.part.bars[origin.bar]
    return f"bar {bar_name(judged.part, bar.index)} beat {spoken_beat(bar, origin.start)}"


def why(judged: VoiceDemand, spot: HardSpot) -> str:
    """The same without the place."""
    count = len(spot.notes)
    notes = f"{_COUNTS[count] if count < len(_COUNTS) else count} notes"
    across = " across the break" if any(map(_crosses, spot.demands)) else ""
    told = _terms(judged, spot.demands)
    head = f"{notes}{across} in {_seconds(judged, spot):.1f} s"
    return f"{head}: {'; '.join(told)}" if told else head


def _seconds(judged: VoiceDemand, spot: HardSpot) -> float:
    """From the first attack to the next after the last, or to the last one's end."""
    sounds = judged.line.sounds
    last = spot.demands[-1].sound
    end = last.end if last is sounds[spot.notes[-1]] else last.start
    return float(judged.tempos.seconds(sounds[spot.notes.start].start, end))


def _crosses(demand: Demand) -> bool:
    return any(term.words.startswith(_BREAK) for term in (demand.move.terms if demand.move else ()))


def _terms(judged: VoiceDemand, demands: Sequence[Demand]) -> list[str]:
    shares = dict.fromkeys(TERMS, 0.0)
    for demand in demands:
        for name, share in judged.shares(demand).items():
            shares[name] += share
    whole = sum(shares.values())
    worth = [name for name in TERMS if shares[name] and shares[name] >= WORTH * whole]
    ordered = sorted(worth, key=lambda name: (name != "move", -shares[name]))
    return [_words(name, demands, judged.judgement.limits) for name in ordered]


def _words(name: str, demands: Sequence[Demand], limits: Limits) -> str:
    """What a term says of the moves of a spot."""
    index = list(TERMS).index(name)
    most = max(demands, key=lambda demand: demand.amounts[index])
    told = "rhythm against the beat"
    match name:
        case "move":
            told = move_words(most.move) if most.move else told
        case "leap":
            widest = max(_semitones(d.move) for d in demands if d.move is not None)
            told = f"leaps of up to {interval_words(widest)}"
        case "tonguing":
            told = f"{1 / most.seconds:.1f} tongued notes a second"
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


def move_words(move: Move) -> str:
    """The weightiest reason of a move and the next if it is worth half a finger, with its notes."""
    pair = f"{move.first}-{move.second}"
    terms = [term for term in move.terms if not term.words.startswith(_BREAK)]
    if not move.terms:
        return f"{pair} moves nothing"
    first, *others = sorted(terms or move.terms, key=lambda term: -term.value)[:2]
    told = [first.words, *(term.words for term in others if term.value >= HALF)]
    return f"{pair} {', '.join(words.removeprefix(f'{pair} ') for words in told)}"
