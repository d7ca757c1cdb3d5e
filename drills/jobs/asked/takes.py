"""What was played, and what is made of its verdict."""

from __future__ import annotations

from typing import Final

from drills.jobs.asked import values
from drills.jobs.asked.choice import Choice, Heading, Kind
from drills.jobs.asked.planning import MINUTES
from drills.sound.groove import parse_swing

CHOICES: Final = (
    Choice(
        "played",
        'What of the sheet was played, where it was not the spot as it stands: "dotted", '
        '"4-6", its number on the page, from the top (#3), or "auto" to find out.',
        Heading.TAKE,
        ("take",),
        flags=("--drill",),
        unit="NAME",
        first=("take",),
        data="take:takes.what",
    ),
    Choice(
        "page_minutes",
        "What the page was printed for, where --drill counts on it and it was not the usual one.",
        Heading.TAKE,
        ("take",),
        flags=("--minutes",),
        unit="MINUTES",
        usually=MINUTES,
        read=values.read_minutes,
        data="take:takes.what",
    ),
    Choice(
        "practice",
        "The plan of the practice sound that was played to (what drills click --json prints), or "
        "that sound itself: a verdict for every tempo.",
        Heading.TAKE,
        ("take",),
        kind=Kind.PATH,
        unit="FILE",
        first=("take",),
        data="take:takes.rungs",
    ),
    Choice(
        "against_click",
        "Say the time against a click of this tempo too, laid where your attacks fit it best: 96, "
        "half=48.",
        Heading.TAKE,
        ("take",),
        unit="TEMPO",
        read=values.read_tempo,
        data="take:takes.times.timing.click",
    ),
    Choice(
        "swing",
        "How you mean the eighths, so that swung ones are not called late: long against short such "
        "as 2:1; straight; steady, as drums play them at the performing tempo; tempo, at that of "
        "--against-click.",
        Heading.TAKE,
        ("take",),
        unit="RATIO",
        words=("steady", "tempo", "straight"),
        read=parse_swing,
        data="take:takes.swing_meant",
    ),
    Choice(
        "threshold",
        "Call late, uneven or out of tune from another value on: late=40 (ms), uneven, mistuned, "
        "unsteady, tuning (cents), tempo (a share). Give it once for each.",
        Heading.TAKE,
        ("take",),
        unit="NAME=VALUE",
        read=values.read_thresholds,
        several=True,
        data="take:takes.times.notes.timed",
    ),
    Choice(
        "book",
        "Keep what was reached in the log of this book, for the spot that stands in it.",
        Heading.LOG,
        ("take",),
        flags=("--log",),
        kind=Kind.PATH,
        unit="BOOK",
        first=("take",),
    ),
    Choice(
        "picture",
        "Draw the take too, a file for each page: a name that ends in .svg, .png or .pdf.",
        Heading.FILES,
        ("take",),
        kind=Kind.PATH,
        unit="FILE",
        first=("take",),
    ),
    Choice(
        "also",
        "Write what was heard too, beside the recording: midi.",
        Heading.FILES,
        ("take",),
        unit="FORMAT",
        words=("midi",),
        read=values.read_heard_formats,
        several=True,
    ),
)
