"""`pinset labels`: labels of lots and units as PDF."""

from __future__ import annotations

import secrets
from pathlib import Path

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Whole
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.errors import InputError, PinsetError


@click.command()
@click.argument("lots", nargs=-1, metavar="LOT...")
@click.option("--made-today", is_flag=True, help="All lots made today, beside those named.")
@click.option("--layout", default="", help="Label paper; by default the one used last.")
@click.option("--skip", type=Whole(), help="Places of the first sheet that are used already.")
@click.option(
    "--count", type=Whole(1), help="How many of each lot; by default those without a label."
)
@click.option("--no-numbers", is_flag=True, help="Leave the numbers of the units away.")
@click.option("--trial", is_flag=True, help="Draw the edges, and count nothing as printed.")
@click.option(
    "-o",
    "--output",
    "file",
    type=click.Path(path_type=Path, dir_okay=False),
    help="File to write; by default labels-LOT.pdf.",
)
@click.option("--layouts", "list_layouts", is_flag=True, help="List the label paper there is.")
@as_json_option
@click.pass_context
@known_errors
def labels(
    context: click.Context,
    lots: tuple[str, ...],
    made_today: bool,
    layout: str,
    skip: int | None,
    count: int | None,
    no_numbers: bool,
    trial: bool,
    file: Path | None,
    list_layouts: bool,
    as_json: bool,
) -> None:
    """Print labels of each LOT: a lot, a unit such as 7K4MV/12, or units such as 7K4MV/1-24.

    Printed at actual size a label fits its paper; a viewer must not fit it to the page.
    """
    open_chosen(context)
    from pinset.services.labels import page, printing

    if list_layouts:
        _list(as_json=as_json)
        return
    wanted = (*lots, *(page.made_today() if made_today else ()))
    if not wanted:
        raise InputError("lots", "", "at least one lot, or --made-today")
    job = printing.label_job(
        wanted, layout, skip, count=count, is_numbered=not no_numbers, is_trial=trial
    )
    printed = printing.on_paper(job)
    target = file or Path(printed.name)
    try:
        target.write_bytes(printed.data)
    except OSError as problem:
        raise PinsetError(f"{target} cannot be written: {problem.strerror}.") from problem
    printing.note_printed(job, secrets.token_hex(16))
    if as_json:
        print_json(
            {
                "file": str(target),
                "layout": job.layout.code,
                "labels": job.labels,
                "pages": job.pages,
                "skip": job.skip,
                "next_place": job.next_place,
                "units": [str(each) for each in job.wanted],
            }
        )
        return
    click.echo(f"{target} written: {job.sentence}")
    click.echo(f"{job.layout.words}. Print at actual size, or 100 %.")


def _list(*, as_json: bool) -> None:
    from pinset.services.labels.layouts import layouts_here

    known = layouts_here()
    if as_json:
        print_json(known)
        return
    print_table(
        ((each.code, each.words, "tubes" if each.tubes else "", each.note) for each in known),
        heads=("layout", "paper", "", ""),
    )
