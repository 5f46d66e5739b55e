"""`pinset cook plan`: how long to hold a load here."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import click

from pinset.cli.cook_options import unit_options
from pinset.cli.farm_option import is_chosen, open_chosen
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.errors import InputError

if TYPE_CHECKING:
    from pinset.services.cooks.ahead.planning import CookPlan
    from pinset.services.cooks.loads import LoadPlan
    from pinset.services.frame import Frame


@click.command()
@click.option(
    "--heat",
    type=click.Choice(["pressure", "open", "water"]),
    default="pressure",
    show_default=True,
    help="Steam under pressure, open steam, or hot water.",
)
@click.option(
    "--rating", default="", help="Most the vessel's plate allows, such as 1.1bar or 15psi (gauge)."
)
@click.option(
    "--load",
    "own",
    default="",
    help="One of the farm's own loads, such as kettle:block: its vessel, unit and rule count where "
    "nothing else is said, and what its log taught.",
)
@click.option("--units", default="1", show_default=True, help="Units in the load.")
@unit_options
@click.option("--vessel", default="", help="What the vessel holds, such as 300L; else not checked.")
@click.option("--temperature", default="121.1C", show_default=True, help="Wanted in the chamber.")
@click.option("--start", default="20C", show_default=True, help="Of the load when it goes in.")
@click.option("--come-up", default="30min", show_default=True, help="Until the chamber is hot.")
@click.option("--air", default="20C", show_default=True, help="Where it cools.")
@click.option("--inoculate", default="30C", show_default=True, help="Core cool enough for this.")
@click.option("--rule", default="f0=15", show_default=True, help="f0=15, hold=70C/120, or both.")
@click.option("--organism", default="geobacillus-stearothermophilus", show_default=True)
@click.option("--count", default="1e6", show_default=True, help="Of it, in a unit.")
@click.option("--conductivity", default="", help="From a fit to your log [W/(m K)].")
@click.option("--surface", default="", help="From the same fit [W/(m2 K)].")
@click.option("--free-air", default="", help="From the same fit: what vapour carries.")
@as_json_option
@click.pass_context
@known_errors
def plan(context: click.Context, /, as_json: bool, rule: str, own: str, **given: str) -> None:
    """Say how long to hold a load, at which pressure, and when to open and inoculate."""
    from pinset.services.cooks.ahead.planning import plan_cook
    from pinset.services.cooks.ahead.words import altitude_taken
    from pinset.services.cooks.judge.judging import read_rule
    from pinset.services.cooks.typed import load_of, typed_name

    typed = {name.replace("_", "-"): text for name, text in given.items()}
    has_farm = bool(own) or is_chosen(context)
    if has_farm:
        open_chosen(context)
    if has_farm and not own and not typed["altitude"].strip():
        typed["altitude"] = f"{_frame().altitude_m:g} m"
    if own:
        load, rule = _own(context, own, typed, rule)
    else:
        load = load_of(typed)
    try:
        worked_out = plan_cook(load, read_rule(rule))
    except InputError as problem:
        field = typed_name(problem.field)
        raise InputError(field, problem.given, problem.accepted, problem.hint) from None
    if not has_farm and not typed["altitude"].strip():
        worked_out = replace(worked_out, flags=(altitude_taken(load.heat), *worked_out.flags))
    if as_json:
        print_json(worked_out)
    else:
        _print(worked_out, _frame().units if has_farm else "metric")


def _own(
    context: click.Context, own: str, typed: dict[str, str], rule: str
) -> tuple[LoadPlan, str]:
    """Return one of the farm's loads, with what was typed instead, and its rule."""
    from pinset.services.cooks.ahead.newer_logs import with_learnt
    from pinset.services.cooks.typed import load_of
    from pinset.services.cooks.usual import usual_loads

    loads = usual_loads()
    found = next((each for each in loads if each.code == own), None) or next(
        (each for each in loads if each.code.startswith(own)), None
    )
    if found is None:
        raise InputError("--load", own, f"one of {', '.join(each.code for each in loads)}")

    def is_said(name: str) -> bool:
        source = context.get_parameter_source(name.replace("-", "_"))
        return source is click.core.ParameterSource.COMMANDLINE

    said = {name: text for name, text in typed.items() if is_said(name)}
    asked = rule if is_said("rule") or not found.rule else found.rule
    return with_learnt(load_of({**found.typed, **said})), asked


def _frame() -> Frame:
    """Return what the farm that is open says of itself: its altitude, its units."""
    from pinset.services.frame import frame

    return frame()


def _print(worked_out: CookPlan, system: str) -> None:
    """Print a plan in the farm's units."""
    from pinset.services import cautions
    from pinset.services.cooks.heat_units import in_farm_units
    from pinset.services.words import minutes_in_words

    def say(sentence: str) -> None:
        click.echo(in_farm_units(sentence, system))

    say(worked_out.sentence)
    for flag in worked_out.flags:
        say(f"warning: {flag}")
    click.echo()

    def long(minutes: float | None) -> str:
        return "never" if minutes is None else minutes_in_words(minutes)

    print_table(
        (
            (
                case.name + (" (rules)" if case.rules else ""),
                f"{case.taken_as.conductivity:.2f}",
                f"{case.taken_as.free_air:.2f}",
                long(case.hold_min),
                "" if case.f0_min is None else f"{case.f0_min:.1f}",
                "" if case.bad_units is None else f"{case.bad_units:.1e}",
                long(case.inoculate_after_min),
            )
            for case in worked_out.cases
        ),
        heads=(
            "case",
            "W/(m K)",
            "free air",
            "hold",
            "F0 at steam-off",
            "bad units",
            "cool to inoculate",
        ),
    )
    if worked_out.ruling.bad_units is not None:
        say(
            f"\nBad units: at most, of the load, if each held {worked_out.count_per_unit:.0e} of "
            f"{worked_out.organism}."
        )
    opened = worked_out.ruling.open_after_min
    if opened is not None:
        say(
            f"\nLiquids are below 80 °C {long(opened)} after steam-off if they stand free in "
            f"still air of {worked_out.air_c:g} °C. This is no time to open: in the closed vessel "
            "they cool slower. It is opened only when its gauge stands at zero, as its maker says."
        )
    steam = f", for which {worked_out.condensate_kg:.1f} kg of steam turn to water"
    say(
        f"\nInto the load {worked_out.load_kwh:.1f} kWh{steam if worked_out.condensate_kg else ''}."
    )
    for remark in worked_out.remarks:
        say(f"- {remark}")
    click.echo()
    for sentence in cautions.sentences(worked_out.cautions):
        say(f"Caution: {sentence}")
