"""The `pinset` command and its tree."""

from __future__ import annotations

from pathlib import Path

import click

from pinset.cli.tree import Tree

COMMANDS = {
    "today": ("today", "What to do now, in which order, with what."),
    "week": ("week", "The jobs of the coming seven days, by day and place."),
    "calendar": ("week", "Write the jobs to a file for a calendar program."),
    "plan": ("plan", "Plan the farm from what is alive and promised now."),
    "pin": ("by_hand", "Pin a start or a move to a day, or list the pins."),
    "outage": ("by_hand", "Put something out of use, or list what is."),
    "promises": ("promises", "What was kept and what is coming."),
    "outlets": ("outlets", "Where goes what fits no promise, or hand something over there."),
    "can-promise": ("can_promise", "Whether something can be promised, and what it takes."),
    "weekdays": ("weekdays", "Which weekdays for starts and moves cost least, and taking them."),
    "size": ("size", "How big the farm must be, and what is full first."),
    "losses": ("losses", "What is getting in, where, since when: suspects, alarms, sister lots."),
    "own-figures": ("own_figures", "What your own lots say of losses, days and yields."),
    "lots": ("lots", "Lots alive, or those that match."),
    "show": ("lots", "One lot: its life, parents, children and counts."),
    "lot": ("lot", "Say of a lot: held, watched, used first, lost, moved, counted."),
    "labels": ("labels", "Print labels of lots or units as PDF."),
    "scan": ("scan", "What labels name, typed or on a photo, and what can happen next."),
    "look": ("look", "Write down what was seen on a lot, or list what to look at."),
    "round": ("look", "Write down what a room shows: temperature, humidity, CO2, flies."),
    "cultures": ("cultures", "The cold shelf: what is to be woken, renewed, or lost with it."),
    "upkeep": ("upkeep", "Cleaning and upkeep: what is due, and writing down that it was done."),
    "bench": ("bench", "Sessions at the bench, and recording what is made in one."),
    "done": ("done", "Record a job as done, part done, not today or not at all."),
    "undo": ("done", "Take an entry back by a correcting entry."),
    "cook": ("cook", "Plan a cook, judge its log, learn from it."),
    "mix": ("mix", "What goes in the bag: kilograms, water, nitrogen, and the cheapest blend."),
    "check": ("check", "Rebuild the ledger's balances and its chain, and compare."),
    "new": ("describe", "Write commented templates for describing a farm."),
    "load": ("describe", "Take a described farm in, all or nothing."),
    "export": ("describe", "Write the farm back as the same files."),
    "backup": ("copying", "Write a verified copy of the farm to a file."),
    "restore": ("copying", "Put a backup in place, all or nothing."),
    "password": ("people", "Set somebody's password."),
    "serve": ("serve", "Serve the pages."),
    "certificate": ("certificate", "Https by a certificate authority of the farm's own."),
    "demo": ("demo", "Build an invented farm, plan it and serve it."),
}
"""Command: the module it lives in (loaded when it is called) and its help sentence."""


@click.command(cls=Tree, table=COMMANDS, name="pinset")
@click.option(
    "--farm",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder of the farm (else PINSET_FARM, else the present folder).",
)
@click.version_option(package_name="pinset", message="pinset %(version)s")
def main(farm: Path | None) -> None:
    """Run a spawn laboratory and grow rooms as one chain."""
    del farm  # read from the context by the commands
