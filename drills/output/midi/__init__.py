"""Sheets as a standard MIDI file.

Format 1 of the Standard MIDI Files 1.0 specification (MIDI Manufacturers
Association, 1988).  The first track holds tempo, time and key signatures,
titles and a marker at every drill; then comes a track for each part; the last
one counts the bar of rest before every drill on two wood blocks, so that it
can be muted apart.

Conventions.
  * Times are those of the timeline, in ticks of which a dotted 64th and every
    tuplet of 3, 5, 6 and 7 down to 64ths are whole numbers.  Only lengths that
    no number of ticks up to 32767 a quarter can hold are rounded, each from its
    own exact place.
  * The format keeps a tempo in whole microseconds a quarter.  It is
    written where the music gets another one, and once in minutes where the
    rounding (up to half a microsecond a quarter) would add up to a tick.
  * Pitches sound, so keys do too: both are moved by the instrument's
    transposition.  A microtone is the nearest key with a pitch bend (range two
    semitones, the General MIDI default); of a chord the first tone decides.
  * Unpitched notes are drums on channel 10; instruments are General MIDI
    programs where their name tells which.
"""

from drills.output.midi.file import midi_bytes
from drills.output.midi.heard import heard_midi_bytes
from drills.output.midi.practice import practice_midi_bytes

__all__ = ["heard_midi_bytes", "midi_bytes", "practice_midi_bytes"]
