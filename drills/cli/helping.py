"""``--help`` printed as every result is, so that a full disk is an error and no mistake of ours."""

from __future__ import annotations

import click

from drills.cli.screen import say


class Helped(click.Command):
    """A command whose help page goes through ``say``."""

    def get_help_option(self, ctx: click.Context) -> click.Option | None:
        """click's own option, with another way to print."""
        option = super().get_help_option(ctx)
        if option is not None:
            option.callback = _show_help
        return option


def _show_help(context: click.Context, _: click.Parameter, wanted: bool) -> None:
    if wanted and not context.resilient_parsing:
        say(context.get_help())
        context.exit()
