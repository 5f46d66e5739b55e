"""`pinset upkeep`: what is due of cleaning and upkeep, and writing down that it was done."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from pinset.cli.done import say_done
from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Whole
from pinset.cli.output import as_json_option, known_errors, print_json
from pinset.cli.taps import Said, said_options

if TYPE_CHECKING:
    from pinset.services.upkeep.records import ChoreLine


@click.group(invoke_without_command=True)
@click.option("--all", "everything", is_flag=True, help="Also what is due later.")
@as_json_option
@click.pass_context
@known_errors
def upkeep(context: click.Context, everything: bool, as_json: bool) -> None:
    """Chores that are due or coming soon."""
    if context.invoked_subcommand is not None:
        return
    open_chosen(context)
    from pinset.services.upkeep.page import upkeep_view

    view = upkeep_view()
    if as_json:
        print_json(view)
        return
    click.echo(view.sentence)
    for mark, lines in (("!", view.due), (" ", view.soon), (" ", view.later if everything else ())):
        for line in lines:
            _print(mark, line)


def _print(mark: str, line: ChoreLine) -> None:
    change = ", to be changed or mended" if line.asks_change else ""
    click.echo(f"{mark} {line.code}: {line.title}, {line.when}{change}")
    usually = f" Usually {line.by}." if line.by else ""
    put_off = f" {line.put_off[:1].upper()}{line.put_off[1:]}." if line.put_off else ""
    click.echo(f"    {line.why}{usually} {line.minutes} min.{put_off}")


@upkeep.command()
@click.argument("chore")
@click.option("--reading", default="", help="What it reads, with its unit: 180 Pa, 1240 h.")
@click.option("--changed", is_flag=True, help="A new one was put in, or it was mended.")
@click.option("--amiss", is_flag=True, help="Something was found that is not mended; --note says.")
@click.option("--reference", default="", help="Of a probe or gauge: what it was compared with.")
@said_options()
@as_json_option
@click.pass_context
@known_errors
def done(
    context: click.Context,
    chore: str,
    reading: str,
    changed: bool,
    amiss: bool,
    reference: str,
    said: Said,
    as_json: bool,
) -> None:
    """Write down that CHORE was done."""
    open_chosen(context)
    from pinset.services.upkeep.doing import ChoreTap
    from pinset.services.upkeep.doing import done as write

    tap = ChoreTap(
        chore=chore,
        person=said.person,
        client_id=said.client_id,
        at=said.moment,
        reading=reading,
        is_changed=changed,
        is_amiss=amiss,
        reference=reference,
        note=said.note,
        why=said.reason,
    )
    say_done(write(tap), as_json=as_json)


@upkeep.command()
@click.argument("chore")
@click.option("--days", type=Whole(1), default=1, show_default=True, help="For how many days.")
@said_options("who says so", note=False, at=False, reason="Why not today.")
@as_json_option
@click.pass_context
@known_errors
def later(context: click.Context, chore: str, days: int, said: Said, as_json: bool) -> None:
    """Put CHORE off, with the reason."""
    open_chosen(context)
    from pinset.services.upkeep.later import put_off

    result = put_off(chore, said.reason, days=days, person=said.person, client_id=said.client_id)
    say_done(result, as_json=as_json)


@upkeep.command()
@click.option("--take", multiple=True, metavar="KEY", help="Take this one over; may be repeated.")
@click.option("--person", default="", metavar="CODE", help="Worker code of who says so.")
@as_json_option
@click.pass_context
@known_errors
def proposed(context: click.Context, take: tuple[str, ...], person: str, as_json: bool) -> None:
    """Chores proposed for what stands on this farm; with --take they are taken over."""
    open_chosen(context)
    from pinset.services.upkeep.proposed import proposals, take_over

    if take:
        taken = take_over(take, person)
        if as_json:
            print_json({"taken": taken})
        else:
            click.echo(f"Taken over: {', '.join(taken) or 'nothing new'}.")
        return
    found = proposals()
    if as_json:
        print_json({"proposed": found})
        return
    for each in found:
        there = "  (stands in the register)" if each.is_taken else ""
        often = f", {each.often}" if each.often else ""
        limit = f", limit {each.limit}" if each.limit else ""
        click.echo(f"{each.key}: {each.title}{often}{limit}{there}")
        click.echo(f"    {each.note} ({each.known_from})")
