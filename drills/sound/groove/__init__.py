"""Drum patterns as data, laid over any bars, with swing after published measurements."""

from drills.sound.groove.laying import Stroke, find_groove, fits, fitting, strokes, swing_of
from drills.sound.groove.pattern import Grid, Groove, Pattern
from drills.sound.groove.swing import (
    FOLLOWS_TEMPO,
    STEADY,
    STRAIGHT,
    Swing,
    line_ratio,
    parse_swing,
    settled,
    swing_ratio,
    swung,
    swung_places,
)
from drills.sound.groove.table import GROOVES
from drills.sound.groove.variation import Variation

__all__ = [
    "FOLLOWS_TEMPO",
    "GROOVES",
    "STEADY",
    "STRAIGHT",
    "Grid",
    "Groove",
    "Pattern",
    "Stroke",
    "Swing",
    "Variation",
    "find_groove",
    "fits",
    "fitting",
    "line_ratio",
    "parse_swing",
    "settled",
    "strokes",
    "swing_of",
    "swing_ratio",
    "swung",
    "swung_places",
]
