"""Which farm a command works on: ``--farm``, else PINSET_FARM, else the present folder."""

from __future__ import annotations

import os
from pathlib import Path

import click

from pinset.services.farms import opening


def chosen_folder(context: click.Context) -> Path:
    """Return the folder of the farm the command was called for."""
    given = context.find_root().params.get("farm")
    return Path(given or os.environ.get("PINSET_FARM") or ".").expanduser().resolve()


def is_chosen(context: click.Context) -> bool:
    """Return whether a farm was named, by ``--farm`` or PINSET_FARM."""
    return bool(context.find_root().params.get("farm") or os.environ.get("PINSET_FARM"))


def open_chosen(context: click.Context) -> Path:
    """Open that farm, or leave with a sentence saying why not."""
    folder = chosen_folder(context)
    opening.open_farm(folder)
    return folder
