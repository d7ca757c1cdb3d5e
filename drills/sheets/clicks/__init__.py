"""What a metronome sounds, and on which beats: patterns that help less than every beat.

Problem.  A click on every beat keeps time for the player.  A click on one beat
of the bar, on the offbeats, against the beat or in every other bar asks the
player to keep it.  Method.  A pattern is a small frozen object (pattern.py, patterns.py);
reading.py makes one of what a player types; laying.py lays one over bars, every
click at an exact place.  The printed ladder takes its words and its numbers
from the same patterns.

Conventions.
  * A beat is the beat of the time signature (drills/music/time.py): the dotted
    quarter in 6/8, the eighth in 7/8.
  * A pattern that counts a note value runs through bar lines and starts with a
    click on the first downbeat, so a pickup is counted towards it.
  * A pattern that counts bars counts those that have a downbeat; a pickup, or
    the second half of a bar that is split, belongs to a bar beside it.
"""
