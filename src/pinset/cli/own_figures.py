"""`pinset own-figures`: what the farm's own records say of its routes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.errors import InputError
from pinset.services.words import first_upper

if TYPE_CHECKING:
    from pinset.services.own_figures.figures import StepLines  # at run time it brings Django in


@click.command(name="own-figures")
@click.option("--variety", default="", metavar="CODE", help="Only this variety.")
@click.option(
    "--take",
    nargs=2,
    metavar="STEP FIGURE",
    help="Take a figure over into the variety's route from today on: --take fruiting yield.",
)
@click.option("--person", default="", help="Worker code of who takes it over.")
@as_json_option
@click.pass_context
@known_errors
def own_figures(
    context: click.Context,
    variety: str,
    take: tuple[str, str] | None,
    person: str,
    as_json: bool,
) -> None:
    """What the farm's own lots say of losses, days and yields, beside what its routes say."""
    open_chosen(context)
    from pinset.services.own_figures import figures as service
    from pinset.services.own_figures.taken import take_over

    if take and not variety:
        raise InputError("--variety", "", "the code of the variety whose route is to change")
    if take:
        said = take_over(variety, *take, person)
        if as_json:
            print_json({"sentence": said})
        else:
            click.echo(said)
        return
    view = service.figures_view(variety)
    if as_json:
        print_json(view)
        return
    click.echo(view.sentence)
    for each in view.varieties:
        click.echo(f"\n{each.name}, route {each.route}")
        if each.shared:
            click.echo(f"! {each.shared}")
        for step in each.steps:
            _print_step(step)
    click.echo()
    for said in view.method:
        click.echo(said)


def _print_step(step: StepLines) -> None:
    click.echo(f"\n{step.name}")
    rows = [row for group in step.groups for row in group.lines]
    print_table(
        [
            (
                row.name,
                row.route,
                _ranged(row.own, row.own_range),
                _ranged(row.planned, row.planned_range),
                row.detail,
            )
            for row in rows
        ],
        ("", "route", "own records", "together", ""),
    )
    if step.cultures:
        click.echo("Yield of a unit, by culture")
        lines = [(c.culture, str(c.lots), c.own, _ranged(c.drawn, c.ends)) for c in step.cultures]
        print_table(lines, ("culture", "lots", "its lots", "drawn to the others"))
        click.echo(step.cultures_differ)
    for group in step.groups:
        for said in filter(None, (group.remark, group.taken)):
            click.echo(f"{first_upper(group.words)}: {said}")
    for said in step.rest:
        click.echo(said)


def _ranged(value: str, ends: str) -> str:
    return f"{value} ({ends})" if ends else value or "-"
