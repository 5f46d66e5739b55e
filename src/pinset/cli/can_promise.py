"""`pinset can-promise`: whether something can be promised."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.errors import InputError

if TYPE_CHECKING:
    from pinset.services.asking.promise_asked import Question
    from pinset.services.asking.view import PromiseAnswer

ENDANGERED_SHOWN = 12
OPTIONS = {
    "variety": "VARIETY",
    "amount": "AMOUNT",
    "weekday": "--every",
    "on_date": "--on",
    "from_date": "--from",
    "until": "--until",
    "step": "--step",
    "certainty": "--certainty",
    "buyer": "--buyer",
}


@click.command("can-promise", context_settings={"ignore_unknown_options": True})
@click.argument("variety")
@click.argument("amount")
@click.option("--every", "weekday", default="", metavar="DAY", help="Every week on this day: fri.")
@click.option("--on", "on_date", default="", metavar="DATE", help="Or once, on this day.")
@click.option("--from", "from_date", default="", metavar="DATE", help="First day; else today.")
@click.option("--until", default="", metavar="DATE", help="Last day, if there is one.")
@click.option("--step", default="", metavar="STEP", help="Units of this step, not mushrooms.")
@click.option("--certainty", default="95", show_default=True, help="Seasons of 100 it must hold.")
@click.option("--buyer", default="", metavar="BUYER", help="To whom, if that is known.")
@as_json_option
@click.pass_context
@known_errors
def can_promise(context: click.Context, /, as_json: bool, **typed: str) -> None:
    """Whether something can be promised, and what it takes.

    VARIETY is a code or a name, AMOUNT a weight (12, 12kg, 26lb) or, with --step, units.
    """
    open_chosen(context)
    from pinset.services.asking import can_promise as service

    question = _read(typed)
    answer = service.can_promise(question, say=lambda text: click.echo(f"{text} ...", err=True))
    if as_json:
        print_json(answer)
        return
    _print(answer)


def _read(typed: dict[str, str]) -> Question:
    """Return the question; what is refused is named as it was typed.

    Raises
    ------
    InputError
        If something is missing or not accepted.
    """
    from pinset.services.asking import can_promise as service

    try:
        return service.read(typed)
    except InputError as problem:
        field = OPTIONS.get(problem.field, problem.field)
        raise InputError(field, problem.given, problem.accepted, problem.hint) from None


def _print(answer: PromiseAnswer) -> None:
    from pinset.services.frame import frame
    from pinset.services.promises.chance_words import in_seasons
    from pinset.services.words import average

    units, measure = frame().units, answer.question.measure
    click.echo(answer.sentence)
    for remark in (answer.warning, *answer.remarks):
        if remark:
            click.echo(f"! {remark}")
    click.echo("\nDay by day")
    print_table(
        (
            row.day,
            f"met {in_seasons(row.chance)}{'' if row.is_enough else ', too few'}",
            f"on average {average(row.expected, measure, units)}",
        )
        for row in answer.days
    )
    for heading, lines in (
        ("Why it is not sure", answer.short),
        ("What would help", (*(each.sentence for each in answer.helps), answer.helps_note)),
    ):
        told = [line for line in lines if line]
        if told:
            click.echo(f"\n{heading}")
            for line in told:
                click.echo(line)
    click.echo("\nWhat it takes")
    if answer.question.weekday is None:
        print_table([(row.what, row.in_all) for row in answer.cost], ("", "in all"))
    else:
        rows = [(row.what, row.a_week, row.in_all) for row in answer.cost]
        print_table(rows, ("", "a week", "in all"))
    click.echo(answer.cost_note)
    if answer.endangered:
        click.echo("\nPromised already and less sure with it")
        shown = answer.endangered[:ENDANGERED_SHOWN]
        print_table(
            (row.day, row.buyer, row.variety, f"{row.before:.0%} -> {row.after:.0%}")
            for row in shown
        )
        more = len(answer.endangered) - len(shown)
        if more:
            click.echo(f"and {more} more by as much or less.")
    else:
        click.echo("\nNothing promised already becomes less sure.")
    click.echo()
    for line in answer.method:
        click.echo(line)
