"""Scores that were damaged at random, and what becomes of them.

mutations   a seed (a real file) and dice -> a damaged file
work        what a player might do with a file, chosen by the same dice
__main__    ``python -m tests.fuzzing COUNT FIRST``: many of them, each in a process of its own

Whatever is wrong with a file, the program has two answers: what was asked for, or one
of its own errors.  ``tests/test_fuzzing.py`` tries some, ``bench/fuzz.py`` as many as one
has time for.  A number is a file: the same number gives the same damage and the same work.
"""
