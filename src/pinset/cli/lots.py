"""`pinset lots` and `pinset show`: the books."""

from __future__ import annotations

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Whole
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.services.bounds import MOST_PAGES
from pinset.services.clock import farm_time
from pinset.services.words import kilograms


@click.command()
@click.argument("query", default="")
@click.option("--variety", default="", help="Variety code.")
@click.option("--stage", default="", help="Stage: tube, plate, grain, sawdust, block ...")
@click.option("--page", type=Whole(1, MOST_PAGES), default=1, show_default=True)
@as_json_option
@click.pass_context
@known_errors
def lots(
    context: click.Context, query: str, variety: str, stage: str, page: int, as_json: bool
) -> None:
    """List the lots alive, or those that match QUERY."""
    open_chosen(context)
    from pinset.services.books import lots as service

    view = service.lots_view(query, variety, stage, page)
    if as_json:
        print_json(view)
        return
    print_table(
        (
            (lot.lot, lot.words, lot.made_on, lot.alive, lot.made, lot.lost, lot.place, lot.ready)
            for lot in view.lots
        ),
        heads=("lot", "what", "made", "alive", "of", "lost", "place", ""),
    )
    click.echo(f"{view.total} lots, page {view.page} of {view.pages}")


@click.command()
@click.argument("lot")
@as_json_option
@click.pass_context
@known_errors
def show(context: click.Context, lot: str, as_json: bool) -> None:
    """Show one LOT: its life, parents, children and counts."""
    open_chosen(context)
    from pinset.services.books import lots as service
    from pinset.services.frame import frame

    view, around = service.lot_view(lot), frame()
    if as_json:
        print_json(view)
        return
    click.echo(f"{view.line.lot}  {view.title}\n{view.sentence}")
    if view.next_step:
        click.echo(view.next_step)
    click.echo("  ".join(f"{word} {number}" for word, number in view.counts if number))
    if view.picked_g:
        click.echo(f"picked {kilograms(view.picked_g, around.units)}")
    for title, kin in (("From", view.parents), ("Into", view.children)):
        if kin:
            click.echo(f"\n{title}")
            print_table((each.lot, each.words, each.units) for each in kin)
    click.echo("\nIts life")
    print_table(
        (
            f"{farm_time(event.at, around.time_zone):%Y-%m-%d %H:%M}",
            event.who,
            event.what,
            event.entry,
        )
        for event in view.life
    )
    for finding in view.findings:
        click.echo(f"! {finding}")
