"""Sheets -> files.  The modules know nothing of each other; build.py joins them.

lilypond    Page(paper, staff_size), sheets_text(sheets, page, mark), contents_text(...): LilyPond text
engrave     Engraving, engrave(texts, formats, running) -> Engraved: the only module that runs a program
portions    split_sheets(sheets, parts): sheets in portions of about equal time
pdf         Bookmark, join_pdf(parts, title, subject, mark, outline): one PDF, the same bytes every time
pictures    marked_png(picture, mark), marked_svg(picture, mark): pages that carry the mark
musicxml    MusicXML 4.0
midi        a standard MIDI file
files       OutputFile, write_files: whole or not at all
"""
