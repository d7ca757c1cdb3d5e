"""A spot as its chords: what a player's note is in each, and the one note to hold in each.

Problem.  A player tunes and weighs a note by its place in the chord, and hears that
best when the passage stands still: one long note for every chord.

Method.  Under every chord the player's notes are weighed by how long they sound
there; the heaviest tone of the chord is the one that is held.  Only where no tone
of the chord sounds is it a note that is none, named by what it does.  Of equals
the one that sounds first counts.  Successive chords that are alike, with the same
note in them, are one.

Conventions.  Times are quarters on whatever line the caller counts on.  One chord
fills one bar of four slow beats, so that bars of every metre read alike: 4/4, or
12/8 where the music's beat is dotted.  What is said of a chord that no symbol of
the score names stands beside it: "from the notes", "as you said".
"""
