"""The use cases, one module each, each to be read aloud: from a player's wish to files.

In:    a Request (request.py: what one can ask for) and the paths of scores or books.
Out:   what was made, as values, and then files: all of them, or none (writing.py).  Every
       error is a DrillsError.
Read first: sheets.py.  Then book.py, section.py, sound.py, spots.py: one job each.
asked/ is the table of what can be asked for, from which faces make their options.
*_files.py turn what was made into the content of files; the others serve one job.
"""
