"""The options that commands share, gathered into one typed object per group.

A command lists the groups it takes and receives one frozen object for each, so
that thirty options never stand in one signature and a field that is no option
fails at import.  The help page prints options under the headings of HEADINGS.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from pathlib import Path
from typing import Any, Final, TypeVar

import click

from drills.cli import values
from drills.cli.helping import Helped
from drills.cli.screen import Session
from drills.errors import UsageError
from drills.music.time import NoteValue
from drills.rewriting.asked import How, Rewriting, rewriting_for
from drills.sheet.cells import Order
from drills.sheet.choices import Choices
from drills.sheet.drill import Ending
from drills.sheet.ladder import MOST_RUNGS

_USUAL: Final = Choices()
PAPERS: Final = ("a4", "letter")
"""The first is the default.  Repeated here, since its module takes long to import; a
test compares the two."""

Command = Callable[..., None]
Decorator = Callable[[Command], Command]
T = TypeVar("T")

HEADINGS: Final = {
    "Where": ("at", "new", "part", "parts", "voice", "move"),
    "What is hard": ("hardest", "instrument", "weights", "top"),
    "What is drilled": (
        *("sizes", "rhythm", "order", "cell_end", "turn", "landing", "approach"),
        *("value", "cell_value", "cell_rhythm", "same_pitch"),
    ),
    "Time and paper": ("minutes_asked", "all", "pages", "cells", "fingerings"),
    "Chords": ("functions", "chord", "section_cells", "score_page", "no_cells"),
    "For another instrument": ("for_instrument", "for_pitch"),
    "What sounds": (
        *("play", "with_voices", "octave", "tuning", "pitch", "gain", "sound_font"),
        *("groove", "swing", "swing_line", "human"),
    ),
    "Clicks": ("click", "accent", "click_sound", "accent_sound"),
    "Tempo": (
        *("tempo", "start", "rungs", "step", "past", "up_and_back", "times", "minutes"),
        *("count_in", "rest", "pause", "signal"),
    ),
    "Page": ("paper", "staff_size", "student", "teacher"),
    "Files": (*("output", "also", "each", "plot", "midi_tempo", "rate", "bits", "json", "force"),),
    "Running": ("limit", "lilypond", "time_limit", "quiet", "debug"),
}
"""What the help page calls each kind of option, and which belong to it; ``--help``,
whose name is click's own, goes under the last."""


@dataclass(frozen=True, slots=True)
class DrillOptions:
    """What is drilled, and how."""

    sizes: tuple[int, ...]
    rhythm: tuple[str, ...]
    order: str
    cell_end: str
    turn: int
    landing: bool
    approach: bool
    value: NoteValue | None
    cell_value: NoteValue | None
    cell_rhythm: tuple[str, ...]
    same_pitch: bool
    start: Fraction | None
    rungs: int
    student: bool
    teacher: bool

    def choices(self) -> Choices:
        """The same in the terms of a sheet."""
        return Choices(
            sizes=self.sizes,
            rhythms=self.rhythm,
            cell_rhythms=self.cell_rhythm,
            order=Order(self.order),
            ending=Ending(self.cell_end),
            turn=self.turn,
            approach=self.approach,
            landing=self.landing,
            value=self.value,
            cell_value=self.cell_value,
            keep_still=self.same_pitch,
            start=self.start,
            rungs=self.rungs,
            student=self.student,
            teacher=self.teacher,
        )


@dataclass(frozen=True, slots=True)
class PlanOptions:
    """How long is practised from how much paper."""

    minutes_asked: Fraction | None
    """None where --minutes is not given."""
    all: bool
    pages: int | None
    cells: str
    fingerings: bool

    def planned(self, choices: Choices) -> Choices:
        """The choices for so many minutes; for everything with ``--all``."""
        if self.all and (self.minutes_asked is not None or self.pages is not None):
            other = "--minutes" if self.minutes_asked is not None else "--pages"
            raise UsageError(f"--all prints everything; leave out {other}")
        return replace(
            choices,
            minutes=None if self.all else self.minutes_asked or MINUTES,
            every_cell=self.cells == "all",
            fingerings=self.fingerings,
        )


MINUTES: Final = Fraction(15)
"""For one spot, unless said otherwise."""


@dataclass(frozen=True, slots=True)
class ForOptions:
    """For whose instrument the music is rewritten, if for another's.

    ``for_instrument``: the name as typed, None to leave the music as it is.
    ``for_pitch``: "sounding" or "written", what stays the same; None for the usual.
    """

    for_instrument: str | None
    for_pitch: str | None

    def rewriting(self) -> Rewriting | None:
        """The same in the terms of for_instrument; raises UsageError for an unknown name."""
        if self.for_instrument is None:
            if self.for_pitch is not None:
                raise UsageError("--for-pitch goes with --for INSTRUMENT")
            return None
        try:
            return rewriting_for(self.for_instrument, How(self.for_pitch or How.SOUNDING))
        except UsageError as error:
            raise UsageError(f"--for: {error}") from error


@dataclass(frozen=True, slots=True)
class FileOptions:
    """What is written, and where."""

    output: Path | None
    also: tuple[str, ...]
    midi_tempo: tuple[NoteValue | None, Fraction] | None
    json: bool
    force: bool


@dataclass(frozen=True, slots=True)
class RunOptions:
    """The page, and how LilyPond is run."""

    paper: str
    staff_size: float | None
    lilypond: Path | None
    time_limit: float | None


@dataclass(frozen=True, slots=True)
class ChordOptions:
    """Whether and from what a sheet tells the place of each note in the chord."""

    functions: bool
    chord: tuple[tuple[str, str], ...]


class PlayerCommand(Helped):
    """A command whose help page groups its options under headings."""

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the options, heading by heading; ``--help`` goes last."""
        options = [p for p in self.get_params(ctx) if isinstance(p, click.Option)]
        records = {option.name: option.get_help_record(ctx) for option in options}
        headed = {name for names in HEADINGS.values() for name in names}
        others = [name for name in records if name not in headed]
        for heading, names in HEADINGS.items():
            listed = (*names, *others) if heading == list(HEADINGS)[-1] else names
            rows = [record for name in listed if (record := records.get(name)) is not None]
            if rows:
                with formatter.section(heading):
                    formatter.write_dl(rows)


def player_command(
    name: str, *groups: Decorator, epilog: str = ""
) -> Callable[[Command], click.Command]:
    """A command that takes groups of options, and those that every command has."""

    def made(function: Command) -> click.Command:
        for group in reversed(groups):
            function = group(function)
        for option in reversed(_EVERYWHERE):
            function = option(function)
        settings = {"help_option_names": ["-h", "--help"]}
        return click.command(name, PlayerCommand, epilog=epilog, context_settings=settings)(
            function
        )

    return made


def gathered(name: str, kind: type[Any], options: Sequence[Decorator]) -> Decorator:
    """Hand the values of these options to the command as one ``kind``, under one name."""

    def decorated(function: Command) -> Command:
        @functools.wraps(function)
        def called(**given: object) -> None:
            own = {field.name: given.pop(field.name) for field in fields(kind)}
            function(**given, **{name: kind(**own)})

        command: Command = called
        for option in reversed(options):
            command = option(command)
        return command

    return decorated


def reading(
    parser: Callable[[Any], T],
) -> Callable[[click.Context, click.Parameter, Any], T | None]:
    """A click callback that reads an option's text; errors begin with the option's name."""

    def read(_: click.Context, parameter: click.Parameter, value: object) -> T | None:
        if value is None:
            return None
        try:
            return parser(value)
        except UsageError as error:
            raise UsageError(f"{parameter.opts[-1]}: {error}") from error

    return read


def _remember(context: click.Context, parameter: click.Parameter, value: bool) -> None:
    """Keep a flag that holds for the whole call, whichever command it was given to."""
    session = context.find_object(Session)
    if session is not None and value:
        setattr(session, str(parameter.name), True)


_EVERYWHERE: Final[tuple[Decorator, ...]] = tuple(
    click.option(
        names, is_flag=True, expose_value=False, callback=_remember, is_eager=True, help=text
    )
    for names, text in (
        ("--quiet", "Say nothing but errors and what was asked for."),
        ("--debug", "Show where in the program an error arose."),
    )
)


def drills_from(least_rungs: int) -> Decorator:
    """What is drilled, with a ladder of at least so many numbers."""
    return gathered(
        "drill",
        DrillOptions,
        (
            click.option(
                "--sizes",
                default=",".join(map(str, _USUAL.sizes)),
                show_default=True,
                metavar="NUMBERS",
                callback=reading(values.read_sizes),
                help='Notes in a cell, 2 to 8, or "none" for no cells.',
            ),
            click.option(
                "--rhythm",
                multiple=True,
                default=_USUAL.rhythms,
                show_default=True,
                metavar="NAME",
                callback=reading(values.read_rhythms),
                help="A rhythm for the whole line. Others are swung, bursts, one-long-in-four, all "
                "and none, or write proportions such as 3:1:1:2. Give it once for each rhythm.",
            ),
            click.option(
                "--order",
                type=click.Choice([order.value for order in Order]),
                default=_USUAL.order.value,
                show_default=True,
                metavar="ORDER",
                help="Order of the cells: music, as they come; back, from the last to the first; "
                "hardest, the hardest moves first; grow, each hard move alone and then growing.",
            ),
            click.option(
                "--cell-end",
                type=click.Choice([ending.value for ending in Ending]),
                default=_USUAL.ending.value,
                show_default=True,
                metavar="WAY",
                help="After the last note of a cell: hold it, rest, or go round without a gap.",
            ),
            click.option(
                "--turn",
                default=str(_USUAL.turn),
                metavar="NOTES",
                callback=reading(values.whole_number(0, 63)),
                help="Begin the cycle of each rhythm this many notes later.",
            ),
            click.option(
                "--landing/--no-landing",
                default=_USUAL.landing,
                show_default=True,
                help="Take in the note that the spot leads to.",
            ),
            click.option("--approach", is_flag=True, help="Take in the note before the spot."),
            click.option(
                "--value",
                metavar="NOTE",
                callback=reading(values.read_value),
                help="Note value of the even line, such as eighth; else the commonest in the spot.",
            ),
            click.option(
                "--cell-value",
                metavar="NOTE",
                callback=reading(values.read_value),
                help="Note value of the cells; else that of the music.",
            ),
            click.option(
                "--cell-rhythm",
                multiple=True,
                metavar="NAME",
                callback=reading(values.read_rhythms),
                help="Write the cells in this rhythm too.",
            ),
            click.option(
                "--same-pitch",
                is_flag=True,
                help="Keep cells that only repeat one pitch (tonguing).",
            ),
            click.option(
                "--start",
                metavar="NUMBER",
                callback=reading(values.read_number),
                help="Slowest metronome number; half the performing tempo otherwise.",
            ),
            click.option(
                "--rungs",
                default=str(_USUAL.rungs),
                show_default=True,
                metavar="COUNT",
                callback=reading(values.whole_number(least_rungs, MOST_RUNGS)),
                help="Metronome numbers of the ladder.",
            ),
            click.option(
                "--student", is_flag=True, help="Leave room for the student's name and date."
            ),
            click.option("--teacher", is_flag=True, help="Leave room for the teacher's word."),
        ),
    )


DRILLS: Final = drills_from(2)

PLAN: Final = gathered(
    "plan",
    PlanOptions,
    (
        click.option(
            "--minutes",
            "minutes_asked",
            metavar="MINUTES",
            callback=reading(values.read_minutes),
            help="Time to practise; the page has the drills that do most in it. 15 for a spot "
            "otherwise; in a book the time of an evening for all its spots.",
        ),
        click.option(
            "--all", is_flag=True, help="Print every drill that can be made, on as many pages."
        ),
        click.option(
            "--pages",
            metavar="COUNT",
            callback=reading(values.whole_number(1, 20)),
            help="Pages for a spot at most; otherwise one, or two for a long spot.",
        ),
        click.option(
            "--cells",
            type=click.Choice(("hard", "all")),
            default="hard",
            show_default=True,
            metavar="WHICH",
            help="Cells around the hard moves, or all that overlap.",
        ),
        click.option(
            "--fingerings", is_flag=True, help="Draw the fingerings of the hardest moves."
        ),
    ),
)

FOR: Final = gathered(
    "wanted",
    ForOptions,
    (
        click.option(
            "--for",
            "for_instrument",
            metavar="INSTRUMENT",
            help="Rewrite the music for this instrument: key, clef, and octaves into its range.",
        ),
        click.option(
            "--for-pitch",
            type=click.Choice([how.value for how in How]),
            show_default=How.SOUNDING.value,
            metavar="PITCH",
            help="What stays the same with --for: the sounding pitch, or the written notes.",
        ),
    ),
)

FILES: Final = gathered(
    "files",
    FileOptions,
    (
        click.option(
            "-o",
            "--output",
            type=click.Path(path_type=Path),
            metavar="FILE",
            help="The file to write; its ending says what it is: .pdf, .musicxml, .mid, .ly, .png "
            "or .svg.",
        ),
        click.option(
            "--also",
            multiple=True,
            metavar="FORMAT",
            callback=reading(values.read_formats),
            help="Write this too, under the same name: musicxml, midi, ly, png or svg. In "
            "headphones, start at a low level.",
        ),
        click.option(
            "--midi-tempo",
            metavar="NUMBER",
            callback=reading(values.read_tempo),
            help="Tempo of the MIDI file; the performing tempo otherwise.",
        ),
        click.option(
            "--json",
            is_flag=True,
            help="Print everything on the sheet as data; then files only with -o or --also.",
        ),
        click.option("--force", is_flag=True, help="Replace files that are there already."),
    ),
)

RUN: Final = gathered(
    "run",
    RunOptions,
    (
        click.option(
            "--paper",
            type=click.Choice(PAPERS, case_sensitive=False),
            default=PAPERS[0],
            show_default=True,
            help="Paper size.",
        ),
        click.option(
            "--staff-size",
            metavar="POINTS",
            callback=reading(values.read_points),
            help="Height of a staff; larger is easier to read from a distance.",
        ),
        click.option(
            "--lilypond",
            type=click.Path(path_type=Path),
            metavar="PROGRAM",
            help="The LilyPond to engrave with, instead of the one installed with drills.",
        ),
        click.option(
            "--time-limit",
            metavar="SECONDS",
            callback=reading(values.read_seconds),
            help="How long LilyPond may take.",
        ),
    ),
)

FUNCTIONS: Final = click.option(
    "--functions",
    is_flag=True,
    help="Tell what each note is in the chord, and add a drill of the chords: from the chord "
    "symbols, or where there are none from the notes of the whole score.",
)

CHORDS: Final = gathered(
    "chords",
    ChordOptions,
    (
        FUNCTIONS,
        click.option(
            "--chord",
            multiple=True,
            metavar="PLACE=CHORD",
            callback=reading(values.read_said),
            help="What the chord is in this place, as your part writes it: E:3=C7. Goes with "
            "--functions; give it once for each chord.",
        ),
    ),
)

TEMPO: Final = click.option(
    "--tempo",
    metavar="NUMBER",
    callback=reading(values.read_tempo),
    help="Performing tempo in beats a minute, or with its note value: half=66. The score's "
    "otherwise.",
)


def at_tempo(choices: Choices, tempo: tuple[NoteValue | None, Fraction] | None) -> Choices:
    """The choices with the tempo that ``--tempo`` names, if it names one."""
    if tempo is None:
        return choices
    beat, number = tempo
    return replace(choices, tempo=number, tempo_beat=beat, tempo_source="--tempo")


VOICE: Final = click.option(
    "--voice", metavar="NAME", help="The voice to take where a staff has several."
)

PART: Final = click.option(
    "--part",
    metavar="NAME",
    help="The part to take where the score has several: its name or its number.",
)

INSTRUMENT: Final = click.option(
    "--instrument",
    metavar="NAME",
    help="What the part is played on, where the score has an odd name for it or none.",
)

WEIGHTS: Final = click.option(
    "--weights",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="A settings file (TOML) that says how much each reason counts.",
)

LIMIT: Final = click.option(
    "--limit",
    multiple=True,
    metavar="NAME=VALUE",
    callback=reading(values.read_limits),
    help="Read a larger file than usual, if you trust it, such as bars=20000.",
)


def json_option(text: str) -> Decorator:
    """``--json`` with its help text."""
    return click.option("--json", is_flag=True, help=text)


def session() -> Session:
    """What holds for this call of the program."""
    return click.get_current_context().find_object(Session) or Session()
