"""`pinset mix`: what goes in the bag, and the cheapest blend."""

from __future__ import annotations

import click

from pinset.cli.tree import Tree

COMMANDS = {
    "weigh": ("mix_weigh", "What is weighed out for so many units, and what is in it."),
    "cheapest": ("mix_cheapest", "The cheapest blend within limits, and what they cost."),
    "ingredients": ("mix_ingredients", "The ingredients of the table, with what is in them."),
}


@click.command(cls=Tree, table=COMMANDS)
def mix() -> None:
    """Reckon mixes of substrate, grain or casing; works without a farm."""
