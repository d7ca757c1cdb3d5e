"""The nouns: pitch, time and score.  Standard library only, no files."""
