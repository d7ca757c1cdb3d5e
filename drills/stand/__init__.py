"""The page in the browser: the part to point at, hear, play to and mark.

In:    requests of a browser on this machine, each answered by the functions that the command
       line calls; the player's folder (scores, book.toml, the log) holds all state.
Out:   pages, small JSON by the schemas of docs/schema, pictures, sound.
Read first: app.py, the table of addresses; then door.py, which keeps strangers out, and
work.py, where long or dangerous work runs in processes with limits.  tasks.py is what runs
there; the browser's own code is in static/.
"""
