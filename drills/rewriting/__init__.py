"""A part rewritten for a student's or a colleague's instrument.

In:    a Part, what is wanted (a Rewriting), and the stretches that matter.
Out:   a Part.  Read first: rewrite.py.

    rewriting = rewriting_for("alto saxophone", How.SOUNDING)   (asked.py)
    part = rewritten(part, rewriting, [span])                   (rewrite.py)

Everything that follows (spots, cells, pages, sound, the cost of moves) is made
from the rewritten part and knows nothing of the old one.  Bars, printed
numbers, rehearsal marks, lengths, slurs and signs stay where they are, so a
place of the old part is the same place of the new one.

    asked.py     what is wanted: the instrument by its name, and how
    flow.py      the notes of a part on one time line, and where it may be cut
    cheapest.py  the cheapest way through a row of choices
    keys.py      the key that is read, and the way there
    spelling.py  every tone on the new instrument, spelled for reading
    octaves.py   octaves into the range, a phrase at a time
    clefs.py     the clef, and octave lines
    telling.py   what was done and what does not fit, in a player's words
    rewrite.py   all of it
"""
