"""What was made -> the content of files.

In:    a Sheet, a Section, a Practice, a ranking.
Out:   text or bytes in one format, with the mark of the program in it.  The modules know
       nothing of each other; jobs/ joins them.
Read first: the module of the format; files/ says how files appear.

lilypond    Page(paper, staff_size); sheets_text(sheets, page, mark) and
            contents_text(title, first_rehearsal, entries, page, mark): LilyPond text
engrave     Engraving; engrave(texts, formats, running) -> Engraved: runs LilyPond
programs    output_of(command, seconds): runs what else there is to run
portions    split_sheets(sheets, parts): sheets in portions of about equal time
pdf         Bookmark; join_pdf(parts, title, subject, mark, outline): one PDF,
            the same bytes every time
pictures    marked_png(picture, mark), marked_svg(picture, mark)
musicxml    a sheet as MusicXML 4.0
midi        a sheet, or practice sound, as a standard MIDI file
audio       practice sound as WAV, FLAC, Ogg, Opus or MP3
cues        clock(seconds); cue_sheet(cues, heading, mark): when what begins, as text
files/      OutputFile; write_files(files, mark, force): whole or not at all
"""
