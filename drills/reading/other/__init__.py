"""Files of other open formats, and bars typed by hand -> MusicXML in memory.

In:    the bytes of a file that is not MusicXML, or what a player typed.
Out:   the same music as a MusicXML document, with remarks on what the format does not say
       and what its reader left out.  Raises ReadError and UsageError.
Read first: kinds.py, which tells the formats apart; translating.py, which picks the reader;
apart.py, which keeps all of it in a process with limits of time and memory.

Everything goes on through the MusicXML reader, so that limits, exact times, ties, tuplets
and the list of players are the same whatever the file was.  A reader of another format is a
library: music21 for Humdrum and MEI (streams.py), abc2xml of converter21 for ABC (abc.py),
mido for MIDI (midi.py).  Bars typed in words have a grammar of our own (words.py).
"""
