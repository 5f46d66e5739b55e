"""`pinset outlets`: where goes what fits no promise."""

from __future__ import annotations

import click

from pinset.cli.done import say_done
from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Whole
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.cli.taps import Said, said_options
from pinset.errors import InputError
from pinset.services.bounds import MOST_WEEKS
from pinset.services.words import kilograms, weighed_in
from pinset.units import grams


@click.command()
@click.argument("outlet", required=False)
@click.argument("variety", required=False)
@click.argument("weight", required=False)
@click.option("--dried", is_flag=True, help="WEIGHT is dry, and was sold from this drier.")
@click.option(
    "--weeks", type=Whole(1, MOST_WEEKS), default=8, help="Weeks ahead.", show_default=True
)
@said_options("who handed it over")
@as_json_option
@click.pass_context
@known_errors
def outlets(
    context: click.Context,
    outlet: str | None,
    variety: str | None,
    weight: str | None,
    dried: bool,
    weeks: int,
    said: Said,
    as_json: bool,
) -> None:
    """Hand a WEIGHT of a VARIETY to an OUTLET; without these: all outlets, and what each is to get.

    Codes of both; a weight such as 2.5kg or 5lb, a bare number is in the farm's own unit.
    """
    open_chosen(context)
    from pinset.services.answers import dried_sold, to_outlet
    from pinset.services.frame import frame
    from pinset.services.outlets import book as outlets_book
    from pinset.services.outlets import surplus_view

    units = frame().units
    if outlet is not None:
        if variety is None or weight is None:
            raise InputError("outlets", outlet, "OUTLET VARIETY WEIGHT, such as stall oyster 2.5kg")
        record = dried_sold.sell_dried if dried else to_outlet.hand_over
        done = record(
            outlet,
            variety,
            grams(weight, weighed_in(units), "WEIGHT"),
            person=said.person,
            client_id=said.client_id,
            at=said.moment,
            note=said.note,
            reason=said.reason,
        )
        say_done(done, as_json=as_json)
        return
    lines, view = outlets_book.outlets_view(), surplus_view.surplus_view(weeks)
    if as_json:
        print_json({"outlets": lines, "surplus": view})
        return
    for line in lines:
        click.echo(f"{line.code}: {line.name}. {line.words} {line.sentence}")
    click.echo(view.sentence)
    for week in view.weeks:
        click.echo(f"\nWeek of {week.monday}")
        print_table(
            (
                each.name,
                *(
                    (kilograms(each.grams, units), f"{each.money} as planned")
                    if each.expected is None or each.expected_cents is None
                    else (kilograms(each.expected, units), f"{each.expected_money} on average")
                ),
                "" if each.low is None or each.high is None
                else f"{kilograms(each.low, units)} to {kilograms(each.high, units)} in 8 of 10",
                each.what,
            )
            for each in week.lines
        )  # fmt: skip
        for sentence in week.rest:
            click.echo(f"! {sentence}")
    for each in (*view.notes, *view.remarks):
        click.echo(f"! {each}")
