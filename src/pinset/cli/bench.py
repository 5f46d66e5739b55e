"""`pinset bench`: sessions at the bench, and recording what is done in one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from pinset.cli.bench_say import begin, counts, end, make, plates
from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Whole
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.services.bounds import MOST_SESSION_DAYS

if TYPE_CHECKING:
    from datetime import datetime

    from pinset.services.bench.records import BenchSession, Transfer


@click.group(invoke_without_command=True)
@click.option(
    "--days",
    type=Whole(1, MOST_SESSION_DAYS),
    default=60,
    show_default=True,
    help="Sessions of so many days.",
)
@click.option("--session", "code", default="", metavar="CODE", help="Only this one.")
@as_json_option
@click.pass_context
@known_errors
def bench(context: click.Context, days: int, code: str, as_json: bool) -> None:
    """Sessions at the bench: times, order, people, parents and children."""
    if context.invoked_subcommand is not None:
        return
    open_chosen(context)
    from pinset.services.bench.sessions import session, sessions

    found = (session(code),) if code else sessions(days)
    if as_json:
        print_json({"sessions": found})
        return
    if not found:
        click.echo("No bench session was written down yet.")
    for each in found:
        _print(each)


def _print(found: BenchSession) -> None:
    click.echo(f"{found.session}  {found.bench_name}: {found.sentence}")
    if found.plates:
        said = ", ".join(f"{each.count} {each.words}" for each in found.plates)
        click.echo(f"  settle plates: {said}")
    print_table(
        (
            f"  {each.turn}",
            _clock(each.at),
            each.person,
            _from(each),
            "->",
            f"{each.count} {each.child}",
            each.what.partition(" ")[2],
            f"open {each.minutes_open} min",
            each.job,
        )
        for each in found.transfers
    )
    for each in found.transfers:
        for against in each.against:
            click.echo(f"! {each.child}: {against} Reason: {each.reason or 'none given'}")
        for said in each.despite:
            click.echo(f"! {each.child}: {said}")
    if found.not_cleaned:
        click.echo(f"! Not ticked at its end: {', '.join(found.not_cleaned)}")
    for finding in found.findings:
        click.echo(f"! {finding}")


def _from(transfer: Transfer) -> str:
    return ", ".join(
        f"{each.units} {each.lot}" if each.units else f"open {each.lot}"
        for each in (*transfer.parents, *transfer.vessels)
    )


def _clock(moment: datetime) -> str:
    from pinset.services.clock import farm_time
    from pinset.services.frame import frame

    return f"{farm_time(moment, frame().time_zone):%H:%M}"


for command in (begin, make, plates, end, counts):
    bench.add_command(command)
