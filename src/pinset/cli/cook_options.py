"""Options that say what a unit of a load is, and where the farm lies."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from pinset.errors import InputError
from pinset.units import Quantity, parse

CM = 100.0
Command = Callable[..., Any]

_UNIT = (
    click.option("--altitude", default="0", help="Of the farm: 1240m or 4000ft."),
    click.option(
        "--filling",
        type=click.Choice(["sawdust", "straw", "grain", "agar"]),
        default="sawdust",
        show_default=True,
        help="What is in a unit.",
    ),
    click.option("--mass", default="2.3kg", show_default=True, help="Of what fills one unit."),
    click.option(
        "--moisture", default="0.6", show_default=True, help="Of the wet mass; or 60%."
    ),
    click.option(
        "--size",
        default="15x20cm",
        show_default=True,
        help="Of the filled part: DIAMETERxHEIGHT, or LENGTHxWIDTHxHEIGHT of a bag pressed square.",
    ),
)


def unit_options(command: Command) -> Command:
    """Add the options of a unit to a command."""
    for option in reversed(_UNIT):
        command = option(command)
    return command


def unit_of(given: dict[str, Any]) -> dict[str, Any]:
    """Return what the options of a unit say, as fields of a load.

    Raises
    ------
    InputError
        If one of them is not what is accepted.
    """
    from pinset.services.cook_loads import Filling

    return {
        "altitude_m": parse(Quantity.LENGTH, given["altitude"], "m", "altitude"),
        "filling": Filling(given["filling"]),
        "mass_kg": parse(Quantity.MASS, given["mass"], "kg", "mass"),
        "moisture": _share(given["moisture"]),
        **_size(given["size"]),
    }


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


def _share(text: str) -> float:
    bare = text.strip().removesuffix("%").strip()
    try:
        value = float(bare)
    except ValueError:
        raise InputError("moisture", text, "water per wet mass, such as 0.6 or 60%") from None
    return value / 100.0 if text.strip().endswith("%") else value


def _size(text: str) -> dict[str, Any]:
    """Return a size in cm; a unit at the end counts for every number."""
    found = re.fullmatch(r"\s*([\d.,x×*\s]+?)\s*([a-z\"]*)\s*", text.lower())
    parts = re.split(r"[x×*]", found[1]) if found else []
    if found is None or len(parts) not in {2, 3}:
        raise InputError("size", text, "15x20cm (diameter and height) or 18x12x16cm")
    lengths = [
        CM * parse(Quantity.LENGTH, part.strip(), found[2] or "cm", "size") for part in parts
    ]
    if len(lengths) == 2:  # noqa: PLR2004  (a cylinder)
        return {"diameter_cm": lengths[0], "height_cm": lengths[1]}
    return {
        "diameter_cm": None,
        "length_cm": lengths[0],
        "width_cm": lengths[1],
        "height_cm": lengths[2],
    }
