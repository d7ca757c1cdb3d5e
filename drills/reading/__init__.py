"""Files from strangers -> Part.

In:    the path of a MusicXML file, and limits on what it may hold.
Out:   ScoreFile (what parts there are), and one Part or all of them, as written for the
       player, with remarks on what was odd.  Raises ReadError and UsageError.
Read first: musicxml.py, the only module that knows music21; guard.py and limits.py keep
hostile files out.
"""
