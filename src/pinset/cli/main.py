"""The `pinset` command and its tree."""

from __future__ import annotations

import importlib
from pathlib import Path

import click

COMMANDS = {
    "today": ("today", "What to do now, in which order, with what."),
    "plan": ("plan", "Plan the farm from what is alive and promised now."),
    "promises": ("promises", "What was kept and what is coming."),
    "lots": ("lots", "Lots alive, or those that match."),
    "show": ("lots", "One lot: its life, parents, children and counts."),
    "done": ("done", "Record a job as done, part done, not today or not at all."),
    "undo": ("done", "Take an entry back by a correcting entry."),
    "cook": ("cook", "Plan a cook, judge its log, learn from it."),
    "check": ("check", "Rebuild the ledger's balances and its chain, and compare."),
    "new": ("describe", "Write commented templates for describing a farm."),
    "load": ("describe", "Take a described farm in, all or nothing."),
    "export": ("describe", "Write the farm back as the same files."),
    "backup": ("copying", "Write a verified copy of the farm to a file."),
    "restore": ("copying", "Put a backup in place, all or nothing."),
    "password": ("people", "Set somebody's password."),
    "serve": ("serve", "Serve the pages."),
    "demo": ("demo", "Build an invented farm, plan it and serve it."),
}
"""Command: the module it lives in (loaded when it is called) and its help sentence."""


class Tree(click.Group):
    """Loads a command's module when it is asked for, so that each starts quickly."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002  (click's signature)
        """Return the commands in the order of the table."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Return one command."""
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"pinset.cli.{COMMANDS[cmd_name][0]}")
        command: click.Command = getattr(module, cmd_name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without loading them."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl([(name, sentence) for name, (_, sentence) in COMMANDS.items()])


@click.command(cls=Tree, name="pinset")
@click.option(
    "--farm",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder of the farm (else PINSET_FARM, else the present folder).",
)
@click.version_option(package_name="pinset", message="pinset %(version)s")
def main(farm: Path | None) -> None:
    """Run a spawn laboratory and grow rooms as one chain."""
    del farm  # read from the context by the commands
