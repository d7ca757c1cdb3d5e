"""A practice -> a finished sound file, as a stream.

The only module that knows soundfile (libsndfile).  The samples go to it in blocks of
BLOCK frames: one long Vorbis write in a single call has crashed Python.  Whole numbers
are rounded here and not dithered: the quietest tail is 98 dB below full scale then, a
pause stays exactly silent and a click starts where it starts.  The library writes to the
file by itself, so that no interrupt can be lost in between; what it says of the file
system is asked again from the system, and whether all has arrived is read back.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Final

import numpy as np
import numpy.typing as npt

from drills.errors import UsageError, WriteError
from drills.output.audio import id3, ogg, riff
from drills.output.audio.level import amplitudes, headroom
from drills.output.audio.mixing import BLOCK, Scene, Terms, scenes
from drills.output.audio.peak import told
from drills.output.audio.settings import AudioSettings
from drills.output.audio.shapes import Wave, half_cosine
from drills.output.audio.soundfont import Note, SoundFont
from drills.output.audio.tags import SOFTWARE, Tags, plain
from drills.sound.practice.playable import Playable
from drills.sound.practice.voices import program

FADE_SECONDS: Final = 1
"""After the end of the practice: what still rings fades away in this time."""
_MOST_TRIED: Final = 1 << 16


def _nobody(_: int) -> None:
    """Nobody who wants to know how far it is."""


def audio_writer(
    practice: Playable,
    tags: Tags,
    settings: AudioSettings,
    reached: Callable[[int], None] = _nobody,
) -> Callable[[Path], None]:
    """What writes the sound to a path, for files.OutputFile.

    ``reached`` is called with each whole per cent of the file, from 0 to 100, in order.
    Raises UsageError at once for a practice that the format cannot hold and for a format
    that the installed library cannot write; the writer raises OSError.  The events are
    asked for twice: first to find the headroom.
    """
    settings.check_length(practice.duration + FADE_SECONDS)
    _check_available(settings)
    return lambda path: write_audio(path, practice, tags, settings, reached)


def write_audio(
    path: Path,
    practice: Playable,
    tags: Tags,
    settings: AudioSettings,
    reached: Callable[[int], None] = _nobody,
) -> None:
    """Write the sound to a file, which is replaced."""
    rate = settings.samples_a_second
    terms = Terms(
        rate, amplitudes(settings.gains), practice.a4, _notes(settings.sound_font, rate, tags.part)
    )
    markers = [(terms.sample(cue.at), plain(cue.text)) for cue in practice.cues]
    frames = terms.sample(practice.duration) + FADE_SECONDS * rate
    blocks = _counted(sound(practice, terms), frames, reached)
    if settings.format == "mp3":
        in_ms = [(round(cue.at * 1000), plain(cue.text)) for cue in practice.cues]
        whole = id3.tag(tags, in_ms, round(frames * 1000 / rate))
        _encode(path, blocks, {"comment": id3.room_for(whole)}, settings)
        id3.put_tag(path, whole)
    else:
        _encode(path, blocks, _texts(tags, settings.kind.markers), settings)
    if settings.format == "wav":
        riff.add_markers(path, markers)
    if settings.kind.container == "OGG":
        ogg.fix_serial(path)
    _check_whole(path, frames)


def _counted(blocks: Iterator[Wave], frames: int, reached: Callable[[int], None]) -> Iterator[Wave]:
    """The blocks; how much of all has been taken is told whenever it grows by a per cent."""
    done, told = 0, -1
    for block in blocks:
        if (percent := done * 100 // frames) > told:
            told = percent
            reached(percent)
        yield block
        done += len(block)
    reached(100)


def sound(practice: Playable, terms: Terms, size: int = BLOCK) -> Iterator[Wave]:
    """The samples of a practice in blocks, turned down as far as they must be, and faded."""
    done = terms.sample(practice.duration)
    frames = done + FADE_SECONDS * terms.rate
    factor = headroom(scenes(practice.events(), terms, frames))
    fading = half_cosine(FADE_SECONDS * terms.rate)[::-1]
    for scene in scenes(practice.events(), terms, frames, size):
        yield _faded(scene, factor, done, fading)


def _notes(
    font: SoundFont | None, rate: int, part: str
) -> Callable[[str, float, int], Note | None] | None:
    """What plays the tones of a part in place of ours."""
    if font is None:
        return None
    player = font.at(rate)
    return lambda voice, key, frames: player.note(program(voice, part), key, frames)


def _faded(scene: Scene, factor: float, done: int, fading: Wave) -> Wave:
    samples = scene.mixed()
    if factor != 1.0:
        samples *= factor
    after = scene.start + scene.length - done
    if after > 0:
        inside = samples[max(0, len(samples) - after) :]
        first = max(0, scene.start - done)
        inside *= fading[first : first + len(inside)]
    return samples


def _encode(
    path: Path, blocks: Iterator[Wave], texts: dict[str, str], settings: AudioSettings
) -> None:
    """Write blocks with libsndfile; ``texts`` by its names for them."""
    soundfile = _soundfile()
    kind, depth = settings.kind, settings.depth
    try:
        with soundfile.SoundFile(
            told(path),
            "w",
            settings.samples_a_second,
            1,
            kind.subtypes[depth],
            format=kind.container,
        ) as file:
            for name, text in texts.items():
                setattr(file, name, text)
            for block in blocks:
                file.write(_whole_numbers(block, depth) if depth else block)
    except (soundfile.SoundFileError, AssertionError) as error:  # it asserts what was written
        _ask_again(path)
        raise OSError(f"the sound library stopped: {error}") from error


def _texts(tags: Tags, markers: bool) -> dict[str, str]:
    """By the library's names."""
    texts = {
        "title": tags.heading,
        "artist": plain(tags.part),
        "copyright": plain(tags.rights),
        "comment": tags.comment(markers),
        "software": SOFTWARE,
    }
    return {name: text for name, text in texts.items() if text}


def _whole_numbers(block: Wave, depth: int) -> npt.NDArray[np.int16] | npt.NDArray[np.int32]:
    """Rounded to the nearest number of ``depth`` bits, at the upper end of its type.

    ``block`` is written over.
    """
    block *= float(2 ** (depth - 1) - 1)
    np.rint(block, out=block)
    if depth == 16:
        return block.astype(np.int16)
    return np.left_shift(block.astype(np.int32), 32 - depth)


def _ask_again(path: Path) -> None:
    """Do what the library failed to do, so that the system tells why: no room, most of all."""
    with path.open("ab") as stream:
        stream.write(bytes(_MOST_TRIED))
        stream.flush()
        os.fsync(stream.fileno())


def _check_whole(path: Path, frames: int) -> None:
    """Read back how long the file says it is; raises OSError."""
    soundfile = _soundfile()
    try:
        written = soundfile.info(told(path)).frames
    except soundfile.SoundFileError as error:
        _ask_again(path)
        raise OSError(f"the sound library cannot read what it wrote: {error}") from error
    if written != frames:
        _ask_again(path)
        raise OSError(f"{written} of {frames} samples were written")


def _check_available(settings: AudioSettings) -> None:
    kind = settings.kind
    wanted = kind.subtypes[settings.depth]
    if wanted not in _soundfile().available_subtypes(kind.container):
        raise UsageError(
            f"the installed libsndfile cannot write {kind.words}; choose wav or flac, "
            "or install a newer one"
        )


def _soundfile() -> ModuleType:
    """soundfile, whose import fails with OSError where the system has no libsndfile."""
    try:
        import soundfile  # noqa: PLC0415 - so that its absence is one clear line
    except OSError as error:
        raise WriteError(
            f"no sound can be written: libsndfile is missing ({error}); install it, or "
            "choose a MIDI file"
        ) from error
    module: ModuleType = soundfile
    return module
