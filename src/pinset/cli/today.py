"""`pinset today`: the day's jobs."""

from __future__ import annotations

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.output import as_json_option, known_errors, print_json
from pinset.services import views
from pinset.services.words import sentences


@click.command()
@click.option("--person", default="", help="Worker code: warn this person where needed.")
@as_json_option
@click.pass_context
@known_errors
def today(context: click.Context, person: str, as_json: bool) -> None:
    """What to do now, in which order, with what."""
    open_chosen(context)
    from pinset.services.day import today as service
    from pinset.services.plans import planning_day

    planning_day.ensure_planned(progress=lambda text: click.echo(f"{text} ...", err=True))
    day = service.day_view(person or None)
    if as_json:
        print_json([job for section in day.sections for job in section.jobs] + list(day.later))
    else:
        print_day(day)


def print_day(day: views.DayView) -> None:
    """Print a day as it is read on paper."""
    click.echo(f"{day.title}\n{day.summary}")
    for text in (day.grow_room_warning, *day.warnings, *day.notes, *day.short):
        if text:
            click.echo(f"! {text}")
    if day.fixed:
        click.echo()
        for hour in day.fixed:
            click.echo(f"  {hour.at:>5}  {hour.text}")
    later = (views.Section("Tomorrow starts today", "", day.later),) if day.later else ()
    for section in (*day.sections, *later):
        click.echo(f"\n{section.title}{'  ' + section.note if section.note else ''}")
        for job in section.jobs:
            _print_job(job)
    if day.changes:
        click.echo("\nChanged since the last plan")
        for change in day.changes:
            click.echo(f"  {sentences([change.sentence, change.reason])}")
    click.echo(f"\n{day.plan_age}")


def _print_job(job: views.JobView) -> None:
    count, minutes = job.count, job.minutes
    state = "" if job.state is views.JobState.OPEN else f" [{job.state.value}]"
    if job.state is views.JobState.PART:
        count, minutes = job.left, job.minutes_left
        state = f" [left of {job.count}, {job.state.value}]"
    if job.state is views.JobState.DONE and job.done_count not in {0, job.count}:
        count, state = job.done_count, f" [of {job.count}, {job.state.value}]"
    click.echo(f"  {job.job:>6}  {job.at or '--:--':>5}  {count:>5} {job.what}{state}")
    soft = [job.stop, job.detail, job.suits, f"{minutes} min", job.due_said, job.late_cost]
    click.echo(f"{'':24}{'. '.join(part.removesuffix('.') for part in soft if part)}")
