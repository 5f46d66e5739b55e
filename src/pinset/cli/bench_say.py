"""`pinset bench begin`, `make`, `plates` and `end`: what is said of a session in the terminal."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

import click

from pinset.cli.done import moment_given, say_done
from pinset.cli.farm_option import open_chosen
from pinset.cli.output import as_json_option, known_errors
from pinset.errors import InputError

if TYPE_CHECKING:
    from pinset.services.bench.beginning import Said

EVERYTHING = "all"

_Command = Callable[..., None]


def _common(command: _Command) -> _Command:
    """Add who, when and why."""
    for option in (
        click.option("--person", default="", help="Worker code of who says it."),
        click.option("--at", default="", metavar="MOMENT", help="When, if not now."),
        click.option("--reason", default="", help="Why, where something speaks against it."),
        click.option("--id", "client_id", default="", help="Random id; a repeated one is one tap."),
    ):
        command = option(command)
    return command


@click.command()
@click.argument("place", metavar="BENCH")
@click.option("--tick", multiple=True, metavar="KEY", help="What is done; all for the whole list.")
@click.option("--plates", multiple=True, metavar="WHERE=N", help="Settle plates: middle=2.")
@_common
@as_json_option
@click.pass_context
@known_errors
def begin(
    context: click.Context,
    place: str,
    tick: tuple[str, ...],
    plates: tuple[str, ...],
    person: str,
    at: str,
    reason: str,
    client_id: str,
    as_json: bool,
) -> None:
    """Begin a session at BENCH, or come to the one that is going on there."""
    open_chosen(context)
    from pinset.services.bench import beginning, lists

    said = _said(person, at, reason, client_id, _ticked(lists.every_key(lists.ENTRY), tick), plates)
    say_done(beginning.begin(place, said), as_json=as_json)


@click.command()
@click.argument("session")
@click.option("--from", "parents", multiple=True, required=True, metavar="LOT=N",
              help="Parents, with how many: 7K4MV=3; 0 of one that is open already.")  # fmt: skip
@click.option("--into", required=True, metavar="STEP|JOB", help="What is made, or the job.")
@click.option("--count", type=int, required=True, help="How many were made.")
@click.option("--vessels", multiple=True, metavar="LOT", help="Prepared vessels that were filled.")
@click.option("--part", multiple=True, metavar="LOT=AMOUNT",
              help="Of a lot that stays alive: pieces, g or mL that were taken.")  # fmt: skip
@click.option("--minutes", type=int, default=None, help="How long it stood open.")
@_common
@as_json_option
@click.pass_context
@known_errors
def make(
    context: click.Context,
    session: str,
    parents: tuple[str, ...],
    into: str,
    count: int,
    vessels: tuple[str, ...],
    part: tuple[str, ...],
    minutes: int | None,
    person: str,
    at: str,
    reason: str,
    client_id: str,
    as_json: bool,
) -> None:
    """Record a transfer of SESSION."""
    open_chosen(context)
    from pinset.services.answers.lots_named import named_lot
    from pinset.services.bench.transfers import Given, is_job, transfer

    given = Given(
        session,
        tuple((named_lot(lot), n) for lot, n in _numbers("--from", parents, least=1)),
        count,
        job=into.upper() if is_job(into) else "",
        step="" if is_job(into) else into,
        vessels=tuple(named_lot(each) for each in vessels),
        amounts={named_lot(lot): amount for lot, amount in _numbers("--part", part)},
        minutes_open=minutes,
        reason=reason,
    )
    done = transfer(
        given,
        person=person,
        client_id=client_id or secrets.token_hex(16),
        at=moment_given(at),
    )
    say_done(done, as_json=as_json)


@click.command()
@click.argument("session")
@click.argument("where", nargs=-1, metavar="WHERE=N...")
@_common
@as_json_option
@click.pass_context
@known_errors
def plates(
    context: click.Context,
    session: str,
    where: tuple[str, ...],
    person: str,
    at: str,
    reason: str,
    client_id: str,
    as_json: bool,
) -> None:
    """Say which settle plates stand open in SESSION now; without any, that none do."""
    open_chosen(context)
    from pinset.services.bench import beginning

    said = _said(person, at, reason, client_id, (), where)
    say_done(beginning.set_plates(session, said), as_json=as_json)


@click.command()
@click.argument("session")
@click.option("--tick", multiple=True, metavar="KEY", help="What is done; all for the whole list.")
@_common
@as_json_option
@click.pass_context
@known_errors
def end(
    context: click.Context,
    session: str,
    tick: tuple[str, ...],
    person: str,
    at: str,
    reason: str,
    client_id: str,
    as_json: bool,
) -> None:
    """End SESSION; of one left open overnight say with --at until when it lasted."""
    open_chosen(context)
    from pinset.services.bench import beginning, lists

    said = _said(
        person, at, reason, client_id, _ticked(lists.every_key(lists.CLEAN_DOWN), tick), ()
    )
    say_done(beginning.end(session, said), as_json=as_json)


def _said(
    person: str,
    at: str,
    reason: str,
    client_id: str,
    ticked: Iterable[str],
    where: Iterable[str],
) -> Said:
    from pinset.services.bench.beginning import Said

    return Said(
        person,
        client_id or secrets.token_hex(16),
        moment_given(at),
        reason=reason,
        ticked=tuple(ticked),
        plates=dict(_numbers("settle plates", where)),
    )


def _ticked(every: tuple[str, ...], given: tuple[str, ...]) -> tuple[str, ...]:
    return every if EVERYTHING in given else given


def _numbers(
    field: str, given: Iterable[str], *, least: int | None = None
) -> list[tuple[str, int]]:
    """Return names with their numbers; ``least`` is the number of a name without one."""
    found = []
    for each in given:
        name, equals, number = each.partition("=")
        if not equals and least is not None:
            found.append((name, least))
        elif number.isascii() and number.isdigit():
            found.append((name, int(number)))
        else:
            raise InputError(field, each, "a name, an equals sign and a whole number")
    return found
