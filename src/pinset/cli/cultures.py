"""`pinset cultures`: the cold shelf, what is due on it, what would be lost with a fridge."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from pinset.cli.done import say_done
from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Decimal, Whole
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.cli.taps import Said, moment_given, said_options
from pinset.errors import InputError

if TYPE_CHECKING:
    from pinset.services.cultures.records import CultureView


@click.group(invoke_without_command=True)
@as_json_option
@click.pass_context
@known_errors
def cultures(context: click.Context, as_json: bool) -> None:
    """The cold shelf by culture: what is to be woken, renewed, or left for its mother."""
    if context.invoked_subcommand is not None:
        return
    open_chosen(context)
    from pinset.services.cultures.shelf import shelf_view

    view = shelf_view()
    if as_json:
        print_json(view)
        return
    click.echo(view.sentence)
    for each in view.cultures:
        if not each.is_gone:
            _print(each)
    gone = [f"{each.code} ({each.variety})" for each in view.cultures if each.is_gone]
    if gone:
        click.echo(f"\nNothing stands of {', '.join(gone)}.")
    for each in view.cultures:
        if each.is_gone and each.is_slower:
            click.echo(f"! {each.code}: {each.vigour}")


def _print(view: CultureView) -> None:
    state = "" if view.is_cleared else "  NOT CLEARED"
    click.echo(f"\n{view.code or 'no culture named'}  {view.variety}{state}")
    if view.source:
        click.echo(f"  from {view.source}")
    print_table(
        (
            f"  {line.lot}",
            line.words,
            line.place,
            line.medium,
            f"made {line.made_on}",
            f"{line.transfers} of {line.transfer_limit} transfers",
            line.woken,
        )
        for line in (*view.tubes, *view.working)
    )
    for line in view.tubes:
        click.echo(f"{'!' if line.is_due else ' '} {line.lot}: {line.asked}")
    if view.vigour:
        click.echo(f"{'!' if view.is_slower else ' '} {view.vigour}")
    if view.clone is not None:
        click.echo(f"! Not cleared: {view.clone.words}.")
    if view.warning:
        click.echo(f"! {view.warning}")


@cultures.command()
@as_json_option
@click.pass_context
@known_errors
def fridge(context: click.Context, as_json: bool) -> None:
    """What would be lost with each room that cultures stand in, and where a second could stand."""
    open_chosen(context)
    from pinset.services.cultures.fridge import fridge_map

    rooms = fridge_map()
    if as_json:
        print_json({"rooms": rooms})
        return
    for room in rooms:
        click.echo(room.sentence)
        for each in room.at_risk:
            mark = "!" if each.is_only_here else " "
            name = f"{each.culture} {each.variety}".strip()
            click.echo(
                f"{mark} {name}: {each.units}{'; ' if each.elsewhere else ''}{each.elsewhere}"
            )
            if each.second:
                click.echo(f"    {each.second}")


@cultures.command()
@click.argument("lot")
@click.option(
    "--radius", type=Decimal(0, 200, "mm"), required=True, help="Of the growth now, in mm."
)
@click.option(
    "--before", type=Decimal(0, 200, "mm"), default=None, help="Of the same plate earlier, in mm."
)
@click.option(
    "--before-at",
    default="",
    metavar="MOMENT",
    help="When: 2026-03-08T09:00; the day alone says less.",
)
@click.option(
    "--plate",
    type=Whole(1),
    default=1,
    show_default=True,
    help="Its number, if you measure several.",
)
@said_options("who measured")
@as_json_option
@click.pass_context
@known_errors
def measure(
    context: click.Context,
    lot: str,
    radius: float,
    before: float | None,
    before_at: str,
    plate: int,
    said: Said,
    as_json: bool,
) -> None:
    """Write down how far a plate of LOT has grown; two readings make its growth a day."""
    open_chosen(context)
    from pinset.services.cultures.saying import measure as write
    from pinset.services.cultures.saying import read_at, read_on

    at = moment_given(before_at, "--before-at")
    if (before is None) != (at is None):
        raise InputError("--before and --before-at", (before, at), "both, or neither")
    earlier = None
    if before is not None and at is not None:
        is_day = len(before_at.strip()) == len("2026-03-08")
        earlier = read_on(at.date(), None, before) if is_day else read_at(at, before)
    say_done(write(said.about(lot), radius, before=earlier, plate=plate), as_json=as_json)


@cultures.command()
@click.argument("lot")
@click.option("--pieces", type=Whole(1), required=True, help="Pieces set on plates.")
@click.option("--grew", type=Whole(), required=True, help="Of them, how many grew.")
@click.option("--days", type=Whole(0, 365), default=None, help="Days until growth showed.")
@click.option("--not-clean", is_flag=True, help="Something else grew beside it.")
@said_options("who looked")
@as_json_option
@click.pass_context
@known_errors
def woken(
    context: click.Context,
    lot: str,
    pieces: int,
    grew: int,
    days: int | None,
    not_clean: bool,
    said: Said,
    as_json: bool,
) -> None:
    """Write down what grew of pieces of LOT that were set on plates to wake."""
    open_chosen(context)
    from pinset.services.cultures.saying import woken as write

    done = write(said.about(lot), pieces, grew, days, is_clean=not not_clean)
    say_done(done, as_json=as_json)


@cultures.command()
@click.argument("culture")
@click.option(
    "--origin",
    type=click.Choice(("farm", "wild")),
    required=True,
    help="farm: a fruit that grew here and looked like its lot; wild: any other.",
)
@click.option("--named-by", default="", help="Of a wild one: which expert and which gene test.")
@said_options(
    "who decides", at=False, reason="Why, where no test plate or fruiting is written down."
)
@as_json_option
@click.pass_context
@known_errors
def clear(
    context: click.Context,
    culture: str,
    origin: str,
    named_by: str,
    said: Said,
    as_json: bool,
) -> None:
    """Clear the clone CULTURE for use, once its test plate and a first fruiting say so."""
    open_chosen(context)
    from pinset.services.cultures.clearing import Clearing
    from pinset.services.cultures.clearing import clear as write

    clearing = Clearing(culture, origin, named_by, said.reason)
    say_done(write(clearing, said.person, said.client_id, said.note), as_json=as_json)


@cultures.command()
@click.argument("lot")
@click.argument("culture")
@click.option("--count", type=Whole(1), required=True, help="Plates made.")
@click.option("--place", required=True, help="Shelf where they stand.")
@said_options("who took it")
@as_json_option
@click.pass_context
@known_errors
def clone(
    context: click.Context,
    lot: str,
    culture: str,
    count: int,
    place: str,
    said: Said,
    as_json: bool,
) -> None:
    """Write down that tissue of a fruit of LOT went to plates, as the new culture CULTURE."""
    open_chosen(context)
    from pinset.services.cultures.cloning import Taken, take_clone

    say_done(take_clone(said.about(lot), Taken(culture, count, place)), as_json=as_json)


@cultures.command()
@click.argument("lot")
@click.option("--count", type=Whole(1), required=True, help="Fresh tubes made.")
@click.option("--place", required=True, help="Shelf on which they grow.")
@said_options("who made them")
@as_json_option
@click.pass_context
@known_errors
def renew(
    context: click.Context,
    lot: str,
    count: int,
    place: str,
    said: Said,
    as_json: bool,
) -> None:
    """Write down that one tube of LOT was opened and fresh ones were made of it."""
    open_chosen(context)
    from pinset.services.cultures.renewing import renew as write

    say_done(write(said.about(lot), count, place), as_json=as_json)
