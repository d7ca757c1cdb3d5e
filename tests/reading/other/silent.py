"""The same six quarters in each format, once without a word about metre and key, once with both.

Written by hand after the formats' standards: ABC 2.1, 3.1.6 and 3.1.14 (``M:``, ``K:``); Humdrum
Toolkit, "kern" (``*M``, ``*k[]``); MEI guidelines 5.0, "cmn" (``meter.count``, ``key.sig``);
Standard MIDI Files 1.0, meta events 58 and 59.
"""

from __future__ import annotations

import io

import mido

_MEI = (
    '<mei xmlns="http://www.music-encoding.org/ns/mei"><music><body><mdiv><score><scoreDef>'
    '<staffGrp><staffDef n="1" lines="5" clef.shape="G" clef.line="2"{said}/></staffGrp></scoreDef>'
    "<section>{bars}</section></score></mdiv></body></music></mei>"
)


def _mei(said: str) -> bytes:
    notes = [f'<note pname="{step}" oct="5" dur="4"/>' for step in "cdefga"]
    bars = [
        f'<measure n="{number}"><staff n="1"><layer n="1">{"".join(row)}</layer></staff></measure>'
        for number, row in enumerate((notes[:3], notes[3:]), start=1)
    ]
    return _MEI.format(said=said, bars="".join(bars)).encode()


def _midi(*said: mido.MetaMessage) -> bytes:
    file = mido.MidiFile(ticks_per_beat=480)
    track = mido.MidiTrack(said)
    for number in (72, 74, 76, 77, 79, 81):
        track.append(mido.Message("note_on", note=number, velocity=80))
        track.append(mido.Message("note_off", note=number, time=480))
    file.tracks.append(track)
    found = io.BytesIO()
    file.save(file=found)
    return found.getvalue()


def _kern(*said: str) -> bytes:
    rows = ("**kern", *said, "=1", "4cc", "4dd", "4ee", "=2", "4ff", "4gg", "4aa", "==", "*-", "")
    return "\n".join(rows).encode()


SILENT = {
    "abc": b"X:1\nL:1/4\nK:\ncde|fga|]\n",
    "krn": _kern(),
    "mei": _mei(""),
    "mid": _midi(),
}
SAID = {
    "abc": b"X:1\nL:1/4\nM:2/4\nK:G\ncd|ef|ga|]\n",
    "krn": _kern("*k[f#]", "*M3/4"),
    "mei": _mei(' key.sig="1s" meter.count="3" meter.unit="4"'),
    "mid": _midi(
        mido.MetaMessage("time_signature", numerator=2, denominator=4),
        mido.MetaMessage("key_signature", key="G"),
    ),
}
