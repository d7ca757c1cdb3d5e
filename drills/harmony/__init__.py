"""Chords: what a symbol means, what sounds together, and what each note does in it.

In:    chord symbols as a score or a player writes them; notes on a time line.
Out:   Harmony (a chord, where it begins, how certain), a NoteFunction for each tone, and
       cents for tuning.
Read first: chord.py and kinds.py (the table), then from_notes.py.
"""
