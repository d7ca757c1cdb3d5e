"""Instruments: what they are called, how they transpose, how far they reach, how they finger.

In:    the words by which a score or a player names an instrument.
Out:   a row of the table (names, transposition, range, clefs), its General MIDI program,
       and the fingering table that its moves are judged by.
Read first: table.py; judged.py says which of tables/*.json belongs to which.
"""
