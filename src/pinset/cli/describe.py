"""`pinset new`, `pinset load`, `pinset export`: a farm as readable files."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from pinset.cli.farm_option import chosen_folder, open_chosen
from pinset.cli.output import as_json_option, known_errors, print_findings, print_json
from pinset.services.farms import opening

FOLDER = click.Path(path_type=Path, file_okay=False)


WORKBOOKS = click.option("--xlsx", is_flag=True, help="Tables as workbooks instead of CSV.")
REPLACE = click.option("--replace", is_flag=True, help="Take the place of files that are there.")


@click.command()
@click.argument("folder", type=FOLDER)
@WORKBOOKS
@REPLACE
@known_errors
def new(folder: Path, xlsx: bool, replace: bool) -> None:
    """Write commented templates into FOLDER."""
    from pinset.services.farms import new as service

    for path in service.new(folder, as_xlsx=xlsx, replace=replace):
        click.echo(path)
    click.echo(f"Fill them in, then: pinset --farm WHERE-IT-SHALL-LIVE load {folder}")


@click.command()
@click.argument("folder", type=FOLDER)
@click.option("--replace", is_flag=True, help="Apply the difference to a farm that is there.")
@as_json_option
@click.pass_context
@known_errors
def load(context: click.Context, folder: Path, replace: bool, as_json: bool) -> None:
    """Take the farm described in FOLDER in, all or nothing."""
    farm = chosen_folder(context)
    opening.use_farm(farm)
    from pinset.services.farms import load as service

    if opening.is_farm(farm):
        opening.open_farm(farm)
        report = service.load(folder, replace=replace)
    else:
        report = service.load_new(folder, farm)
    if as_json:
        print_json(report)
    else:
        print_findings(report.findings)
        for line in report.difference:
            click.echo(f"  {line}")
        for words, code in report.lots:
            click.echo(f"  {code}  {words}")
        click.echo(report.sentence)
    if not report.applied:
        sys.exit(1)


@click.command()
@click.argument("folder", type=FOLDER)
@WORKBOOKS
@REPLACE
@click.pass_context
@known_errors
def export(context: click.Context, folder: Path, xlsx: bool, replace: bool) -> None:
    """Write the farm into FOLDER as the files it can be loaded from."""
    open_chosen(context)
    from pinset.services.farms import export as service

    for path in service.export(folder, as_xlsx=xlsx, replace=replace):
        click.echo(path)
