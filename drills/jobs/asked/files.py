"""Which files are written, the page, and how the program runs."""

from __future__ import annotations

from typing import Final

from drills.jobs.asked import values
from drills.jobs.asked.choice import COMMANDS, Choice, Heading, Kind
from drills.output.files import ENDINGS

PAPERS: Final = ("a4", "letter")
"""The first is the default.  Repeated here, since its module takes long to import; a
test compares the two."""

_PRINTING: Final = ("sheet", "click", "section", "book", "today", "hand-out", "write", "demo")
_PROJECT: Final = ("plan", "today", "done", "ready", "hand-out")
_FILES: Final = Heading.FILES
_RUNNING: Final = Heading.RUNNING

OUTPUT: Final = Choice(
    "output",
    "The file to write; its ending says what it is: .pdf, .musicxml, .mid, .ly, .png or .svg.",
    _FILES,
    ("sheet", "book"),
    "files",
    flags=("-o", "--output"),
    kind=Kind.PATH,
    unit="FILE",
    first=("sheet", "click", "section", "book"),
)
ALSO: Final = Choice(
    "also",
    "Write this too, under the same name: musicxml, midi, ly, png or svg. In headphones, start at "
    "a low level.",
    _FILES,
    ("sheet", "book"),
    "files",
    unit="FORMAT",
    words=tuple(ENDINGS),
    read=values.read_formats,
    several=True,
    first=("sheet", "section", "book"),
)
_MIDI_TEMPO: Final = Choice(
    "midi_tempo",
    "Tempo of the MIDI file.",
    _FILES,
    ("sheet", "book"),
    "files",
    unit="NUMBER",
    usually="the performing tempo",
    read=values.read_tempo,
)
JSON: Final = Choice(
    "json",
    "Print everything on the sheet as data; then files only with -o or --also.",
    _FILES,
    ("sheet", "book"),
    "files",
    kind=Kind.FLAG,
)
_FORCE: Final = Choice(
    "force",
    "Replace files that are there already.",
    _FILES,
    ("sheet", "click", "section", "book", "demo"),
    "files",
    kind=Kind.FLAG,
)

WRITTEN: Final = (
    OUTPUT,
    OUTPUT.but(
        "section",
        says="The folder for the files; named after the piece and the place otherwise.",
        unit="FOLDER",
    ),
    ALSO,
    ALSO.but(
        "write",
        says="Draw the bars too, under the same name: png, svg or pdf.",
        into="",
        first=("write",),
    ),
    ALSO.but(
        "section",
        says="Write this beside each PDF: ly, png or svg; and each player's drills as midi or "
        "musicxml. In headphones, start at a low level.",
    ),
    Choice(
        "plot",
        "Draw the effort of the whole part too: a file that ends in .svg or .png.",
        _FILES,
        ("spots",),
        kind=Kind.PATH,
        unit="FILE",
    ),
    Choice(
        "mark",
        "Write what is shown into a book too, with the reasons as notes; your own lines stay.",
        _FILES,
        ("spots",),
        kind=Kind.PATH,
        unit="BOOK",
        first=("spots",),
    ),
    _MIDI_TEMPO,
    _MIDI_TEMPO.but("section", says="Tempo of the MIDI files."),
    JSON,
    JSON.but(
        "section",
        says="Print who sounds what in which chord as data; then files only with -o or --also.",
    ),
    JSON.but("spots", says="Print the same as data, with every term of every move."),
    JSON.but("show", says="Print the same as data, with every note."),
    _FORCE,
    JSON.but("take", says="Print the verdict as data, note by note."),
    _FORCE.but(
        *("spots", "take", "plan", "today", "log", "ready", "hand-out"),
        says="Replace a file that is there already.",
    ),
    _FORCE.but("write", says="Replace a file that is there already.", into=""),
)

PAGE: Final = (
    Choice(
        "paper",
        "Paper size.",
        Heading.PAGE,
        _PRINTING,
        "run",
        kind=Kind.WORD,
        unit="SIZE",
        usual=PAPERS[0],
        words=PAPERS,
    ),
    Choice(
        "staff_size",
        "Height of a staff; larger is easier to read from a distance.",
        Heading.PAGE,
        _PRINTING,
        "run",
        unit="POINTS",
        read=values.read_points,
    ),
)

RUNNING: Final = (
    Choice(
        "limit",
        "Read a larger file than usual, if you trust it, such as bars=20000.",
        _RUNNING,
        ("sheet", "spots", "click", "take", "section", "book", "show", "write", *_PROJECT),
        unit="NAME=VALUE",
        read=values.read_limits,
        several=True,
    ),
    Choice(
        "lilypond",
        "The LilyPond to engrave with, instead of the one installed with drills.",
        _RUNNING,
        _PRINTING,
        "run",
        kind=Kind.PATH,
        unit="PROGRAM",
    ),
    Choice(
        "time_limit",
        "How long LilyPond may take.",
        _RUNNING,
        _PRINTING,
        "run",
        unit="SECONDS",
        read=values.read_seconds,
    ),
    Choice(
        "quiet",
        "Say nothing but errors and what was asked for.",
        _RUNNING,
        COMMANDS,
        kind=Kind.FLAG,
    ),
    Choice(
        "debug",
        "Show where in the program an error arose.",
        _RUNNING,
        COMMANDS,
        kind=Kind.FLAG,
    ),
)

SERVING: Final = (
    Choice(
        "port",
        "The port that the page is served on.",
        _RUNNING,
        ("open",),
        kind=Kind.COUNT,
        unit="NUMBER",
        limits=(0, 65535),
        usual="0",
        usually="0, one that is free",
        read=None,
        first=("open",),
    ),
    Choice(
        "browser",
        "Open the browser too.",
        _RUNNING,
        ("open",),
        kind=Kind.SWITCH,
        usual=True,
        first=("open",),
    ),
    Choice(
        "lan",
        "Let a tablet on the same network in, with a code that works once. What is sent can be "
        "read by others on that network, and a tablet gets no microphone.",
        _RUNNING,
        ("open",),
        kind=Kind.FLAG,
        first=("open",),
    ),
)

CHOICES: Final = (*WRITTEN, *PAGE, *RUNNING, *SERVING)
