"""Which pieces the constants of the reading are chosen on, and which only tell how good it is.

The rule, by piece: chorales of odd number (Riemenschneider's) and every second madrigal of
those whose analysis fits the score are for development, the others are the test.  Quartets,
songs and piano music are one list for each half.  One movement (op. 18 no. 1, 2) was looked at
piece by piece while constants were chosen and stands in the development half for that reason.

Chorales and madrigals have analyses beside their scores in music21's corpus.  For the others
the corpus has the scores alone; their analyses are those of the corpora "When in Rome" (songs,
by M. Gotham and others, CC BY-SA) and of the Digital and Cognitive Musicology Lab (quartets by
Neuwirth and others, sonatas, mazurkas; CC BY-NC-SA), as RomanText.  They may not be given away
with this project: whoever has them names their folder to ``docs/harmony/measure.py``.
"""

from __future__ import annotations

from typing import Final

LEFT_OUT: Final = {11: "its analysis counts other bars than the score of the corpus"}

CHORALES: Final = {
    "development": tuple(n for n in range(1, 21, 2) if n not in LEFT_OUT),
    "test": tuple(range(2, 21, 2)),
}
MADRIGALS: Final = {
    "development": ["3.1", "3.11", "3.14", "3.18", "3.6", "3.9", "4.12", "4.14", "5.2", "5.5"],
    "test": ["3.10", "3.13", "3.15", "3.19", "3.8", "4.11", "4.13", "4.19", "5.4", "5.8"],
}
"""Monteverdi's, by book and number; those whose analysis explains 0.85 of the sound and more."""

QUICK: Final = {"development": ("3.14", "3.6", "5.5"), "test": ("3.15", "3.19", "4.19")}
"""Short madrigals of each half, for the tests."""

OTHERS: Final = {
    "development": {
        "op18no1_3": "beethoven/opus18no1/movement3",
        "op18no1_2": "beethoven/opus18no1/movement2",
        "lindenbaum": "schubert/Lindenbaum",
        "k545_1": "mozart/k545/movement1_exposition",
    },
    "test": {
        "op59no2_2": "beethoven/opus59no2/movement2",
        "op59no3_3": "beethoven/opus59no3/movement3",
        "dichterliebe2": "schumann_robert/opus48no2",
        "mazurka": "chopin/mazurka06-2",
    },
}
"""Name of the analysis's file, without its ending, and of the score in the corpus."""

KINDS: Final = {
    **dict.fromkeys(("op18no1_3", "op18no1_2", "op59no2_2", "op59no3_3"), "quartets"),
    **dict.fromkeys(("lindenbaum", "dichterliebe2"), "songs"),
    **dict.fromkeys(("k545_1", "mazurka"), "piano"),
}
