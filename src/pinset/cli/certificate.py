"""`pinset certificate`: the farm's own authority for https, explained, made, taken back."""

from __future__ import annotations

from pathlib import Path

import click

from pinset.cli.farm_option import chosen_folder, open_chosen
from pinset.cli.output import known_errors
from pinset.services.https import explained
from pinset.services.https import own_certificate as own

WIDTH = 96
ADDRESS = click.option(
    "--address", "addresses", multiple=True, help="An address of this computer; several are taken."
)


@click.group(invoke_without_command=True)
@click.pass_context
@known_errors
def certificate(context: click.Context) -> None:
    """Say how the farm's certificate stands and what it is; make, renew or take it back."""
    if context.invoked_subcommand is not None:
        return
    open_chosen(context)
    _standing(chosen_folder(context))
    _say(explained.WHAT)
    _say(explained.MEANS)
    click.echo(f"\nHow to install it\n  {explained.MENUS}")
    for part in (*explained.DEVICES, explained.RENEW, explained.BACK):
        _say(part)


@certificate.command()
@click.option("--name", required=True, help="Host name of the farm's computer, such as farm.lan.")
@ADDRESS
@click.option("--anew", is_flag=True, help="In the place of the authority there is.")
@click.pass_context
@known_errors
def make(context: click.Context, name: str, addresses: tuple[str, ...], anew: bool) -> None:
    """Make an authority and a certificate for this computer."""
    folder = open_chosen(context)
    own.make(folder, name, addresses, is_anew=anew)
    _standing(folder)
    _say(explained.MEANS)
    click.echo("Next: pinset serve --https. How to install it on each device: pinset certificate.")


@certificate.command()
@ADDRESS
@click.option(
    "--key",
    type=click.Path(path_type=Path, dir_okay=False),
    help="The authority's key, if it is kept elsewhere.",
)
@click.pass_context
@known_errors
def renew(context: click.Context, addresses: tuple[str, ...], key: Path | None) -> None:
    """Make the next certificate by the authority the devices know."""
    folder = open_chosen(context)
    own.renew(folder, addresses, key)
    _standing(folder)
    click.echo("Start pinset serve again; devices notice nothing.")


@certificate.command()
@click.option("--yes", is_flag=True, help="Do not ask.")
@click.pass_context
@known_errors
def remove(context: click.Context, yes: bool) -> None:
    """Delete the authority and the certificate of the farm."""
    folder = open_chosen(context)
    if not yes:
        click.confirm(f"Delete the farm's authority and its keys in {folder}?", abort=True)
    click.echo(own.take_back(folder))
    _say(explained.BACK)


def _standing(folder: Path) -> None:
    found = own.standing(folder)
    if found is None:
        click.echo("The farm has no certificate: it is served over plain http.")
        click.echo(f"Make one: {explained.COMMAND}")
        return
    reached = ", ".join((found.host, *found.addresses))
    click.echo(f"Certificate   for {reached}")
    click.echo(f"              until {found.until:%Y-%m-%d}, {found.days_left} days from now")
    click.echo(f"Authority     {found.authority_name}, until {found.authority_until:%Y-%m-%d}")
    click.echo(f"              {found.authority_file}")
    click.echo(f"Fingerprint   SHA-256 {found.fingerprint[:47]}")
    click.echo(f"              {' ' * 8}{found.fingerprint[48:]}")
    if not found.has_authority_key:
        click.echo("Its key is not in the farm's folder; to renew, name it: --key FILE")
    if said := own.due_words(folder):
        click.echo(f"! {said}")


def _say(part: explained.Part) -> None:
    click.echo(f"\n{part.title}")
    for number, line in enumerate(part.lines, 1):
        mark = f"{number}. " if part.is_steps else ""
        click.echo(
            click.wrap_text(
                line,
                width=WIDTH,
                initial_indent=f"  {mark}",
                subsequent_indent="  " + " " * len(mark),
            )
        )
