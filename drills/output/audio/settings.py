"""THE TABLE of audio formats, and what a player can choose about a sound file.

What each can hold beside the sound:

    wav    markers of its own (cue points with labels), title and rights
    mp3    chapters of its own (ID3v2), title, part and rights
    flac, ogg, opus    the list of cues in the comment, title, part and rights
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from drills.errors import UsageError
from drills.output.audio.level import amplitudes
from drills.output.audio.soundfont import SoundFont


@dataclass(frozen=True, slots=True)
class AudioFormat:
    """A kind of sound file, as libsndfile names it."""

    words: str
    ending: str
    container: str
    subtypes: Mapping[int, str]
    """By bits a sample; a lossy format has 0 for all."""
    rates: tuple[int, ...] = (44_100, 48_000)
    """Samples a second that it is written with; the first unless asked otherwise."""
    markers: bool = False
    """Whether cues are markers of its own; a line each in the comment otherwise."""


FORMATS: Final = {
    "wav": AudioFormat("WAV", ".wav", "WAV", {16: "PCM_16", 24: "PCM_24"}, markers=True),
    "flac": AudioFormat("FLAC", ".flac", "FLAC", {16: "PCM_16", 24: "PCM_24"}),
    "ogg": AudioFormat("Ogg Vorbis", ".ogg", "OGG", {0: "VORBIS"}),
    "opus": AudioFormat("Opus", ".opus", "OGG", {0: "OPUS"}, rates=(48_000,)),
    "mp3": AudioFormat("MP3", ".mp3", "MP3", {0: "MPEG_LAYER_III"}, markers=True),
}

BITS: Final = 16
"""A sample, unless asked otherwise."""
_MOST_BYTES: Final = 2**32 - 2**20
"""Of the samples of a WAV file, whose sizes have 32 bits."""


@dataclass(frozen=True, slots=True)
class AudioSettings:
    """How a sound file is made; raises UsageError at once for what makes no sense."""

    format: str = "wav"
    """A key of FORMATS."""
    rate: int | None = None
    """Samples a second; the format's usual rate unless given."""
    bits: int | None = None
    """A sample, 16 or 24; only for formats that keep every sample."""
    gains: Mapping[str, float] = field(default_factory=dict)
    """Decibels by voice, on top of those of practice.voices.VOICES."""
    sound_font: SoundFont | None = None
    """What plays the tones; our own synthesis unless given."""

    def __post_init__(self) -> None:
        if self.format not in FORMATS:
            raise UsageError(
                f"there is no audio format {self.format!r}; there are {', '.join(FORMATS)}"
            )
        kind = self.kind
        if self.rate is not None and self.rate not in kind.rates:
            allowed = " or ".join(str(rate) for rate in kind.rates)
            raise UsageError(
                f"{kind.words} is not written with {self.rate} samples a second; choose {allowed}"
            )
        if self.bits is not None and self.bits not in kind.subtypes:
            allowed = " or ".join(str(bits) for bits in kind.subtypes if bits) or "another format"
            raise UsageError(
                f"{kind.words} is not written with {self.bits} bits a sample; choose {allowed}"
            )
        amplitudes(self.gains)

    @property
    def kind(self) -> AudioFormat:
        return FORMATS[self.format]

    @property
    def samples_a_second(self) -> int:
        return self.rate or self.kind.rates[0]

    @property
    def depth(self) -> int:
        """Bits a sample; 0 for a lossy format."""
        return self.bits or (BITS if BITS in self.kind.subtypes else 0)

    def check_length(self, seconds: Fraction) -> None:
        """Raises UsageError for more than the format can hold."""
        size = seconds * self.samples_a_second * self.depth / 8
        if self.format == "wav" and size > _MOST_BYTES:
            raise UsageError(
                f"{float(seconds) / 3600:.1f} hours are more than a WAV file can hold; "
                "choose another format, such as flac, or a shorter practice"
            )
