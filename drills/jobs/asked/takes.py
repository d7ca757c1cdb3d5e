"""What was played, and what is made of its verdict."""

from __future__ import annotations

from typing import Final

from drills.jobs.asked import values
from drills.jobs.asked.choice import Choice, Heading, Kind

CHOICES: Final = (
    Choice(
        "drill",
        'What of the sheet was played, where it was not the spot as it stands: "dotted", '
        '"4-6", its number on the sheet (#3), or "auto" to find out.',
        Heading.TAKE,
        ("take",),
        unit="NAME",
        first=("take",),
        data="take:takes.what",
    ),
    Choice(
        "practice",
        "The plan of the practice sound that was played to (what drills click --json prints), or "
        "that sound itself as WAV: a verdict for every tempo.",
        Heading.TAKE,
        ("take",),
        kind=Kind.PATH,
        unit="FILE",
        first=("take",),
        data="take:takes.rungs",
    ),
    Choice(
        "picture",
        "Draw the take too: a file that ends in .svg, .png or .pdf.",
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
