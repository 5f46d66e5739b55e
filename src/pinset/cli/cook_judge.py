"""`pinset cook judge`: the verdict on a data logger's file."""

from __future__ import annotations

import secrets
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pinset.cli.cook_options import bytes_of, changes_of
from pinset.cli.farm_option import open_chosen
from pinset.cli.output import as_json_option, known_errors, print_json, print_table, with_keys
from pinset.errors import InputError
from pinset.units import Quantity, parse, show

if TYPE_CHECKING:
    from pinset.services.cooks.judge.judged import JudgedCook


@click.command()
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--rule", default="", help="What a cook must reach: f0=15, hold=121/15, or both with a comma."
)
@click.option(
    "--altitude", default="", help="For gauges: 1240m or 4900ft; with --cook the farm's counts."
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
    help="Why FILE is of that cook, where it is of another day or kept with another one; sets no "
    "earlier verdict aside.",
)
@click.option(
    "--set-aside",
    "aside",
    default="",
    metavar="REASON",
    help="Why the earlier verdicts that keep the cook from passing do not count any more, such as: "
    "its probe slipped. With --cook; the answer names them.",
)
@click.option("--person", default="", help="Worker code of who judges, with --cook.")
@as_json_option
@click.pass_context
@known_errors
def judge(
    context: click.Context,
    file: Path,
    rule: str,
    altitude: str,
    said: tuple[str, ...],
    cook: str,
    reason: str,
    aside: str,
    person: str,
    as_json: bool,
) -> None:
    """Judge FILE, a log of a cook as CSV or XLSX in any layout.

    Works without a farm; with --cook its rule, altitude and instruments count. The exit status is 1
    if the cook fell short of the rule, or nothing could be judged by one.
    """
    data, changes = bytes_of(file), changes_of(said)
    kept, system = "", "metric"
    if aside and not cook:
        raise InputError("--set-aside", aside, "a cook whose earlier verdicts it is about: --cook")
    if cook:
        judged, kept, system = _for_cook(
            context, (cook, person, reason, aside), data, file.name, rule, changes
        )
    else:
        judged = _by_itself(data, file.name, rule, altitude, changes, as_json=as_json)
    if as_json:
        print_json(judged)
    else:
        _print(judged, system)
    if kept:
        click.echo(kept, err=as_json)
    if judged.verdict == "fail" or (judged.rule and judged.verdict != "pass") or not judged.probes:
        sys.exit(1)


def _by_itself(
    data: bytes, name: str, rule: str, altitude: str, changes: dict[str, str], *, as_json: bool
) -> JudgedCook:
    from pinset.services.cooks.judge.judging import judge_file, read_rule, unread

    asked = read_rule(rule) if rule else None
    metres = parse(Quantity.LENGTH, altitude, "m", "altitude") if altitude else None
    try:
        return judge_file(data, name, asked, altitude_m=metres, changes=changes)[0]
    except InputError as problem:
        if as_json:
            print_json(unread(data, name, asked, problem, altitude_m=metres or 0.0))
        raise


def _for_cook(
    context: click.Context,
    said: tuple[str, str, str, str],  # cook, person, reason, why earlier ones do not count
    data: bytes,
    name: str,
    rule: str,
    changes: dict[str, str],
) -> tuple[JudgedCook, str, str]:
    """Judge by the farm's rule, altitude and instruments, and keep it.

    Returned are the verdict, what was said of its keeping, and the farm's choice of units.
    """
    open_chosen(context)
    from pinset.services.cooks.judge.keeping import judge_for, keep_verdict
    from pinset.services.cooks.judge.standing import Aside
    from pinset.services.frame import frame

    cook, person, reason, aside = said
    judged, _ = judge_for(cook, data, name, rule, changes)
    try:
        kept = keep_verdict(
            secrets.token_hex(16), person, cook, judged, data, name, reason, Aside(aside)
        )
    except InputError as problem:
        if problem.field != "reason":
            raise
        raise InputError("--reason", problem.given, problem.accepted, problem.hint) from problem
    return judged, kept.sentence, frame().units


def _print(judged: JudgedCook, system: str) -> None:
    from pinset.services import cautions
    from pinset.services.cooks.heat_units import in_farm_units

    click.echo(in_farm_units(judged.sentence, system))
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
                    show(Quantity.TEMPERATURE, each.max_c, system),
                    "never" if each.come_up_min is None else f"{each.come_up_min:.0f}",
                    "" if each.hold_min is None else f"{each.hold_min:.0f}",
                )
                for each in judged.probes
            ),
            heads=(
                "probe",
                "stood in",
                "F0 min",
                "band",
                in_farm_units("above 110 °C", system),
                "highest",
                "come-up min",
                "held min",
            ),
        )
        wanted = in_farm_units(f"{round(judged.wanted_c, 1):g} °C", system)
        click.echo(f"Come-up and hold are the time to {wanted}, and the longest time there.")
    if judged.steam is not None:
        pure = "pure steam" if judged.steam.is_steam else "not pure steam"
        off = f"{judged.steam.lowest_k:+.1f} K to {judged.steam.highest_k:+.1f} K off the line."
        click.echo(
            f"\nChamber: {pure} over {judged.steam.checked_min:.0f} min, "
            f"{in_farm_units(off, system)}"
        )
    if judged.findings:
        click.echo()
    for finding in judged.findings:
        sentence = in_farm_units(finding.sentence, system)
        click.echo(f"{finding.severity}: {finding.record}: {sentence}")
        if hint := with_keys(finding.hint, finding.say):
            click.echo(f"    {in_farm_units(hint, system)}")
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
