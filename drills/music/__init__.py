"""The nouns, and the time they stand in.  Standard library only, no files.

In:    nothing; everything else in the program is made of these.
Out:   Pitch, Length, Position, NoteValue, TimeSignature, Tempo; Note, Bar and Part; the
       bars of a part on one time line (grid), its attacks with ties joined (lines), and
       how strong a place in a bar is (metre).
Read first: time.py, then score.py.
"""
