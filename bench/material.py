"""Scores for measuring, made by rule: parts of any length, full of sixteenths.

The music is a seeded walk over a scale; it is meant to be engraved, not heard.
"""

from __future__ import annotations

import random
from pathlib import Path

STEPS = "CDEFGAB"

HEAD = """<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
  <work><work-title>Measured music</work-title></work>
  <part-list>{parts}</part-list>
"""

ATTRIBUTES = """<attributes><divisions>4</divisions><key><fifths>1</fifths></key>
<time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef>
<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose></attributes>
<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>120</per-minute>
</metronome></direction-type></direction>"""

NOTE = (
    "<note><pitch><step>{step}</step><octave>{octave}</octave></pitch><duration>1</duration>"
    "<voice>1</voice><type>16th</type></note>"
)


def write_score(path: Path, *, bars: int, parts: int = 1, seed: int = 7) -> Path:
    """A score of ``parts`` parts with ``bars`` bars of sixteen sixteenths each."""
    dice = random.Random(seed)
    names = "".join(
        f'<score-part id="P{n}"><part-name>Clarinet {n}</part-name></score-part>'
        for n in range(1, parts + 1)
    )
    text = [HEAD.format(parts=names)]
    for number in range(1, parts + 1):
        text.append(f'<part id="P{number}">')
        place = 10
        for bar in range(1, bars + 1):
            text.append(f'<measure number="{bar}">')
            if bar == 1:
                text.append(ATTRIBUTES)
            for _ in range(16):
                place = min(max(place + dice.choice((-3, -2, -1, 1, 1, 2, 4)), 0), 18)
                text.append(NOTE.format(step=STEPS[place % 7], octave=4 + place // 7))
            text.append("</measure>")
        text.append("</part>")
    text.append("</score-partwise>")
    path.write_text("\n".join(text), encoding="utf-8")
    return path
