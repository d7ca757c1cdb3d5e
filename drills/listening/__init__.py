"""What was played: a recording -> the notes that were heard -> a verdict against what is written.

In:    a sound file of one player, and what was to be played (a Passage at a tempo).
Out:   a Verdict: for every written note a call, its lateness and its cents; tempo, habits,
       one sentence on top.
Read first: played.py, the stages in order; then following.py, the model, and judging.py.
THE TABLE OF THRESHOLDS is thresholds.py, that of the model's costs settings.py; sound files
are decoded in a process of their own (sound_file.py, decoding.py).
"""
