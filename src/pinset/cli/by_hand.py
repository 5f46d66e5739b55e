"""`pinset pin` and `pinset outage`: what is fixed by hand, and what is out of use."""

from __future__ import annotations

from datetime import date

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Day, Whole
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.errors import InputError

DAY = Day()
AFTER = "The next plan reckons with it: pinset plan."
IF_ALONE = "If nothing else is changed:"


@click.command()
@click.argument("variety", required=False)
@click.argument("step", required=False)
@click.argument("day", required=False, type=DAY)
@click.argument("count", required=False, type=Whole())
@click.option("--note", default="", help="What should be remembered.")
@click.option("--off", default="", metavar="CODE", help="Take this pin off.")
@as_json_option
@click.pass_context
@known_errors
def pin(
    context: click.Context,
    variety: str | None,
    step: str | None,
    day: date | None,
    count: int | None,
    note: str,
    off: str,
    as_json: bool,
) -> None:
    """Pin COUNT units (0: none) of a STEP of a VARIETY to a DAY; without these: the pins there are.

    For fruiting, units moved into a grow room. With a steriliser and a kind of cook in place of
    variety and step, cooks are pinned.
    """
    open_chosen(context)
    from pinset.services.board import at_once, by_hand

    if off:
        by_hand.take_off(off, is_outage=False)
        click.echo(f"{off} is off. {AFTER}")
        return
    if variety is not None:
        if step is None or day is None or count is None:
            raise InputError("pin", variety, "VARIETY STEP DAY COUNT, such as oyster block")
        before = at_once.pins_now()
        code = by_hand.set_pin(variety, step, day, count, note)
        breaks = at_once.what_breaks(before)
        if as_json:
            print_json({"code": code, "breaks": breaks})
            return
        click.echo(f"Pinned as {code}. {AFTER}")
        if breaks:
            click.echo(" ".join((IF_ALONE, *breaks)))
        return
    lines = by_hand.pin_lines()
    if as_json:
        print_json(lines)
        return
    print_table((p.code, p.day, p.variety, p.step, p.count, p.broken or p.note) for p in lines)


@click.command()
@click.argument("thing", required=False)
@click.argument("first", required=False, type=DAY)
@click.argument("last", required=False, type=DAY)
@click.option("--note", default="", help="What should be remembered.")
@click.option("--end", default="", metavar="CODE", help="It is in use again from today on.")
@as_json_option
@click.pass_context
@known_errors
def outage(
    context: click.Context,
    thing: str | None,
    first: date | None,
    last: date | None,
    note: str,
    end: str,
    as_json: bool,
) -> None:
    """Put a THING out of use from a FIRST to a LAST day; without these: what is out of use.

    THING is such as steriliser:steamer, person:ben, bench:bench or room:grow.
    """
    open_chosen(context)
    from pinset.services.board import by_hand
    from pinset.services.board import day as board_day

    if end:
        by_hand.take_off(end, is_outage=True)
        click.echo(f"{end} is over. {AFTER}")
        return
    if thing is not None:
        if first is None:
            raise InputError("outage", thing, "THING FIRST LAST, such as steriliser:steamer")
        until = last or first
        code = board_day.put_out_of_use(thing, first, until, note, "")
        click.echo(f"Out of use as {code}. {AFTER}")
        return
    lines = by_hand.outage_lines()
    if as_json:
        print_json(lines)
        return
    print_table((line.code, line.from_date, line.until, line.sentence) for line in lines)
