"""Practice sound as a file: WAV, FLAC, Ogg, Opus or MP3, exact to the sample.

shapes, struck    struck sounds, made of ringing modes, hiss and a tap: THE TABLE of recipes
tones             the notes of the music and of drones: THE TABLE of timbres
mixing            events -> blocks of samples; memory does not grow with length
soundfont         tones from a player's own SoundFont 2 file, by an optional library
font_file         such a file, checked before the library sees it
truepeak, level   true peak (ITU-R BS.1770), gains of the voices, headroom
settings, tags    THE TABLE of formats; what can be chosen; what the file says of itself
encode            audio_writer(practice, tags, settings): what files.OutputFile calls
peak              how loud a finished file gets
strokes           strokes alone, for what compares a recording with them
riff, ogg, id3    markers in WAV and MP3, the same Ogg bytes every time

All sound is synthesis of our own, nothing to license, unless the player names a sound
font, which then plays the tones; strokes stay ours, exact to the sample.
"""

from drills.output.audio.encode import FADE_SECONDS, audio_writer
from drills.output.audio.peak import peak
from drills.output.audio.settings import FORMATS, AudioFormat, AudioSettings
from drills.output.audio.soundfont import SoundFont, open_sound_font
from drills.output.audio.strokes import struck_sound
from drills.output.audio.tags import Tags

__all__ = [
    "FADE_SECONDS",
    "FORMATS",
    "AudioFormat",
    "AudioSettings",
    "SoundFont",
    "Tags",
    "audio_writer",
    "open_sound_font",
    "peak",
    "struck_sound",
]
