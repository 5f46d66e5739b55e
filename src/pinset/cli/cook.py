"""`pinset cook`: what to do before a cook, what it earned, and what its load conducts."""

from __future__ import annotations

import importlib

import click

COMMANDS = {
    "plan": "How long to hold a load here, at which pressure, and when to open.",
    "judge": "Judge a data logger's file.",
    "fit": "Learn from a file with a probe in a unit how a load conducts.",
}


class CookTree(click.Group):
    """Loads a command's module when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002  (click's signature)
        """Return the commands in the order of a cook."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Return one command."""
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"pinset.cli.cook_{cmd_name}")
        command: click.Command = getattr(module, cmd_name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without loading them."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.command(cls=CookTree)
def cook() -> None:
    """Plan, judge and learn from cooks; works without a farm."""
