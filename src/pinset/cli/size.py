"""`pinset size`: how big the farm must be for what is to leave it every week."""

from __future__ import annotations

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.errors import InputError


@click.command()
@click.option(
    "--variety",
    "varieties",
    multiple=True,
    metavar="CODE=KG",
    help="Mushrooms a week, in kg (or 77lb); may be given again. Without any: what is promised.",
)
@click.option(
    "--units",
    "units",
    multiple=True,
    metavar="CODE:STEP=N",
    help="Units of a step sold a week: grey-oyster:grain=10.",
)
@as_json_option
@click.pass_context
@known_errors
def size(
    context: click.Context, varieties: tuple[str, ...], units: tuple[str, ...], as_json: bool
) -> None:
    """How big the farm must be, and what is full first."""
    open_chosen(context)
    from pinset.services.asking import sizing as service
    from pinset.services.asking.sizing_asked import read_units, read_weight

    wanted = (*map(read_weight, varieties), *map(read_units, units)) or service.promised()
    if not wanted:
        raise InputError(
            "--variety", "", "CODE=KG, such as oyster=12", "Nothing is promised every week."
        )
    view = service.how_big(wanted)
    if as_json:
        print_json(view)
        return
    click.echo(view.sentence)
    for remark in view.remarks:
        click.echo(f"! {remark}")
    click.echo("\nWhat a week takes")
    print_table(
        [(row.name, row.need, row.has, row.in_proportion, row.detail) for row in view.rows],
        ("", "wanted", "there is", "in proportion", "busiest day"),
    )
    click.echo("\nFull first")
    for line in view.bottlenecks:
        click.echo(line)
    click.echo("\nCooks")
    print_table(
        [
            (row.kind, row.litres, row.cooks, row.whole_cooks, row.hours_a_day, row.would_do)
            for row in view.cooks
        ],
        ("", "a week", "full cooks", "as whole cooks", "a day", "would do"),
    )
    click.echo("\nPeople, a week")
    print_table(view.tasks)
    click.echo("\nThe chain, a week")
    print_table(view.chain, ("variety", "step", "begun", "batches", "days", "standing"))
    click.echo(f"\n{view.bench}")
    for line in (*view.keep, *view.buy, view.store):
        if line:
            click.echo(line)
    for sentence in (*view.cook_cautions, *view.room_cautions):
        click.echo(f"! {sentence}")
    click.echo("A prediction of the average, no proof.")
