"""Which files of practice sound are written: the rows of files.py as ``click`` knows them."""

from __future__ import annotations

from typing import Final

from drills.jobs.asked import sound_values as values
from drills.jobs.asked.choice import Choice, Heading, Kind
from drills.jobs.asked.files import ALSO, JSON, OUTPUT
from drills.jobs.asked.values import whole_number

_FILES: Final = Heading.FILES

CHOICES: Final = (
    OUTPUT.but(
        "click",
        says="The file to write; its ending says what it is: .wav, .flac, .ogg, .opus, .mp3 or "
        ".mid.",
        data="practice:spots.files.file",
    ),
    ALSO.but(
        "click",
        says="Write this too, under the same name: wav, flac, ogg, opus, mp3, midi, or pdf, the "
        "sheet with the names of its sound files.",
        words=tuple(values.SOUND_FORMATS),
        read=values.read_sound_formats,
    ),
    Choice(
        "each",
        "One file for each heading of the sheet, numbered in the order of the page.",
        _FILES,
        ("click",),
        "files",
        kind=Kind.FLAG,
        data="practice:spots.files",
    ),
    Choice(
        "phone",
        "For a phone: an MP3 of 44.1 kHz instead of a WAV, a tenth as large.",
        _FILES,
        ("click",),
        "files",
        kind=Kind.FLAG,
        data="practice:spots.files.file",
    ),
    Choice(
        "rate",
        "Samples a second: 44100 or 48000.",
        _FILES,
        ("click",),
        "files",
        unit="NUMBER",
        words=("44100", "48000"),
        read=whole_number(1, 999_999),
        usually="44100; for .opus 48000",
    ),
    Choice(
        "bits",
        "Bits a sample of .wav and .flac: 16 or 24.",
        _FILES,
        ("click",),
        "files",
        unit="NUMBER",
        words=("16", "24"),
        read=whole_number(1, 99),
        usually="16",
    ),
    JSON.but(
        "click",
        says="Print the plan as data: what begins when. Then files only with -o or --also.",
    ),
)
