"""`pinset mix cheapest`: the cheapest blend within limits."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from pinset.cli.mix_options import (
    by_ingredient,
    farm_units,
    filling_options,
    row_options,
    typed_rows,
)
from pinset.cli.output import as_json_option, known_errors, print_json, print_table

if TYPE_CHECKING:
    from collections.abc import Callable

    from pinset.services.mixing.cheap import CheapBlend

MORE = {
    "least": "At least so much of it, % of dry mass: gypsum=1.",
    "most": "At most so much of it, % of dry mass.",
    "stock": "What is there of it: wheat-bran=25kg.",
}
LIMITS = {
    "nitrogen-least": "% of dry mass.",
    "nitrogen-most": "% of dry mass.",
    "ratio-least": "C:N.",
    "ratio-most": "C:N.",
    "supplement-most": "% of dry mass.",
    "ash-most": "% of dry mass.",
}


def _limits(command: Callable[..., None]) -> Callable[..., None]:
    for name, help_ in reversed(LIMITS.items()):
        command = click.option(f"--{name}", default="", help=help_)(command)
    return command


@click.command()
@click.option(
    "--of", multiple=True, metavar="KEY", required=True, help="An ingredient that may go in."
)
@row_options(MORE)
@_limits
@filling_options
@as_json_option
@click.pass_context
@known_errors
def cheapest(
    context: click.Context,
    /,
    of: tuple[str, ...],
    as_json: bool,
    **given: str | tuple[str, ...],
) -> None:
    """Find the cheapest blend within limits, and what they cost; status 1 if nothing fits."""
    from pinset.services.mixing.cheap import cheap_blend

    system, currency = farm_units(context)
    said = {name: texts for name, texts in given.items() if isinstance(texts, tuple)}
    typed, names = typed_rows(of, said)
    typed |= {n.replace("_", "-"): text for n, text in given.items() if isinstance(text, str)}
    with by_ingredient(names):
        blend = cheap_blend(typed, system, currency)
    if as_json:
        print_json(blend)
    else:
        _print(blend)
    if not blend.fits:
        sys.exit(1)


def _print(blend: CheapBlend) -> None:
    click.echo(blend.sentence)
    if not blend.fits:
        return
    click.echo(blend.weigh)
    click.echo(f"{blend.nitrogen_said}, C:N {blend.ratio_said}")
    click.echo()
    print_table(
        [
            *(
                (each.name, each.weight, each.share, each.moisture, each.cost)
                for each in blend.lines
            ),
            ("water", blend.water, "", "", ""),
        ],
        ("", "weigh out", "of dry mass", "its moisture", "cost"),
    )
    if blend.costs:
        click.echo("\nWhat the limits cost, for the batch")
        for cost in blend.costs:
            click.echo(f"- {cost.sentence}")
    click.echo("\nIf one runs out")
    for other in blend.runs_out:
        click.echo(f"- {other.sentence}")
    click.echo()
    for each in (*blend.too_fine, blend.measure_first, *blend.remarks):
        if each:
            click.echo(f"- {each}")
    click.echo()
    for sentence in blend.cautions:
        click.echo(f"Caution: {sentence}")
