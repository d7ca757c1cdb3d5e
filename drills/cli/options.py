"""From the table of what can be asked for (drills/jobs/asked/) to the options of a command.

A command names the tables it takes rows from and the groups of values it wants; it
receives one frozen object for each group, so that thirty options never stand in one
signature, and every other option under its own name.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

import click
from click.shell_completion import CompletionItem

from drills.cli.help_page import PlayerCommand, show_short
from drills.cli.screen import Session
from drills.errors import UsageError
from drills.jobs.asked.choice import Choice, Kind
from drills.jobs.asked.planning import MINUTES
from drills.music.pitch import KeySignature
from drills.music.time import NoteValue, TimeSignature
from drills.reading.given import Given
from drills.rewriting.asked import How, Rewriting, rewriting_for
from drills.sheets.choices import Choices

Command = Callable[..., None]
Decorator = Callable[[Command], Command]

AskedTempo = tuple[NoteValue | None, Fraction]
"""What ``--tempo`` reads: what is counted (None: the beat of the music), and how often."""


@dataclass(frozen=True, slots=True)
class PlanOptions:
    """How long is practised, and from how much paper."""

    minutes: Fraction | None
    """None where nothing is said of it."""
    everything: bool
    pages: int | None
    every_cell: bool
    fingerings: bool

    def planned(self, choices: Choices) -> Choices:
        """The choices for so many minutes, or for everything; raises UsageError for both."""
        if self.everything and (self.minutes is not None or self.pages is not None):
            other = "--minutes" if self.minutes is not None else "--pages"
            raise UsageError(f"--all prints everything; leave it out, or leave out {other}")
        usual = Fraction(MINUTES)
        return replace(
            choices,
            minutes=None if self.everything else self.minutes or usual,
            every_cell=self.every_cell,
            fingerings=self.fingerings,
        )


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


IN_THE_BOOK: Final = (
    'a book says metre and key itself: under the part write metre = "6/8" and key = "F major"'
)


@dataclass(frozen=True, slots=True)
class GivenOptions:
    """What holds where a file says neither metre nor key."""

    metre: TimeSignature | None
    key: KeySignature | None

    def given(self) -> Given:
        """The same for the reader, which asks nobody."""
        return Given(self.metre, self.key)

    def check(self, notes: object) -> None:
        """Raise UsageError beside typed bars, which say both themselves."""
        if notes and (self.metre or self.key):
            raise UsageError(
                "--metre and --key are for files that give none; typed bars begin with both: "
                '--notes "6/8 F major: ..."'
            )


@dataclass(frozen=True, slots=True)
class FileOptions:
    """What is written, and where."""

    output: Path | None
    also: tuple[str, ...]
    midi_tempo: AskedTempo | None
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


def player_command(
    name: str,
    *arguments: Decorator,
    choices: Sequence[Choice],
    groups: Mapping[str, type[Any]],
    epilog: str = "",
) -> Callable[[Command], click.Command]:
    """A command with the rows of ``choices`` that are for it, some gathered into ``groups``.

    ``groups``: names of parameters, which are those of ``Choice.into``, each with the
    type that it receives.
    """
    own = tuple(choice for choice in choices if name in choice.commands)

    def made(function: Command) -> click.Command:
        decorated = _gathering(function, own, groups)
        options: list[Decorator] = [*arguments, *map(_option, own), _SHORT_HELP]
        for option in reversed(options):
            decorated = option(decorated)
        return click.command(name, PlayerCommand, epilog=epilog, choices=own)(decorated)

    return made


def _gathering(
    function: Command, choices: Sequence[Choice], groups: Mapping[str, type[Any]]
) -> Command:
    """The command with the values of each group handed over as one object.

    Raises TypeError, when the module is imported, for a row whose group has no such field.
    """
    grouped = {
        group: {one.name: one.field for one in choices if one.into == group} for group in groups
    }
    for group, kind in groups.items():
        strange = set(grouped[group].values()) - {field.name for field in fields(kind)}
        if strange:
            raise TypeError(f"{kind.__name__} has no field {', '.join(sorted(strange))}")

    @functools.wraps(function)
    def called(**given: object) -> None:
        made = {
            group: kind(**{field: given.pop(name) for name, field in grouped[group].items()})
            for group, kind in groups.items()
        }
        function(**given, **made)

    return called


_SHORT_HELP: Final = click.option(
    "-h",
    "short_help",
    is_flag=True,
    expose_value=False,
    is_eager=True,
    callback=show_short,
    help="Show the first of these options and some examples.",
)


def _option(choice: Choice) -> Decorator:
    """click's form of a row."""
    if choice.name in _WHOLE_CALL:
        return click.option(
            *choice.written,
            is_flag=True,
            expose_value=False,
            callback=_remember,
            is_eager=True,
            help=choice.told,
        )
    written = ("/".join(choice.written),) if choice.kind is Kind.SWITCH else choice.written
    settings: dict[str, Any] = {"help": choice.told}
    if choice.kind in _YES_OR_NO:
        settings |= {"is_flag": True, "default": bool(choice.usual)}
    else:
        settings |= {
            "type": _type(choice),
            "metavar": choice.unit,
            "multiple": choice.several,
            "default": choice.usual,
            "callback": _reading(choice.read_as),
        }
    return click.option(*written, choice.name, **settings)


_WHOLE_CALL: Final = ("quiet", "debug")
"""Flags that hold for the whole call, whichever command they were given to."""
_YES_OR_NO: Final = (Kind.FLAG, Kind.SWITCH)


class _Completed(click.types.StringParamType):
    """Any text, of which a shell may be told some words."""

    def __init__(self, words: Sequence[str]) -> None:
        self.words = words

    def shell_complete(
        self,
        ctx: click.Context,  # noqa: ARG002 - click's own signature
        param: click.Parameter,  # noqa: ARG002
        incomplete: str,
    ) -> list[CompletionItem]:
        """The words that begin as typed; after a comma those that follow it."""
        before, comma, begun = incomplete.rpartition(",")
        words = (word for word in self.words if word.startswith(begun))
        return [CompletionItem(f"{before}{comma}{word}") for word in words]


def _type(choice: Choice) -> click.ParamType[Any]:
    if choice.kind is Kind.PATH:
        return click.Path(path_type=Path)
    if choice.kind is Kind.WORD:
        return click.Choice(choice.words, case_sensitive=False)
    return _Completed(choice.words) if choice.words else click.STRING


def _reading(
    parser: Callable[[Any], object] | None,
) -> Callable[[click.Context, click.Parameter, Any], object]:
    """A click callback that reads an option's text; errors begin with the option's name."""

    def read(_: click.Context, parameter: click.Parameter, value: object) -> object:
        if value is None or parser is None:
            return value
        try:
            return parser(value)
        except UsageError as error:
            raise UsageError(f"{parameter.opts[-1]}: {error}") from error

    return read


def _remember(context: click.Context, parameter: click.Parameter, value: bool) -> None:
    """Keep a flag that holds for the whole call."""
    session = context.find_object(Session)
    if session is not None and value:
        setattr(session, str(parameter.name), True)


def at_tempo(choices: Choices, tempo: AskedTempo | None) -> Choices:
    """The choices with the tempo that ``--tempo`` names, if it names one."""
    if tempo is None:
        return choices
    beat, number = tempo
    return replace(choices, tempo=number, tempo_beat=beat, tempo_source="--tempo")


def session() -> Session:
    """What holds for this call of the program."""
    return click.get_current_context().find_object(Session) or Session()
