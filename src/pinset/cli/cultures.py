"""`pinset cultures`: the cold shelf, what is due on it, what would be lost with a fridge."""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING

import click

from pinset.cli.done import moment_given, say_done
from pinset.cli.farm_option import open_chosen
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.errors import InputError

if TYPE_CHECKING:
    from datetime import datetime

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
@click.option("--radius", type=float, required=True, help="Of the growth now, in mm.")
@click.option("--before", type=float, default=None, help="Of the same plate earlier, in mm.")
@click.option("--before-at", default="", metavar="MOMENT", help="When: 2026-03-08T09:00.")
@click.option("--plate", default=1, show_default=True, help="Its number, if you measure several.")
@click.option("--note", default="")
@click.option("--person", default="", help="Worker code of who measured.")
@click.option("--reason", default="", help="Why it is right, where the books speak against it.")
@click.option("--at", default="", metavar="MOMENT", help="When, if not now: 2026-03-12T07:40.")
@click.option("--id", "client_id", default="", help="Random id; a repeated one is one reading.")
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
    note: str,
    person: str,
    reason: str,
    at: str,
    client_id: str,
    as_json: bool,
) -> None:
    """Write down how far a plate of LOT has grown; two readings make its growth a day."""
    open_chosen(context)
    from pinset.services.answers.lot_actions import Saying
    from pinset.services.answers.lots_named import named_lot
    from pinset.services.cultures.saying import measure as write

    saying = Saying(
        named_lot(lot), person, client_id or secrets.token_hex(16), moment_given(at), note, reason
    )
    earlier = _earlier(before, moment_given(before_at))
    say_done(write(saying, radius, before=earlier, plate=plate), as_json=as_json)


def _earlier(mm: float | None, at: datetime | None) -> tuple[datetime, float] | None:
    if mm is None and at is None:
        return None
    if mm is None or at is None:
        raise InputError("--before and --before-at", (mm, at), "both, or neither")
    return at, mm


@cultures.command()
@click.argument("lot")
@click.option("--pieces", type=int, required=True, help="Pieces set on plates.")
@click.option("--grew", type=int, required=True, help="Of them, how many grew.")
@click.option("--days", type=int, default=None, help="Days until growth showed.")
@click.option("--not-clean", is_flag=True, help="Something else grew beside it.")
@click.option("--note", default="")
@click.option("--person", default="", help="Worker code of who looked.")
@click.option("--reason", default="", help="Why it is right, where the books speak against it.")
@click.option("--at", default="", metavar="MOMENT", help="When, if not now: 2026-03-12T07:40.")
@click.option("--id", "client_id", default="", help="Random id; a repeated one is one test.")
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
    note: str,
    person: str,
    reason: str,
    at: str,
    client_id: str,
    as_json: bool,
) -> None:
    """Write down what grew of pieces of LOT that were set on plates to wake."""
    open_chosen(context)
    from pinset.services.answers.lot_actions import Saying
    from pinset.services.answers.lots_named import named_lot
    from pinset.services.cultures.saying import woken as write

    saying = Saying(
        named_lot(lot), person, client_id or secrets.token_hex(16), moment_given(at), note, reason
    )
    done = write(saying, pieces, grew, days, is_clean=not not_clean)
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
@click.option("--reason", default="", help="Why, where no test plate or fruiting is written down.")
@click.option("--note", default="")
@click.option("--person", default="", help="Worker code of who decides.")
@click.option("--id", "client_id", default="", help="Random id; a repeated one is one answer.")
@as_json_option
@click.pass_context
@known_errors
def clear(
    context: click.Context,
    culture: str,
    origin: str,
    named_by: str,
    reason: str,
    note: str,
    person: str,
    client_id: str,
    as_json: bool,
) -> None:
    """Clear the clone CULTURE for use, once its test plate and a first fruiting say so."""
    open_chosen(context)
    from pinset.services.cultures.clearing import Clearing
    from pinset.services.cultures.clearing import clear as write

    said = Clearing(culture, origin, named_by, reason)
    say_done(write(said, person, client_id or secrets.token_hex(16), note), as_json=as_json)


@cultures.command()
@click.argument("lot")
@click.argument("culture")
@click.option("--count", type=int, required=True, help="Plates made.")
@click.option("--place", required=True, help="Shelf where they stand.")
@click.option("--note", default="")
@click.option("--person", default="", help="Worker code of who took it.")
@click.option("--reason", default="", help="Why it is right, where the books speak against it.")
@click.option("--at", default="", metavar="MOMENT", help="When, if not now: 2026-03-12T07:40.")
@click.option("--id", "client_id", default="", help="Random id; a repeated one is one clone.")
@as_json_option
@click.pass_context
@known_errors
def clone(
    context: click.Context,
    lot: str,
    culture: str,
    count: int,
    place: str,
    note: str,
    person: str,
    reason: str,
    at: str,
    client_id: str,
    as_json: bool,
) -> None:
    """Write down that tissue of a fruit of LOT went to plates, as the new culture CULTURE."""
    open_chosen(context)
    from pinset.services.answers.lot_actions import Saying
    from pinset.services.answers.lots_named import named_lot
    from pinset.services.cultures.cloning import Taken, take_clone

    saying = Saying(
        named_lot(lot), person, client_id or secrets.token_hex(16), moment_given(at), note, reason
    )
    say_done(take_clone(saying, Taken(culture, count, place)), as_json=as_json)


@cultures.command()
@click.argument("lot")
@click.option("--count", type=int, required=True, help="Fresh tubes made.")
@click.option("--place", required=True, help="Shelf on which they grow.")
@click.option("--note", default="")
@click.option("--person", default="", help="Worker code of who made them.")
@click.option("--reason", default="", help="Why it is right, where something speaks against it.")
@click.option("--at", default="", metavar="MOMENT", help="When, if not now: 2026-03-12T07:40.")
@click.option("--id", "client_id", default="", help="Random id; a repeated one is one transfer.")
@as_json_option
@click.pass_context
@known_errors
def renew(
    context: click.Context,
    lot: str,
    count: int,
    place: str,
    note: str,
    person: str,
    reason: str,
    at: str,
    client_id: str,
    as_json: bool,
) -> None:
    """Write down that one tube of LOT was opened and fresh ones were made of it."""
    open_chosen(context)
    from pinset.services.answers.lot_actions import Saying
    from pinset.services.answers.lots_named import named_lot
    from pinset.services.cultures.renewing import renew as write

    saying = Saying(
        named_lot(lot), person, client_id or secrets.token_hex(16), moment_given(at), note, reason
    )
    say_done(write(saying, count, place), as_json=as_json)
