"""Practices -> files to be: sound in every format, MIDI, and the cue sheet beside them.

Sound is not held in memory: its file is a function that writes it when its turn comes.
The cue sheet has one list for every file of a spot.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import Final

from drills.errors import UsageError
from drills.jobs.sheet_files import SheetSet, Style
from drills.output.audio import FORMATS, AudioSettings, SoundFont, Tags, audio_writer
from drills.output.cues import cue_sheet
from drills.output.files import ENDINGS, OutputFile, chosen_too, related, safe_name
from drills.output.midi.practice import practice_midi_bytes
from drills.sheets.sheet import Sheet
from drills.sound.practice.practice import Practice
from drills.sound.practice.voices import TONES, VOICES, program

SOUND_ENDINGS: Final = {
    **{name: kind.ending for name, kind in FORMATS.items()},
    "midi": ENDINGS["midi"],
}
"""The formats of practice sound, each with the ending of its files."""
PRINTED: Final = "pdf"
"""The sheet, with the names of its sound files."""
CUES_ENDING: Final = ".txt"


@dataclass(frozen=True, slots=True)
class Track:
    """One practice, and what its file's name says of it."""

    practice: Practice
    place: str
    """The spot, as typed."""
    heading: str = ""
    """Number and words of the heading of the sheet that it belongs to; empty for all of it."""


@dataclass(frozen=True, slots=True)
class PracticeSet:
    """Practices that are written together, with the sheets that they belong to."""

    spots: tuple[tuple[Track | None, ...], ...]
    """For each sheet its tracks: one, or one for each heading and None for those not played."""
    sheets: SheetSet
    names: tuple[str, ...]
    """For each sheet a file name for its sound, without an ending."""

    @property
    def tracks(self) -> tuple[Track, ...]:
        """All that are played, in order."""
        return tuple(track for spot in self.spots for track in spot if track is not None)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What the player should know, each thing once."""
        told = (remark for sheet in self.sheets.sheets for remark in sheet.remarks)
        silent = (remark for track in self.tracks for remark in track.practice.remarks)
        return tuple(dict.fromkeys((*self.sheets.remarks, *told, *silent)))

    @property
    def mark(self) -> str:
        """Tells a later run its sound files, and those from other files of the same spots."""
        return related(self.sheets.mark, "practice")


@dataclass(frozen=True, slots=True)
class SoundOutputs:
    """Which files are written, where, and how."""

    path: Path | None = None
    """The file to write; named after part and place, in the current folder, unless given."""
    formats: tuple[str, ...] = ("wav",)
    """Keys of SOUND_ENDINGS, and PRINTED; ``path`` is the first one."""
    force: bool = False
    """Replace files that are there already."""
    rate: int | None = None
    """Samples a second; each format's usual unless given."""
    bits: int | None = None
    """A sample, for the formats that keep every sample."""
    gains: Mapping[str, float] = field(default_factory=dict)
    """Decibels by voice, on top of the usual ones."""
    style: Style = field(default_factory=Style)
    """Of the printed sheet."""
    sound_font: SoundFont | None = None
    """What plays the tones of sound files; our own synthesis unless given."""

    @property
    def sounds(self) -> tuple[str, ...]:
        """The formats that are heard."""
        return tuple(kind for kind in self.formats if kind in SOUND_ENDINGS)

    def settings(self, kind: str) -> AudioSettings:
        """How a sound file of one format is made."""
        bits = self.bits if any(FORMATS[kind].subtypes) else None
        return AudioSettings(kind, self.rate, bits, self.gains, self.sound_font)

    def marked(self, made: PracticeSet) -> PracticeSet:
        """The practices with these choices in their mark."""
        font = None if self.sound_font is None else self.sound_font.file.path
        own = {"rate": self.rate, "bits": self.bits, "gains": dict(self.gains)}
        chosen = [f"{name}={value!r}" for name, value in own.items() if value]
        chosen += [] if font is None else [f"font={font.name}"]
        sheets = replace(
            made.sheets,
            mark=chosen_too(made.sheets.mark, chosen),
            inputs=(*made.sheets.inputs, *([] if font is None else [font])),
        )
        return replace(made, sheets=sheets)

    def check(self) -> None:
        """Raises UsageError at once for settings that a file of the call cannot have."""
        audio = [kind for kind in self.sounds if kind in FORMATS]
        if self.rate is not None and not audio:
            raise UsageError("a rate is for sound, and no sound file is asked for")
        if self.sound_font is not None and not audio:
            raise UsageError("a sound font is for sound, and no sound file is asked for")
        if self.bits is not None and not any(any(FORMATS[kind].subtypes) for kind in audio):
            raise UsageError("bits are for .wav and .flac, and neither is asked for")
        for kind in audio:
            self.settings(kind)

    def place(self, made: PracticeSet, spot: int, heading: str, ending: str) -> Path:
        """Where a file of a spot goes; ``heading`` is that of its track, if it has one."""
        after = f"-{heading}" if heading else ""
        if self.path is None:
            return Path(f"{made.names[spot]}{after}{ending}")
        asked = made.sheets.sheets[spot].spot.span.asked
        between = f"-{safe_name(asked)}" if len(made.spots) > 1 else ""
        if ending == SOUND_ENDINGS.get(self.formats[0]):
            ending = self.path.suffix
        return self.path.with_name(f"{self.path.stem}{between}{after}{ending}")


@dataclass(frozen=True, slots=True)
class Planned:
    """A file to be: where it goes, and what it is made of."""

    path: Path
    spot: int
    tracks: tuple[Track, ...]
    """One, or for a cue sheet all of its spot."""
    kind: str
    """A key of SOUND_ENDINGS; empty for a cue sheet."""


def planned(made: PracticeSet, outputs: SoundOutputs) -> tuple[Planned, ...]:
    """Every file of sound that is asked for, and a cue sheet after those of a spot."""
    found: list[Planned] = []
    for number, spot in enumerate(made.spots):
        tracks = tuple(track for track in spot if track is not None)
        found += [
            Planned(
                outputs.place(made, number, track.heading, SOUND_ENDINGS[kind]),
                number,
                (track,),
                kind,
            )
            for track in tracks
            for kind in outputs.sounds
        ]
        if tracks and outputs.sounds:
            cues = outputs.place(made, number, "", CUES_ENDING)
            found.append(Planned(cues, number, tracks, ""))
    return tuple(found)


def sound_files(
    made: PracticeSet, outputs: SoundOutputs, tell: Callable[[str], None]
) -> tuple[OutputFile, ...]:
    """The planned files with what goes into them.

    Raises UsageError for what a format cannot hold; the functions that write sound
    raise OSError.
    """
    return tuple(
        OutputFile(file.path, _content(made, outputs, file, tell), made.mark)
        for file in planned(made, outputs)
    )


def names_on_sheet(made: PracticeSet, outputs: SoundOutputs) -> tuple[tuple[str, ...], ...]:
    """For each sheet the name of the file of every heading; empty for what has none.

    Where sound is written in several formats, that of the first; where in none, WAV.
    """
    ending = SOUND_ENDINGS[next(iter(outputs.sounds), "wav")]
    return tuple(
        tuple(
            "" if track is None else outputs.place(made, number, track.heading, ending).name
            for track in spot
        )
        for number, spot in enumerate(made.spots)
    )


def font_remarks(made: PracticeSet, font: SoundFont | None) -> tuple[str, ...]:
    """What a sound font does not have of the instruments that are heard, each thing once."""
    if font is None:
        return ()
    told: dict[str, None] = {}
    for sheet, spot in zip(made.sheets.sheets, made.spots, strict=True):
        heard = {voice for track in spot if track for voice in track.practice.choices.voices}
        for voice in (voice for voice in TONES if voice in heard):
            asked = program(voice, sheet.part)
            if font.chosen(asked) != (0, asked):
                bank, stands = font.chosen(asked)
                told[
                    f"the sound font has no General MIDI program {asked + 1} for "
                    f"{VOICES[voice].words}; its program {stands + 1} (bank {bank}) plays instead"
                ] = None
    return tuple(told)


def _content(
    made: PracticeSet, outputs: SoundOutputs, file: Planned, tell: Callable[[str], None]
) -> bytes | Callable[[Path], None]:
    sheet, track = made.sheets.sheets[file.spot], file.tracks[0]
    if not file.kind:
        names = [
            outputs.place(made, file.spot, one.heading, SOUND_ENDINGS[outputs.sounds[0]]).name
            for one in file.tracks
        ]
        practices = [one.practice for one in file.tracks]
        text = _cues_text(list(zip(names, practices, strict=True)), sheet, made.mark)
        return text.encode("utf-8", "replace")  # a name need not be UTF-8
    if file.kind in FORMATS:
        settings, tags = outputs.settings(file.kind), _tags(track, sheet, made.mark)
        return audio_writer(track.practice, tags, settings, partial(_told, tell, file.path))
    return practice_midi_bytes(
        track.practice,
        title=_title(track, sheet),
        part=sheet.part,
        rights=sheet.credits.rights,
        mark=made.mark,
        gains=outputs.gains,
    )


def _told(tell: Callable[[str], None], path: Path, percent: int) -> None:
    tell(f"writing {path}, {percent} %")


def _tags(track: Track, sheet: Sheet, mark: str) -> Tags:
    return Tags(
        title=sheet.credits.title,
        part=sheet.part,
        words=_words(track, sheet),
        rights=sheet.credits.rights,
        mark=mark,
        cues=cue_sheet(track.practice.cues),
    )


def _words(track: Track, sheet: Sheet) -> str:
    return f"{sheet.words} ({track.heading})" if track.heading else sheet.words


def _title(track: Track, sheet: Sheet) -> str:
    return ": ".join(text for text in (sheet.credits.title, _words(track, sheet)) if text)


def _cues_text(files: Sequence[tuple[str, Practice]], sheet: Sheet, mark: str) -> str:
    """The head of the spot, then a list for each file."""
    about = (sheet.credits.title, sheet.part, sheet.words)
    head = " · ".join(text for text in about if text)
    lists = [
        cue_sheet(practice.cues, name, mark if number == len(files) else "")
        for number, (name, practice) in enumerate(files, 1)
    ]
    return "\n".join((f"{head}\n", *lists))
