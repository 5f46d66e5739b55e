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
    from pinset.services.cook_judged import JudgedCook


@click.command()
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--rule", default="", help="What a cook must reach: f0=15, hold=121/15, or both with a comma."
)
@click.option(
    "--altitude", type=float, default=0.0, help="In metres, for gauges; with --cook the farm's."
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
@click.option(
    "--reason",
    default="",
    help="Why FILE is of that cook, where it is of another day or kept with another one.",
)
@click.option("--person", default="", help="Worker code of who judges, with --cook.")
@as_json_option
@click.pass_context
@known_errors
def judge(
    context: click.Context,
    file: Path,
    rule: str,
    altitude: float,
    said: tuple[str, ...],
    cook: str,
    reason: str,
    person: str,
    as_json: bool,
) -> None:
    """Judge FILE, a log of a cook as CSV or XLSX in any layout.

    Works without a farm; with --cook its rule, altitude and instruments count. The exit status is 1
    if the cook fell short of the rule, or nothing could be judged by one.
    """
    data, changes = bytes_of(file), changes_of(said)
    kept = ""
    if cook:
        judged, kept = _for_cook(context, (cook, person, reason), data, file.name, rule, changes)
    else:
        judged = _by_itself(data, file.name, rule, altitude, changes, as_json=as_json)
    if as_json:
        print_json(judged)
    else:
        _print(judged)
    if kept:
        click.echo(kept, err=as_json)
    if judged.verdict == "fail" or (judged.rule and judged.verdict != "pass") or not judged.probes:
        sys.exit(1)


def _by_itself(
    data: bytes, name: str, rule: str, altitude: float, changes: dict[str, str], *, as_json: bool
) -> JudgedCook:
    from pinset.services.cook_judging import judge_file, read_rule, unread

    asked = read_rule(rule) if rule else None
    try:
        return judge_file(data, name, asked, altitude_m=altitude, changes=changes)[0]
    except InputError as problem:
        if as_json:
            print_json(unread(data, name, asked, problem, altitude_m=altitude))
        raise


def _for_cook(
    context: click.Context,
    said: tuple[str, str, str],  # cook, person, reason
    data: bytes,
    name: str,
    rule: str,
    changes: dict[str, str],
) -> tuple[JudgedCook, str]:
    """Judge by the farm's rule, altitude and instruments, keep it, and return what was said."""
    open_chosen(context)
    from pinset.services.cook_keeping import judge_for, keep_verdict

    cook, person, reason = said
    judged, _ = judge_for(cook, data, name, rule, changes)
    kept = keep_verdict(secrets.token_hex(16), person, cook, judged, data, name, reason)
    return judged, kept.sentence


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
    unsure = [
        line
        for line in judged.layout
        if line.value and (line.sure == "unsure" or line.key == "header_row")
    ]
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
