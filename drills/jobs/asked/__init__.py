"""THE TABLE OF WHAT CAN BE ASKED FOR: every choice of a player, declared once.

A choice is one row: its name, kind, unit, limits and usual value, what it is for, which
commands know it, its key in a book and its place in the data.  The command line makes its
options from these rows (drills/cli/options.py), and ``tests/cli/test_asked.py`` holds the
keys of a book, the tables of docs/commands.md and the schemas to them.

Read first: choice.py, what a row says.  Then the rows: music.py (where, which part, at which
tempo), drilled.py, sounding.py and climbing.py (practice sound), files.py.  values.py and
sound_values.py read what a player typed; table.py joins all rows.
"""
