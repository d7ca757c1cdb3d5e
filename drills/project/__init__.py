"""The player's book of a project.

In:    book.toml, written by hand or by the program.
Out:   a Book with its parts and spots, errors named by their entry; the text of a first
       book, or of one with new entries put in.  Raises BookError.
Read first: book.py.
"""
