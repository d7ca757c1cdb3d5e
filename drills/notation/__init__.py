"""Attacks with exact lengths -> full written bars.

In:    attacks, each with the exact length it shall have, and a time signature.
Out:   bars that are exactly full: values, ties, rests, tuplets, beams.  Raises NotationError.
Read first: bars.py; tuplets.py and beams.py serve it.
"""
