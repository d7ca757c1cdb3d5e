"""Sheets as MusicXML 4.0 (partwise), for notation programs and other readers.

Source: the W3C Community Group's MusicXML 4.0 schema and reference.
"""

from drills.output.musicxml.document import musicxml_bytes

__all__ = ["musicxml_bytes"]
