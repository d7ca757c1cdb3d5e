"""What is heard: sheets and passages at a tempo -> exact events.

In:    a Sheet, or a passage of parts, and what the player wants to hear with it.
Out:   a Practice: every click, drum stroke and tone with its exact time in seconds
       (timeline, the only place where exact time becomes float).
Read first: practice/practice.py.  Drum patterns: the table in groove/table.py.  Voices:
practice/voices.py.
"""
