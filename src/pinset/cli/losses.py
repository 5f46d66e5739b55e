"""`pinset losses`: what is getting in, where, since when."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.output import as_json_option, known_errors, print_json, print_table

if TYPE_CHECKING:
    from pinset.services.asking.doubtful_lot import LotAnswer
    from pinset.services.asking.doubtful_words import Line
    from pinset.services.losses.view import LossesView, SuspectLine  # at run time: Django


@click.command(name="losses")
@click.option(
    "--suspect",
    nargs=2,
    metavar="KIND LEVEL",
    help="One suspect with its lots: --suspect cook kettle-20260317-1030.",
)
@click.option("--check", default="", metavar="LOT", help="How many units of a lot to check.")
@click.option(
    "--lot", default="", metavar="LOT", help="What to do with a lot that may have caught something."
)
@click.option(
    "--bad", default=5.0, show_default=True, help="Bad units in 100 that must not be missed."
)
@click.option("--sure", default=95.0, show_default=True, help="How certain, in 100.")
@as_json_option
@click.pass_context
@known_errors
def losses(
    context: click.Context,
    suspect: tuple[str, str] | None,
    check: str,
    lot: str,
    bad: float,
    sure: float,
    as_json: bool,
) -> None:
    """What is getting in, where and since when: suspects in their order, never a verdict."""
    open_chosen(context)
    if lot:
        _lot(lot, as_json=as_json)
    elif check:
        _check(check, bad, sure, as_json=as_json)
    elif suspect:
        _suspect(suspect, as_json=as_json)
    else:
        _overview(as_json=as_json)


def _lot(code: str, *, as_json: bool) -> None:
    from pinset.services.asking.doubtful_lot import what_to_do

    answer = what_to_do(code)
    if as_json:
        print_json(answer)
    else:
        _print_choices(answer)


def _check(code: str, bad: float, sure: float, *, as_json: bool) -> None:
    from pinset.services.losses.checking import check_plan

    plan = check_plan(code, bad, sure / 100.0)
    if as_json:
        print_json(plan)
        return
    for said in (*plan.sentences, plan.caution):
        click.echo(said)


def _suspect(suspect: tuple[str, str], *, as_json: bool) -> None:
    from pinset.services.losses.reckoning import up_to_date
    from pinset.services.losses.suspect import suspect_view

    up_to_date()
    one = suspect_view(*suspect)
    if as_json:
        print_json(one)
        return
    click.echo(one.name)
    if one.line:
        _print_suspect(one.line)
    for known in one.evidence:
        click.echo(f"   {known.words}{f' ({known.flag})' if known.flag else ''}")
    if one.against:
        click.echo(one.against)
    rows = [
        (lot.lot, lot.name, lot.day, str(lot.units), str(lot.found), f"{lot.expected:.1f}")
        for lot in one.lots
    ]
    print_table(rows, ("lot", "of", "made", "units", "lost", "expected"))


def _overview(*, as_json: bool) -> None:
    from pinset.services.losses.view import losses_view

    view = losses_view(anew=True)
    if view is None:  # pragma: no cover - reckoned anew it always says something
        return
    if as_json:
        print_json(view)
    else:
        _print(view)


def _print_choices(answer: LotAnswer) -> None:
    click.echo(answer.sentence)
    for line in answer.lines:
        is_proposed = line.key == answer.proposed
        click.echo(f"\n{line.name}{' (proposed)' if is_proposed else ''}")
        for said in (*((answer.why,) if is_proposed else ()), line.what, line.cost):
            click.echo(f"   {said}")
        for said in line.less_sure:
            click.echo(f"   {said}")
        click.echo(f"   To do so: {_command(answer.lot, line)}")
    click.echo()
    for said in answer.remarks:
        click.echo(said)


def _command(lot: str, line: Line) -> str:
    """Return the command that writes a choice down."""
    how = {
        "watch": f"watch {lot} --on {line.day}",
        "use first": f"use-first {lot} --by {line.day}",
        "hold": f'hold {lot} --cause "..."',
        "cull": f'cull {lot} --count N --cause "..."',
    }
    return f"pinset lot {how[line.key]}"


def _print(view: LossesView) -> None:
    click.echo(view.sentence)
    click.echo(view.as_of)
    _print_alarms(view)
    for number, suspect in enumerate(view.suspects, start=1):
        click.echo(f"\n{number}. {suspect.name}")
        _print_suspect(suspect)
    if view.earlier:
        click.echo("\nWhat stood out earlier and is over")
        for suspect in view.earlier:
            click.echo(f"  {suspect.name}: {suspect.effect}")
    _print_rooms(view)
    if view.mothers:
        click.echo("\nMothers that were not clean")
        for mother in view.mothers:
            click.echo(f"  {mother.lot} {mother.sentence}")
    if view.sisters:
        click.echo("\nSister lots still growing")
        rows = [
            (
                each.lot,
                str(each.standing),
                f"{100.0 * each.chance:.0f} %",
                f"{each.expected_lost:.1f}",
                ", ".join(each.shares),
            )
            for each in view.sisters
        ]
        print_table(rows, ("lot", "units", "chance each", "lost yet", "shares"))
    _print_stages(view)
    click.echo(view.caution)
    for said in (*view.notes, *view.method):
        click.echo(said)


def _print_alarms(view: LossesView) -> None:
    for alarm in view.alarms:
        click.echo(f"! {alarm.day}, {alarm.name}: {alarm.sentence}")
        for said in (alarm.alike, alarm.to_do, alarm.often):
            if said:
                click.echo(f"  {said}")


def _print_stages(view: LossesView) -> None:
    click.echo("\nBy stage")
    for stage in view.stages:
        click.echo(f"  {stage.sentence}")
        if stage.weeks:
            click.echo(f"    {stage.weeks.sentence}")
    click.echo()


def _print_rooms(view: LossesView) -> None:
    if view.rooms:
        click.echo(f"\nRooms {view.rooms_sentence}".rstrip())
    for room in view.rooms:
        for chart in room.charts:
            click.echo(f"  {room.name}, {chart.name}: {chart.sentence}")
            if chart.trend_sentence:
                click.echo(f"    {chart.trend_sentence}")
            if chart.alarm:
                click.echo(f"  ! {chart.alarm.day}: {chart.alarm.sentence}")
                click.echo(f"    {chart.alarm.to_do}")
                click.echo(f"    {chart.alarm.often}")
        for said in (room.not_seen, *room.cautions):
            if said:
                click.echo(f"  {said}")


def _print_suspect(suspect: SuspectLine) -> None:
    for said in (suspect.effect, suspect.chance, suspect.alike, suspect.signs, suspect.physics):
        if said:
            click.echo(f"   {said}")
