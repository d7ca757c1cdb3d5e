"""Metre and key that the book of the folder gives for a file that says neither."""

from __future__ import annotations

from pathlib import Path

from drills.errors import BookError
from drills.project.book import BOOK_NAME, read_book
from drills.reading.given import NOTHING_GIVEN, Given


def given_of(score: Path) -> Given:
    """What the folder's book says of a file; nothing where it names it not, or cannot be read."""
    book = Path(BOOK_NAME)
    if not book.is_file():
        return NOTHING_GIVEN
    try:
        entries = read_book(book).parts
    except BookError:  # the page of the book tells what is wrong with it
        return NOTHING_GIVEN
    here = score.resolve()
    return next((one.given for one in entries if one.path.resolve() == here), NOTHING_GIVEN)
