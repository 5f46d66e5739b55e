"""`pinset check`: say whether every unit is accounted for."""

from __future__ import annotations

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.output import as_json_option, exit_for, known_errors, print_findings, print_json


@click.command()
@as_json_option
@click.pass_context
@known_errors
def check(context: click.Context, as_json: bool) -> None:
    """Rebuild the ledger's balances and its chain, and compare."""
    folder = open_chosen(context)
    from pinset.services.farms.checking import check_farm

    report = check_farm(folder=folder)
    if as_json:
        print_json(report)
    else:
        print_findings(report.findings)
        click.echo(report.sentence)
    exit_for(report.findings)
