"""`pinset mix ingredients`: what the table knows."""

from __future__ import annotations

import click

from pinset.cli.output import as_json_option, known_errors, print_json, print_table


@click.command()
@as_json_option
@known_errors
def ingredients(*, as_json: bool) -> None:
    """List the ingredients of the table, with what is in them and how that is known."""
    from pinset.services.mixing.known import known_ingredients

    found = known_ingredients()
    if as_json:
        print_json({"ingredients": found})
        return
    print_table(
        [(e.key, e.name, e.group, e.moisture, e.carbon, e.nitrogen, e.known) for e in found],
        ("key", "", "", "moisture %", "C %", "N % of dry mass", "nitrogen by"),
    )
