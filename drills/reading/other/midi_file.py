"""What a Standard MIDI file says, decoded by mido: notes in ticks, metre, key, tempo, names.

Source: Standard MIDI Files 1.0 (RP-001): format, division, meta events 03, 06, 51, 58, 59.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

import mido

from drills.errors import ReadError
from drills.music.pitch import KeySignature
from drills.music.time import COMMON_TIME, TimeSignature
from drills.reading.other.foreign import Foreign

_TEMPO: Final = 60_000_000
_CALLED: Final = 60
STEPS_BY_FIFTHS: Final = "FCGDAEB"


@dataclass(slots=True)
class Voice:
    """What one channel of one track plays, in ticks."""

    name: str
    channel: int
    program: int = 0
    notes: list[tuple[int, int, int]] = field(default_factory=list)
    """Attack, end and key number of each note."""


@dataclass(slots=True)
class MidiFile:
    """What a MIDI file says."""

    resolution: int
    voices: list[Voice] = field(default_factory=list)
    title: str = ""
    times: dict[int, TimeSignature] = field(default_factory=dict)
    keys: dict[int, KeySignature] = field(default_factory=dict)
    tempos: dict[int, Fraction] = field(default_factory=dict)
    marks: dict[int, str] = field(default_factory=dict)


def read_midi(foreign: Foreign) -> MidiFile:
    """Decode; raises ReadError for what mido cannot make sense of."""
    data = foreign.data[20:] if foreign.data.startswith(b"RIFF") else foreign.data
    try:
        file = mido.MidiFile(file=io.BytesIO(data), clip=True)
        if file.type == 2 or not 0 < file.ticks_per_beat < 0x8000:
            raise ReadError(
                f"{foreign.where}: a MIDI file of type 2, or one that counts frames of film, has "
                "no beats; export it as type 0 or 1"
            )
        foreign.limits.check("parts", len(file.tracks), foreign.where)
        found = MidiFile(file.ticks_per_beat)
        for number, track in enumerate(file.tracks):
            _read_track(track, number, found)
    except (OSError, EOFError, ValueError, LookupError, TypeError, AttributeError) as error:
        raise ReadError(
            f"{foreign.where}: the MIDI file is damaged{_told(error)}; export it again"
        ) from error
    return found


def _told(error: Exception) -> str:
    """What mido says of a file, where it says anything."""
    return f" ({str(error)[:80]})" if str(error) else ""


def _read_track(track: Iterable[mido.Message], number: int, found: MidiFile) -> None:
    voices: dict[int, Voice] = {}
    open_: dict[tuple[int, int], list[int]] = {}
    programs: dict[int, int] = {}
    name, at = "", 0
    for message in track:
        at += message.time
        if message.type == "track_name":
            name = message.name.strip()[:_CALLED]
            if not number:
                found.title = name
        elif message.type == "program_change":
            programs.setdefault(message.channel, message.program + 1)
        elif message.type in {"note_on", "note_off"}:
            voice = voices.setdefault(message.channel, Voice("", message.channel))
            began = open_.setdefault((message.channel, message.note), [])
            if message.type == "note_on" and message.velocity:
                began.append(at)
            elif began:
                voice.notes.append((began.pop(0), at, message.note))
        else:
            _read_meta(message, at, found)
    for (channel, note), began in open_.items():
        voices[channel].notes += [(start, max(at, start + 1), note) for start in began]
    for channel, voice in sorted(voices.items()):
        voice.program = programs.get(channel, 0)
        voice.name = name if len(voices) == 1 or channel == min(voices) else ""
        voice.notes.sort()
        found.voices.append(voice)


def _read_meta(message: mido.Message, at: int, found: MidiFile) -> None:
    if message.type == "time_signature":
        found.times[at] = TimeSignature((message.numerator,), message.denominator)
    elif message.type == "key_signature":
        found.keys[at] = _key(message.key)
    elif message.type == "set_tempo":
        found.tempos[at] = Fraction(_TEMPO, max(1, message.tempo))
    elif message.type == "marker" and message.text.strip():
        found.marks[at] = message.text.strip()[:_CALLED]


def _key(name: str) -> KeySignature:
    """mido's name of a key, such as "Bb" or "F#m"."""
    minor = name.endswith("m")
    tonic = name.removesuffix("m")
    fifths = STEPS_BY_FIFTHS.index(tonic[0]) - 1
    fifths += 7 * (tonic.count("#") - tonic.count("b"))
    return KeySignature(fifths - 3 if minor else fifths, "minor" if minor else "major")


def check_midi(found: MidiFile, foreign: Foreign) -> None:
    for voice in found.voices:
        foreign.limits.check("notes", len(voice.notes), foreign.where)
    for time in found.times.values():
        foreign.limits.check("beats", time.count, foreign.where)
    end = max(note[1] for voice in found.voices for note in voice.notes)
    quarters = end // found.resolution
    if quarters > foreign.limits.bars * COMMON_TIME.bar_length.quarters:
        foreign.limits.check("bars", quarters // 4, foreign.where)
