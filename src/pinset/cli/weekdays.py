"""`pinset weekdays`: which weekdays cost least."""

from __future__ import annotations

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.output import as_json_option, known_errors, print_json


@click.command()
@click.option("--accept", is_flag=True, help="Take all weekdays of the newest proposal.")
@click.option("--ask", "asks", is_flag=True, help="Put a search in line for pinset serve.")
@as_json_option
@click.pass_context
@known_errors
def weekdays(context: click.Context, accept: bool, asks: bool, as_json: bool) -> None:
    """Show which other weekdays for starts and moves would cost less, and take them.

    The search is made by the worker of pinset serve; without options the newest one is shown.
    """
    open_chosen(context)
    from pinset.services.asking import weekdays as service

    if asks:
        service.ask_for_weekdays("")
        click.echo("In line. Look again in a minute or two: pinset weekdays.")
        return
    proposal = service.newest_weekdays()
    answer = proposal.answer if proposal is not None else None
    if accept:
        keys = [line.key for line in answer.lines] if answer is not None else []
        for taken in service.accept(keys, ""):
            click.echo(taken)
        click.echo("The next plan reckons with it: pinset plan.")
        return
    if as_json:
        print_json(proposal)
        return
    if proposal is None or answer is None:
        said = (proposal.problem or proposal.progress or "Waiting.") if proposal else ""
        click.echo(said or "Nobody asked yet: pinset weekdays --ask.")
        return
    click.echo(answer.sentence)
    for line in answer.lines:
        click.echo(f"  {line.varieties}, {line.words}")
    for said in (*answer.brings, *answer.remarks):
        click.echo(f"! {said}")
