"""A group of commands whose modules are loaded when called, so that each starts quickly."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import Any

import click


class Tree(click.Group):
    """A group by a table: command, the module of :mod:`pinset.cli` it lives in, its sentence."""

    def __init__(self, *given: Any, table: Mapping[str, tuple[str, str]], **more: Any) -> None:
        super().__init__(*given, **more)
        self._table = table

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002  (click's signature)
        """Return the commands in the order of the table."""
        return list(self._table)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Return one command."""
        if cmd_name not in self._table:
            return None
        module = importlib.import_module(f"pinset.cli.{self._table[cmd_name][0]}")
        command: click.Command = getattr(module, cmd_name.replace("-", "_"))
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without loading them."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl([(name, said) for name, (_, said) in self._table.items()])
