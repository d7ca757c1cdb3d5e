"""What a player calls a bar and a beat, and what is there.

In:    a Part, or all parts of a score, and what a player types: "E:3@2".
Out:   a Span of the part (finding), the same in every part (aligning), its name in words
       (bar_names), the tempo in force (tempos), and the attacks of a Span as a Spot, cut
       into runs (spots).  Raises PlaceError.
Read first: finding.py.
"""
