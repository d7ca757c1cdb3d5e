"""The player's project: the book, the days until the rehearsal, the plan, the log.

In:    book.toml, written by hand or by the program; passages with how far they are.
Out:   a Book with its parts and spots, errors named by their entry; the text of a first
       book, or of one with new entries put in; a Plan day by day; a log that survives
       a crash; a forecast with its uncertainty.  Raises BookError, UsageError and LogError.
Read first: book.py, plan.py, log.py.
"""
