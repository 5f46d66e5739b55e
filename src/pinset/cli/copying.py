"""`pinset backup` and `pinset restore`."""

from __future__ import annotations

from pathlib import Path

import click

from pinset.cli.farm_option import chosen_folder, open_chosen
from pinset.cli.output import known_errors
from pinset.services.farms import opening


@click.command()
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.pass_context
@known_errors
def backup(context: click.Context, file: Path) -> None:
    """Write a verified copy of the farm to FILE."""
    open_chosen(context)
    from pinset.services.farms import copying

    click.echo(copying.backup(file))


@click.command()
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False, exists=True))
@click.option("--yes", is_flag=True, help="Do not ask.")
@click.pass_context
@known_errors
def restore(context: click.Context, file: Path, yes: bool) -> None:
    """Put the backup FILE in place of the farm; the present state is kept aside."""
    folder = chosen_folder(context)
    opening.use_farm(folder)
    from pinset.services.farms import copying

    if not yes:
        click.confirm(f"Put {file} in place of the farm in {folder}?", abort=True)
    click.echo(copying.restore(file, folder))
