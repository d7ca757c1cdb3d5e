"""Hard spots and moves as data: every term of every move, in the form of docs/schema/spots.json."""

from __future__ import annotations

from collections.abc import Sequence

from drills.effort.demand import Demand, VoiceDemand
from drills.effort.moves import Move
from drills.effort.reasons import move_words, reason
from drills.effort.settings import TERMS, Judgement
from drills.effort.suggest import HardSpot
from drills.instruments.fingering import Fingering
from drills.instruments.judged import EffortInstrument
from drills.music.tempo import Tempo
from drills.output.data.text import SCHEMA, Data, exact, without_empty
from drills.places.bar_names import bar_name, spoken_beat


def spots_data(judged: VoiceDemand, spots: Sequence[tuple[int, HardSpot]]) -> Data:
    """The ranking of a part, spots with their ranks, and every note of the voice judged."""
    part = judged.part
    starts = zip(judged.tempos.starts, judged.tempos.tempos, strict=True)
    return {
        "schema": SCHEMA,
        "source": part.source,
        "title": part.credits.title,
        "part": part.name,
        "voice": judged.voice,
        "instruments": [instrument_data(instrument) for instrument in judged.instruments],
        "tempos": [
            {
                "start": exact(start),
                "number": exact(tempo.number),
                "beat": exact(tempo.beat.quarters),
                "source": tempo.source,
            }
            for start, tempo in starts
        ],
        "terms": _terms_data(judged.judgement),
        "limits": {
            "tonguing": judged.judgement.limits.tonguing,
            "breath": judged.judgement.limits.breath,
            "easy": judged.judgement.limits.easy,
        },
        "spots": [_spot_data(judged, spot, rank) for rank, spot in spots],
        "notes": [_note_data(judged, index, one) for index, one in enumerate(judged.demands)],
        "remarks": list(judged.remarks),
    }


def project_data(rows: Sequence[tuple[int, str, str, VoiceDemand, HardSpot]]) -> Data:
    """A ranking over several parts: rank, file, part, what was judged, and the spot."""
    return {
        "schema": SCHEMA,
        "spots": [
            {"file": file, "part": part, **_spot_data(judged, spot, rank)}
            for rank, file, part, judged, spot in rows
        ],
    }


def moves_data(
    instrument: EffortInstrument, moves: Sequence[Move], tempo: Tempo | None = None
) -> Data:
    """The cost of a few notes on an instrument, without a score.

    With a tempo also the effort in fingers a second where every note takes one beat.
    """
    told: Data = {}
    if tempo is not None:
        told = {"number": exact(tempo.number), "beat": exact(tempo.beat.quarters)}
    seconds = None if tempo is None else 60 / float(tempo.number)
    return {
        "schema": SCHEMA,
        "instrument": instrument_data(instrument),
        "cost": round(sum(move.cost for move in moves), 3),
        **without_empty({"tempo": told}),
        "moves": [
            {
                "from": str(move.first),
                "to": str(move.second),
                **({} if seconds is None else {"effort": round(move.effort(seconds), 3)}),
                **move_data(move),
            }
            for move in moves
        ],
    }


def instrument_data(instrument: EffortInstrument) -> Data:
    """What moves are judged by: the name, the fingering table, and what was assumed."""
    return {
        "name": instrument.name,
        "table": instrument.table,
        "assumptions": list(instrument.assumptions),
    }


def move_data(move: Move) -> Data:
    """The cost of a move, its fingerings and its terms."""
    return {
        "cost": move.cost,
        "fingerings": [_fingering_data(fingering) for fingering in move.fingerings],
        **without_empty({"through": [str(tone) for tone in move.through]}),
        "terms": [
            {"name": term.name, "value": term.value, "words": term.words} for term in move.terms
        ],
    }


def _terms_data(judgement: Judgement) -> list[Data]:
    return [
        {"name": name, "unit": fact.unit, "weight": judgement.weights[name], "why": fact.why}
        for name, fact in TERMS.items()
    ]


def _spot_data(judged: VoiceDemand, spot: HardSpot, rank: int) -> Data:
    return {
        "rank": rank,
        "at": spot.span.asked,
        "words": spot.span.words,
        "hardness": round(spot.hardness, 3),
        "notes": [spot.notes.start + 1, spot.notes.stop],
        "easy": None
        if spot.easy is None
        else {"number": exact(spot.easy.number), "beat": exact(spot.easy.beat.quarters)},
        "heart": spot.heart.asked,
        "cores": [
            {
                "from": str(core.move.first),
                "to": str(core.move.second),
                "effort": round(core.effort, 4),
                "notes": [index + 1 for index in core.notes],
                "words": move_words(core.move),
            }
            for core in spot.cores
        ],
        "reason": reason(judged, spot),
        "again": [span.asked for span in spot.again],
        "alike": [span.asked for span in spot.alike],
    }


def _note_data(judged: VoiceDemand, index: int, demand: Demand) -> Data:
    origin = demand.sound.origin
    bar = judged.part.bars[origin.bar]
    shares = judged.shares(demand)
    amounts = dict(zip(TERMS, demand.amounts, strict=True))
    return {
        "number": index + 1,
        "bar": bar_name(judged.part, bar.index),
        "beat": spoken_beat(bar, origin.start),
        "tones": [str(tone) for tone in demand.sound.notes[0].tones],
        "seconds": round(demand.seconds, 6),
        "effort": round(demand.effort, 4),
        "terms": [
            {"name": name, "amount": round(amounts[name], 4), "effort": round(share, 4)}
            for name, share in shares.items()
        ],
        "move": None if demand.move is None else move_data(demand.move),
    }


def _fingering_data(fingering: Fingering | None) -> Data | None:
    if fingering is None:
        return None
    return {
        "label": fingering.label,
        "keys": list(fingering.keys),
        "use": fingering.use.value,
        **without_empty(
            {
                "name": fingering.name,
                "partial": fingering.partial,
                "position": fingering.position,
                "side": fingering.side,
            }
        ),
    }
