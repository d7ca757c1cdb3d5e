"""Sheets -> LilyPond text.

Read first: document.py, the functions; page.py, the paper; sheet_view.py, what of a sheet goes
into the templates.  words.py has ``ly_string``, the only way a stranger's text reaches LilyPond;
rows.py what stands over and under a staff (chord symbols, note numbers).
"""

from drills.output.lilypond.document import ContentsEntry, contents_text, sheets_text
from drills.output.lilypond.page import PAPERS, Page

__all__ = ["PAPERS", "ContentsEntry", "Page", "contents_text", "sheets_text"]
