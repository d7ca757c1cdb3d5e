"""How hard a move is, and where a part is hard.

In:    a Part at its tempo, and the fingering table of its instrument.
Out:   the cost of each move with its reasons (moves), what each note asks for (demand), and
       the hard spots of a part (suggest).
Read first: moves.py; the constants stand in weights.py, one reason each.
"""
