"""Several parts of one piece on one exact time line.

Problem.  Section work needs the same moment in every part, and a place such as
bar 12 or E may be printed differently in each.  Method.  The bars of the parts
are paired (pairing.py), laid end to end, and a place goes from one part to the
other by way of that line (aligned.py, finding.py).

Conventions.  Times are quarters from the start of the line, exact Fractions.  A
common bar is as long as the longest bar that any part has there; a shorter one
stands at its start, or at its end where it is a pickup (it lacks its start).
"""

from drills.places.aligning.aligned import Aligned, Piece, align
from drills.places.aligning.finding import Stretch, find_everywhere, find_stretch

__all__ = ["Aligned", "Piece", "Stretch", "align", "find_everywhere", "find_stretch"]
