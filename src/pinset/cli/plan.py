"""`pinset plan`: plan the farm now."""

from __future__ import annotations

from datetime import timedelta

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Decimal
from pinset.cli.output import as_json_option, known_errors, print_json, print_table

NEAR_DAYS = 7


@click.command()
@click.option(
    "--seconds",
    type=Decimal(0, 3600, "s"),
    default=20.0,
    help="Longest time to search.",
    show_default=True,
)
@as_json_option
@click.pass_context
@known_errors
def plan(context: click.Context, seconds: float, as_json: bool) -> None:
    """Plan the farm from what is alive and promised now."""
    open_chosen(context)
    from pinset.services.jobs.of_starts import start_in_words
    from pinset.services.plans import planning_day
    from pinset.services.promises.short_notes import worth_a_word

    planned = planning_day.replan(
        time_limit_s=seconds, progress=lambda text: click.echo(f"{text} ...", err=True)
    )
    made = planned.plan
    if as_json:
        print_json(
            {
                "for_date": made.start,
                "days": made.days,
                "whole_days": made.whole_days,
                "gap": made.gap,
                "seconds": made.seconds,
                "status": made.status,
                "starts": [
                    {
                        "date": start.day,
                        "stage": start.stage,
                        "step": start.step,
                        "variety": start.variety,
                        "count": start.count,
                        "ready_on": start.ready_on,
                        "from_lots": [share for use in start.parents for share in use.lots],
                        "provisional": start.provisional,
                        "why": start.why,
                    }
                    for start in made.starts
                ],
                "short": [
                    {
                        "order": short.promise,
                        "date": short.day,
                        "variety": short.variety,
                        "amount": short.amount,
                        "measure": short.measure,
                        "promised": short.promised,
                        "unavoidable": short.is_unavoidable,
                        "reason": short.reason,
                        "reason_code": short.reason_code,
                        "about": short.about,
                    }
                    for short in made.short
                ],
                "at_limit": made.at_limit,
                "climates": made.climates,
                "lapses": made.lapses,
                "changes": planned.changes,
                "remarks": planned.remarks,
                "pins": made.pins,
                "pins_cost": planned.pins_cost,
                "outages": planning_day.farm_book()[0].outages,
                "late": planned.late,
            }
        )
        return
    click.echo(
        f"Planned {made.days} days from {made.start}, the first {made.whole_days} in whole units: "
        f"{made.status}, gap {made.gap:.2%}, {made.seconds:.1f} s."
    )
    near = [s for s in made.starts if s.day <= made.start + timedelta(days=NEAR_DAYS)]
    click.echo(f"\nTo start in the next {NEAR_DAYS} days")
    print_table((s.day, s.variety, start_in_words(s), s.why) for s in near if s.count)
    told = worth_a_word(made.short)
    if told:
        click.echo("\nShort")
        print_table((s.day, s.promise, s.reason) for s in told)
    else:
        click.echo("\nEvery promise in sight is met in expectation.")
    climates = [kept for kept in made.climates if not kept.provisional]
    if climates:
        click.echo("\nClimate of grow rooms")
        print_table(
            (kept.since, kept.until, kept.room, f"{kept.words} for {', '.join(kept.varieties)}")
            for kept in climates
        )
    if made.at_limit:
        click.echo("\nFull")
        print_table(
            (a.day, a.resource, f"{a.used:.0f} of {a.capacity:.0f} {a.unit}") for a in made.at_limit
        )
    for remark in (*planned.late, *planned.remarks, *planned.pins_cost):
        click.echo(f"! {remark}")
