"""`pinset password`: set somebody's password."""

from __future__ import annotations

import click

from pinset.cli.farm_option import open_chosen
from pinset.cli.output import known_errors


@click.command()
@click.argument("person")
@click.pass_context
@known_errors
def password(context: click.Context, person: str) -> None:
    """Set the password of PERSON (a worker code); it is asked for twice."""
    open_chosen(context)
    from pinset.services.farms import people

    given: str = click.prompt("Password", hide_input=True, confirmation_prompt=True)
    people.set_password(person, given)
    click.echo(f"{person} can sign in now.")
