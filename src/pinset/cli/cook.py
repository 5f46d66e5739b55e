"""`pinset cook`: what to do before a cook, what it earned, and what its load conducts."""

from __future__ import annotations

import click

from pinset.cli.tree import Tree

COMMANDS = {
    "plan": ("cook_plan", "How long to hold a load here, at which pressure, and when to open."),
    "judge": ("cook_judge", "Judge a data logger's file."),
    "fit": ("cook_fit", "Learn from a file with a probe in a unit how a load conducts."),
}


@click.command(cls=Tree, table=COMMANDS)
def cook() -> None:
    """Plan, judge and learn from cooks; works without a farm."""
