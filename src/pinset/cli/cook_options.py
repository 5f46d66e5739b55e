"""Options that say what a unit of a load is, and where the farm lies."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from pinset.errors import InputError

Command = Callable[..., Any]

_UNIT = (
    click.option("--altitude", default="", help="Of the farm: 1240m or 4000ft.  [default: 0m]"),
    click.option(
        "--filling",
        type=click.Choice(["sawdust", "straw", "grain", "agar"]),
        default="sawdust",
        show_default=True,
        help="What is in a unit.",
    ),
    click.option(
        "--mass", default="", help="Of what fills one unit.  [default: 2.3kg; of agar 0.5kg]"
    ),
    click.option(
        "--moisture",
        default="",
        help="Of the wet mass; or 60%.  [default: sawdust 60%, straw 75%, grain 48%, agar 97%]",
    ),
    click.option(
        "--size",
        default="",
        help="Of the filled part: DIAMETERxHEIGHT, or LENGTHxWIDTHxHEIGHT of a bag pressed square."
        "  [default: 15x20cm; of agar a bottle of that weight]",
    ),
)


def unit_options(command: Command) -> Command:
    """Add the options of a unit to a command."""
    for option in reversed(_UNIT):
        command = option(command)
    return command


def bytes_of(file: Path) -> bytes:
    """Return what is in a file.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    try:
        return file.read_bytes()
    except OSError as problem:
        accepted = f"a file that can be read ({problem.strerror})"
        raise InputError("FILE", str(file), accepted) from problem


def changes_of(said: tuple[str, ...]) -> dict[str, str]:
    """Return what ``--read KEY=VALUE`` says of a file.

    Raises
    ------
    InputError
        If one is not of that form.
    """
    return dict(_pair(each) for each in said)


def _pair(text: str) -> tuple[str, str]:
    key, equals, value = text.partition("=")
    if not equals:
        raise InputError("--read", text, "KEY=VALUE, such as column.2.role=core or decimal=,")
    return key.strip(), value.strip()
