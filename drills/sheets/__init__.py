"""Spot -> cells, rhythms, ladder -> Sheet: the waist of the program.

In:    a Part, a Span, and Choices.
Out:   a Sheet: everything that is printed, heard or told of one spot.  Nothing above knows
       LilyPond, MIDI or audio; everything below works on a Sheet alone.
Read first: making.py.  Rhythms: the table in rhythms.py.  Clicks: clicks/patterns.py.
"""
