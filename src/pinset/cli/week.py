"""`pinset week` and `pinset calendar`: the jobs of the coming days, on paper and for calendars."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.output import as_json_option, known_errors, print_json
from pinset.errors import PinsetError
from pinset.services.views import JobState, JobView

if TYPE_CHECKING:
    from pinset.services.week.week import WeekView


@click.command()
@click.option(
    "--pdf",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write it for paper to this file instead.",
)
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
@as_json_option
@click.pass_context
@known_errors
def week(context: click.Context, pdf: Path | None, paper: str, as_json: bool) -> None:
    """Say the jobs of today and the six days after it, by day and place."""
    open_chosen(context)
    from pinset.services.plans import planning_day
    from pinset.services.week import week as service
    from pinset.services.week.paper import week_on_paper

    planning_day.ensure_planned(progress=lambda text: click.echo(f"{text} ...", err=True))
    if pdf is not None:
        _write(pdf, week_on_paper(paper).data)
        if not as_json:
            click.echo(f"{pdf} written.")
            return
    view = service.week_view()
    if as_json:
        print_json(view)
    else:
        _print(view)


@click.command()
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.pass_context
@known_errors
def calendar(context: click.Context, file: Path) -> None:
    """Write the jobs of today and the six days after it to FILE for a calendar program."""
    open_chosen(context)
    from pinset.services.plans import planning_day
    from pinset.services.week.calendar_feed import calendar_of_jobs

    planning_day.ensure_planned(progress=lambda text: click.echo(f"{text} ...", err=True))
    _write(file, calendar_of_jobs())
    click.echo(f"{file} written.")


def _write(file: Path, data: bytes) -> None:
    try:
        file.write_bytes(data)
    except OSError as problem:
        raise PinsetError(f"{file} cannot be written: {problem.strerror}.") from problem


def _print(view: WeekView) -> None:
    for note in view.notes:
        click.echo(f"! {note}")
    for day in view.days:
        click.echo(f"\n{day.title}{', day off' if day.is_day_off else ''}")
        if day.note:
            click.echo(f"! {day.note}")
        for place in day.places:
            click.echo(f"  {place.title}")
            for job in place.jobs:
                _print_job(job)
        for each in day.expected:
            click.echo(f"  {'expected':>8}  {each.at or '--:--':>5}  {each.text}")


def _print_job(job: JobView) -> None:
    count = job.left if job.state is JobState.PART else job.count
    who = f" [{job.claimed_by}]" if job.claimed_by else ""
    click.echo(f"  {job.job:>8}  {job.at or '--:--':>5}  {count:>5} {job.what}{who}")
