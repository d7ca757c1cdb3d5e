"""The command line: ``drills sheet``, ``spots``, ``click``, ``take`` and the other commands.

In:    words typed in a terminal.
Out:   calls of jobs/, what they say on the screen, and an exit code.
Read first: this module, then commands/: one module a command.

Only click is imported here; a command's own module is imported when it runs,
so that ``drills --help`` answers at once.  Every error of the tree in
drills/errors.py ends as one line on standard error and its exit code; anything
else is a mistake of the program, and also one line unless ``--debug`` is given.
"""

from __future__ import annotations

import contextlib
import gc
import io
import os
import signal
import sys
import warnings
from collections.abc import Iterator, Sequence
from importlib import import_module
from types import FrameType, ModuleType
from typing import Final, NoReturn

import click

from drills.cli.exits import BUG, EXIT_CODES, STOPPED
from drills.cli.helping import Helped
from drills.cli.screen import (
    Session,
    Stopped,
    complain,
    drop_standard_output,
    open_missing_streams,
    say,
)
from drills.errors import DrillsError

COMMANDS: Final = {
    "sheet": "Turn hard bars into a page of drills.",
    "spots": "Say where a part is hard, and why.",
    "click": "Make a sound file that climbs from slow to the performing tempo.",
    "take": "Judge a recording against the written notes.",
    "section": "Make every player's sheet, and the page of the section.",
    "book": "Put every marked spot of a project into one PDF.",
    "open": "Open a folder of scores as pages in the browser.",
    "plan": "Plan every day until the first rehearsal.",
    "today": "Say what to play today.",
    "done": "Log what was played.",
    "log": "List what was played, strike out, export and import.",
    "ready": "Say how far every passage is, and how far it may be at the rehearsal.",
    "hand-out": "Make a folder, and a .zip of it, for a student.",
    "show": "Say what is in a score, as a player sees it.",
    "write": "Keep bars that you type, or a part of any score, as MusicXML.",
    "demo": "Write a folder with finished sheets to look at.",
}
"""The commands and what the help page says of each; the module has the same name."""

COMPLETION: Final = "_DRILLS_COMPLETE"
"""The variable in which a shell asks for completion; the name is click's own for ``drills``."""

_EXAMPLES: Final = """\b
Start here:
  drills demo                              a folder with music and finished sheets
  drills show march.musicxml               parts, bars, rehearsal marks
  drills sheet march.musicxml --at E:3     the third bar of E as a page of drills
  drills spots march.musicxml              where the part is hard, and why
  drills click march.musicxml --at E:3     the same bar with a click that climbs
  drills book spring.toml                  a whole programme in one PDF
  drills open spring                       all of it by pointing, in the browser

\b
drills COMMAND -h lists the options that most players need, --help all of them.
To let the Tab key complete commands, options and names, in bash (zsh: zsh_source):
  eval "$(_DRILLS_COMPLETE=bash_source drills)\""""

_CAUTION: Final = """Play slowly and correctly, rest often, stop at the first sign of pain, and mind
the level in headphones. Your teacher's advice and a doctor's come first."""


def _module(name: str) -> ModuleType:
    """The module of a command."""
    return import_module(f"drills.cli.commands.{name.replace('-', '_')}")


class LazyGroup(Helped, click.Group):
    """A group that imports a command's module only when the command is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """The names in the order of the job, not of the alphabet."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Import and return a command, or None where there is none of that name."""
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = _module(cmd_name).command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, with the nearest command for a misspelt one."""
        if args[0] not in COMMANDS and not args[0].startswith("-"):
            from difflib import get_close_matches  # noqa: PLC0415 - only for a misspelling

            near = get_close_matches(args[0], COMMANDS, 1, 0.4)
            hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(COMMANDS)}"
            raise click.UsageError(f"there is no command {args[0]!r}; {hint}", ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """Write the table of commands without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the examples, the exit codes and the caution."""
        super().format_epilog(ctx, formatter)
        with formatter.section("Exit codes"):
            formatter.write_dl([(str(code), text) for code, text in EXIT_CODES.items()])
        formatter.write_paragraph()
        formatter.write_text(_CAUTION)


def _print_version(context: click.Context) -> None:
    from importlib.metadata import PackageNotFoundError, version  # noqa: PLC0415 - slow to import

    try:
        say(f"drills {version('drills')}")
    except PackageNotFoundError:
        say("drills, run from a source tree that is not installed")
    context.exit()


@click.group(
    cls=LazyGroup,
    invoke_without_command=True,
    epilog=_EXAMPLES,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.option(
    "--version",
    is_flag=True,
    expose_value=False,
    is_eager=True,
    callback=lambda context, _, wanted: _print_version(context) if wanted else None,
    help="Say which version this is.",
)
@click.pass_context
def drills(context: click.Context) -> None:
    """Turn the hard bars of a wind part into pages of slow drills.

    Give it a part as MusicXML and the bars that do not lie under your fingers.
    It takes them apart into moves of two, three and four notes, writes them in
    rhythms that make each move the quick one in turn, and adds the metronome
    numbers that lead up to the performing tempo.
    """
    if context.invoked_subcommand is None:
        say(context.get_help())


def main() -> NoReturn:
    """Run the command that the player typed, and end with its exit code.

    A shell that wants to complete a line, or its script for that, says so in the
    environment (click's documentation, "Shell Completion").
    """
    wanted = os.environ.get(COMPLETION)
    if wanted:
        from click.shell_completion import shell_complete  # noqa: PLC0415 - only for a shell

        sys.exit(shell_complete(drills, {}, "drills", COMPLETION, wanted))
    sys.exit(run(sys.argv[1:]))


def run(arguments: Sequence[str]) -> int:
    """Run one command; returns the exit code.  No exception leaves it."""
    open_missing_streams()
    session = Session()
    gc.set_threshold(100_000)  # a short life: tidying up would cost a tenth of the start
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # an old terminal may lack a title's letters
            stream.reconfigure(errors="backslashreplace")
    if not sys.warnoptions:
        warnings.simplefilter("ignore")  # a library's warning tells a player nothing
    try:
        with (
            _stopping(session),
            drills.make_context("drills", list(arguments), obj=session) as context,
        ):
            drills.invoke(context)
    except click.exceptions.Exit as done:
        return done.exit_code
    except BaseException as error:
        if session.debug:
            import traceback  # noqa: PLC0415 - only to look for a mistake

            traceback.print_exc()
        return _told(error)
    return 0


def _told(error: BaseException) -> int:
    """Say in one line what went wrong; returns the exit code."""
    match error:
        case DrillsError():
            complain(str(error))
            return error.exit_code
        case click.UsageError():
            where = error.ctx.command_path if error.ctx else "drills"
            complain(f"{_usage(error)} ({where} --help lists the options)")
            return error.exit_code
        case click.ClickException():
            complain(error.format_message())
            return error.exit_code
        case KeyboardInterrupt():
            complain("stopped; nothing is left half-written")
            return STOPPED + getattr(error, "number", signal.SIGINT)
        case BrokenPipeError():  # the reader of our output left, as head does
            drop_standard_output()
            return STOPPED + 13
    kind = type(error).__name__
    complain(f"this is a mistake in drills itself ({kind}: {error}); --debug shows where")
    return BUG


def _usage(error: click.UsageError) -> str:
    """What click has to say, in our words where an option is misspelt."""
    if isinstance(error, click.NoSuchOption):
        near = f"; did you mean {error.possibilities[0]}?" if error.possibilities else ""
        return f"there is no option {error.option_name}{near}"
    return error.format_message().rstrip(".")


@contextlib.contextmanager
def _stopping(session: Session) -> Iterator[None]:
    """Let Ctrl-C, a closing terminal or a ``kill`` clean up, whenever they come.

    An exception that is raised while something is imported can be lost, so the
    signal is also noted and looked for before each stage of the work.  One that is
    ignored already, as ``nohup`` does with a closing terminal, stays ignored.
    """

    def stop(number: int, _: FrameType | None) -> None:
        session.stopped_by = number
        raise Stopped(number)

    names = [name for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)]
    before = {}
    with contextlib.suppress(ValueError):  # only the main thread may listen to signals
        for name in names:
            number = getattr(signal, name)
            if signal.getsignal(number) is not signal.SIG_IGN:
                before[name] = signal.signal(number, stop)
    try:
        yield
    finally:
        for name, handler in before.items():
            signal.signal(getattr(signal, name), handler)
