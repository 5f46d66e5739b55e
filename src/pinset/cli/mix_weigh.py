"""`pinset mix weigh`: the mixing card."""

from __future__ import annotations

from pathlib import Path
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
from pinset.errors import PinsetError

if TYPE_CHECKING:
    from pinset.services.mixing.card import MixCard

MORE = {"weighed": "What was really weighed: wheat-bran=11kg; the rest counts as the card says."}


@click.command()
@click.option(
    "--of",
    multiple=True,
    metavar="KEY=SHARE",
    required=True,
    help="An ingredient with its share; one share in % may be left out and gets the rest.",
)
@click.option("--basis", default="", help="Shares: dry (%), weighed (%), dry-parts, weighed-parts.")
@row_options(MORE)
@filling_options
@click.option("--water-in", default="", help="Water that is already in it, such as 40L.")
@click.option("--for", "aim", default="", help="Aimed for: king-oyster, wood-lovers.")
@click.option(
    "--pdf", type=click.Path(path_type=Path, dir_okay=False), help="Write the card for paper."
)
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
@as_json_option
@click.pass_context
@known_errors
def weigh(
    context: click.Context,
    /,
    of: tuple[str, ...],
    aim: str,
    pdf: Path | None,
    paper: str,
    as_json: bool,
    **given: str | tuple[str, ...],
) -> None:
    """Say what is weighed out for so many units, and what is in it."""
    from pinset.services.mixing.card import mix_card

    system, currency = farm_units(context)
    said = {name: texts for name, texts in given.items() if isinstance(texts, tuple)}
    typed, names = typed_rows(of, said)
    typed |= {n.replace("_", "-"): text for n, text in given.items() if isinstance(text, str)}
    with by_ingredient(names):
        card = mix_card({**typed, "for": aim}, system, currency)
    if pdf is not None:
        _write(pdf, card, paper)
    if as_json:
        print_json(card)
    else:
        _print(card)


def _write(file: Path, card: MixCard, paper: str) -> None:
    from pinset.services.mixing.sheet import card_as_pdf

    try:
        file.write_bytes(card_as_pdf(card, paper))
    except OSError as problem:
        raise PinsetError(f"{file} cannot be written: {problem.strerror}.") from None
    click.echo(f"{file} written.", err=True)


def _print(card: MixCard) -> None:
    click.echo(card.sentence)
    click.echo(f"{card.nitrogen_said}. {card.aim.sentence if card.aim else ''}".strip())
    click.echo(f"C:N {card.ratio_said}")
    if card.correction:
        click.echo(f"\n{card.correction.sentence} {card.correction.nitrogen_said}.")
    click.echo()
    print_table(
        [
            *(
                (each.name, each.weight, each.share, each.moisture, each.cost)
                for each in card.lines
            ),
            ("water", card.water, "", "", ""),
        ],
        ("", "weigh out", "of dry mass", "its moisture", "cost"),
    )
    click.echo()
    print_table(
        [
            ("moisture", card.moisture_said),
            ("filled", card.mass),
            ("supplement", f"{100 * card.supplement:.3g} % of dry mass"),
            ("ash", f"{100 * card.ash:.3g} % of dry mass"),
            *([("loose, at most", card.volume)] if card.volume else []),
            *([("cost", card.costing.sentence)] if card.costing else []),
        ]
    )
    click.echo()
    for each in (*card.too_fine, card.measure_first, *card.remarks):
        if each:
            click.echo(f"- {each}")
    click.echo()
    print_table(
        [(each.name, each.aim, each.stands, each.known) for each in card.aims],
        ("aimed for", "", "this mix", "source"),
    )
    click.echo()
    for sentence in card.cautions:
        click.echo(f"Caution: {sentence}")
