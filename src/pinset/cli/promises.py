"""`pinset promises`: what was kept and what is coming."""

from __future__ import annotations

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Whole
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.services.bounds import MOST_WEEKS
from pinset.services.views import PromiseWeek
from pinset.services.words import amount


@click.command()
@click.option(
    "--weeks", type=Whole(1, MOST_WEEKS), default=8, help="Weeks ahead.", show_default=True
)
@as_json_option
@click.pass_context
@known_errors
def promises(context: click.Context, weeks: int, as_json: bool) -> None:
    """What was kept and what is coming."""
    open_chosen(context)
    from pinset.services.frame import frame
    from pinset.services.promises import promises as service

    view = service.promises_view(weeks=weeks)
    if as_json:
        print_json(view)
        return
    units = frame().units
    click.echo(view.sentence)
    for monday, rows in view.weeks:
        click.echo(f"\nWeek of {monday}")
        print_table(
            (
                row.day,
                row.buyer,
                row.variety,
                amount(row.promised, row.measure, system=units),
                *_state(row, units),
            )
            for row in rows
        )
    for remark in view.remarks:
        click.echo(f"! {remark}")


def _state(row: PromiseWeek, units: str) -> tuple[str, str, str]:
    seen = row.expected if row.delivered is None else row.delivered
    word = "expected" if row.delivered is None else "handed over"
    state = row.state if row.chance is None else f"{row.state}, {row.chance:.0%}"
    return f"{word} {amount(seen, row.measure, system=units)}", state, row.reason
