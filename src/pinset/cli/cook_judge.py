"""`pinset cook judge`: the verdict on a data logger's file."""

from __future__ import annotations

import secrets
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pinset.cli.cook_options import bytes_of, changes_of
from pinset.cli.farm_option import open_chosen
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.errors import InputError

if TYPE_CHECKING:
    from pinset.services.cook_judging import JudgedCook


@click.command()
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--rule", default="", help="What a cook must reach: f0=15, hold=121/15, or both with a comma."
)
@click.option(
    "--altitude",
    type=float,
    default=None,
    help="Of the place in metres, for gauges; else sea level.",
)
@click.option(
    "--read",
    "said",
    multiple=True,
    metavar="KEY=VALUE",
    help="How to read the file where the guess is wrong: column.2.role=core. May be repeated.",
)
@click.option(
    "--cook", default="", help="Keep the verdict on this cook of the farm, by the farm's own rule."
)
@click.option("--person", default="", help="Worker code of who judges, with --cook.")
@as_json_option
@click.pass_context
@known_errors
def judge(
    context: click.Context,
    file: Path,
    rule: str,
    altitude: float | None,
    said: tuple[str, ...],
    cook: str,
    person: str,
    as_json: bool,
) -> None:
    """Judge FILE, a log of a cook as CSV or XLSX in any layout.

    Works without a farm; with --cook its rule, altitude and instruments count. The exit status is 1
    if the cook fell short of the rule, or nothing could be judged by one.
    """
    if cook:
        open_chosen(context)
        from pinset.services.cook_setting import setting_of_cook

        place = setting_of_cook(cook)
    else:
        from pinset.services.cook_setting import NOWHERE as place  # noqa: N811
    from pinset.services.cook_judging import judge_file, read_rule, unread

    data = bytes_of(file)
    rule = rule or place.rule
    asked = read_rule(rule) if rule else None
    altitude = place.altitude_m if altitude is None else altitude
    try:
        judged, _ = judge_file(
            data,
            file.name,
            asked,
            altitude_m=altitude,
            changes=changes_of(said),
            instruments=place.instruments,
        )
    except InputError as problem:
        if as_json:
            print_json(unread(data, file.name, asked, problem, altitude_m=altitude))
        raise
    kept = ""
    if cook:
        from pinset.services.cook_keeping import keep_verdict

        kept = keep_verdict(secrets.token_hex(16), person, cook, judged, data, file.name).sentence
    if as_json:
        print_json(judged)
    else:
        _print(judged)
    if kept:
        click.echo(kept, err=as_json)
    if judged.verdict == "fail" or (rule and judged.verdict != "pass") or not judged.probes:
        sys.exit(1)


def _print(judged: JudgedCook) -> None:
    from pinset.services import cautions

    click.echo(judged.sentence)
    click.echo(
        f"{judged.file}: {judged.readings} readings over {judged.minutes:.0f} min"
        + (f" from {judged.started}" if judged.started else "")
    )
    if judged.probes:
        click.echo()
        print_table(
            (
                (
                    each.name,
                    each.role,
                    f"{each.f0_min:.1f}",
                    f"{each.f0_low:.1f} to {each.f0_high:.1f}",
                    f"{each.f0_above_110_min:.1f}",
                    f"{each.max_c:.1f}",
                    "" if each.hold_min is None else f"{each.hold_min:.0f}",
                )
                for each in judged.probes
            ),
            heads=("probe", "stood in", "F0 min", "band", "above 110", "highest °C", "held min"),
        )
    if judged.steam is not None:
        pure = "pure steam" if judged.steam.is_steam else "not pure steam"
        click.echo(
            f"\nChamber: {pure} over {judged.steam.checked_min:.0f} min, "
            f"{judged.steam.lowest_k:+.1f} to {judged.steam.highest_k:+.1f} K off the line."
        )
    if judged.findings:
        click.echo()
    for finding in judged.findings:
        click.echo(f"{finding.severity}: {finding.record}: {finding.sentence}")
        if finding.hint:
            click.echo(f"    {finding.hint}")
    unsure = [line for line in judged.layout if line.value and line.sure == "unsure"]
    unsure += [
        line
        for line in judged.layout
        if line.sure == "likely" and line.key.endswith((".role", ".unit", ".basis"))
    ]
    if unsure:
        click.echo("\nRead so; change it with --read KEY=VALUE:")
        print_table((line.key, line.label, line.value, line.why) for line in unsure)
    click.echo()
    for sentence in cautions.sentences(judged.cautions):
        click.echo(f"Caution: {sentence}")
