"""Drum patterns as data, laid over any bars, with swing after published measurements."""

from drills.sound.groove.laying import Stroke, find_groove, fits, fitting, strokes, swing_of
from drills.sound.groove.pattern import Grid, Groove, Pattern
from drills.sound.groove.swing import (
    FOLLOWS_TEMPO,
    STRAIGHT,
    Swing,
    parse_swing,
    swing_ratio,
    swung,
    swung_places,
)
from drills.sound.groove.table import GROOVES
from drills.sound.groove.variation import Variation

__all__ = [
    "FOLLOWS_TEMPO",
    "GROOVES",
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
    "parse_swing",
    "strokes",
    "swing_of",
    "swing_ratio",
    "swung",
    "swung_places",
]
