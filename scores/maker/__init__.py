"""Makes the MusicXML files in scores/ from the readable text in scores/source/."""
