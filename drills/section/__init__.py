"""Several parts read together: what the section plays in a spot, and its drills.

harmonies.py names the chords, lines.py what each player plays, columns.py the note
that each holds in each chord; chord_scores.py, windows.py and cells.py make the section page
of them, slices.py the data; doublings.py finds who plays the same; making.py puts it all
together.
"""
