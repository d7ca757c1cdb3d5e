"""Sheets -> LilyPond text: see ``document`` for the functions, ``page`` for the paper."""

from drills.output.lilypond.document import ContentsEntry, contents_text, sheets_text
from drills.output.lilypond.page import PAPERS, Page

__all__ = ["PAPERS", "ContentsEntry", "Page", "contents_text", "sheets_text"]
