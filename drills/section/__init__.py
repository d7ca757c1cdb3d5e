"""Several players in one spot.

In:    the aligned parts of a score, a stretch, and what each player calls their part.
Out:   a Section: what the section plays in a spot as slow chords, a build-up, its hard cells,
       and each player's sheet.
Read first: making.py puts it all together.  harmonies.py names the chords, lines.py what
each player plays, columns.py the note that each holds in each chord; chord_scores.py,
windows.py and cells.py make the section page of them, slices.py the data; doublings.py
finds who plays the same; sheet_chords.py serves one part's sheet.
"""
