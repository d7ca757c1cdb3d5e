"""The help page of a command: the few options that most players need, then all by heading.

``-h`` stops after the few and says where the others are; ``--help`` goes on.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import click

from drills.cli.helping import Helped
from drills.cli.screen import say
from drills.jobs.asked.choice import Choice, Heading

FIRST: Final = "What most players need"
"""The heading of the few."""
_SHORT: Final = "drills.short"
"""Where click's context remembers that the short page is wanted."""

Row = tuple[str, str]


class PlayerCommand(Helped):
    """A command whose options were made from rows of the table of choices."""

    def __init__(self, *given: Any, choices: Sequence[Choice], **named: Any) -> None:  # noqa: ANN401 - click's own
        super().__init__(*given, **named)
        self.choices = choices

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the options; those about help itself go last."""
        records = {
            option.name: record
            for option in self.get_params(ctx)
            if isinstance(option, click.Option) and (record := option.get_help_record(ctx))
        }
        few = [one for one in self.choices if ctx.command.name in one.first]
        _section(formatter, FIRST, [records.pop(one.name) for one in few])
        if ctx.meta.get(_SHORT):
            rest = len(self.choices) - len(few)
            formatter.write_paragraph()
            formatter.write_text(f"{ctx.command_path} --help lists {rest} more options.")
            return
        for heading in Heading:
            here = [one.name for one in self.choices if one.heading is heading]
            _section(formatter, heading, [records.pop(name) for name in here if name in records])
        _section(formatter, "Help", list(records.values()))


def _section(formatter: click.HelpFormatter, heading: str, rows: Sequence[Row]) -> None:
    if rows:
        with formatter.section(heading):
            formatter.write_dl(rows)


def show_short(context: click.Context, _: click.Parameter, wanted: bool) -> None:
    """A click callback: print the help page with the few options only."""
    if wanted and not context.resilient_parsing:
        context.meta[_SHORT] = True
        say(context.get_help())
        context.exit()
