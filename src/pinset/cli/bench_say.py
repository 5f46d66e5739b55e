"""`pinset bench begin`, `make`, `plates`, `end` and `counts`: what is said of a session."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import click

from pinset.cli.despite import cooks_asked_for, despite_given, despite_option
from pinset.cli.despite_held import held_asked_for, held_given, held_option
from pinset.cli.done import say_done
from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Whole
from pinset.cli.output import as_json_option, known_errors
from pinset.cli.taps import Said, said_options
from pinset.errors import InputError

if TYPE_CHECKING:
    from pinset.services.bench import beginning

EVERYTHING = "all"


@click.command()
@click.argument("place", metavar="BENCH")
@click.option("--tick", multiple=True, metavar="KEY", help="What is done; all for the whole list.")
@click.option("--plates", multiple=True, metavar="WHERE=N", help="Settle plates: middle=2.")
@said_options("who says it", note=False)
@as_json_option
@click.pass_context
@known_errors
def begin(
    context: click.Context,
    place: str,
    tick: tuple[str, ...],
    plates: tuple[str, ...],
    said: Said,
    as_json: bool,
) -> None:
    """Begin a session at BENCH, or come to the one that is going on there."""
    open_chosen(context)
    from pinset.services.bench import beginning, lists

    given = _given(said, _ticked(lists.every_key(lists.ENTRY), tick), plates)
    say_done(beginning.begin(place, given), as_json=as_json)


@click.command()
@click.argument("session")
@click.option("--from", "parents", multiple=True, required=True, metavar="LOT=N",
              help="Parents, with how many: 7K4MV=3; 0 of one that is open already.")  # fmt: skip
@click.option("--into", required=True, metavar="STEP|JOB", help="What is made, or the job.")
@click.option("--count", type=Whole(1), required=True, help="How many were made.")
@click.option("--vessels", multiple=True, metavar="LOT", help="Prepared vessels that were filled.")
@click.option("--part", multiple=True, metavar="LOT=AMOUNT",
              help="Of a lot that stays alive: pieces, g or mL that were taken.")  # fmt: skip
@click.option("--minutes", type=Whole(0, 1440), default=None, help="How long it stood open.")
@despite_option
@held_option
@said_options("who says it", note=False)
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
    despite: tuple[str, ...],
    held: tuple[str, ...],
    said: Said,
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
        reason=said.reason,
        despite=despite_given(despite),
        held=held_given(held),
    )
    with cooks_asked_for(), held_asked_for():
        done = transfer(given, person=said.person, client_id=said.client_id, at=said.moment)
    say_done(done, as_json=as_json)


@click.command()
@click.argument("session")
@click.argument("where", nargs=-1, metavar="WHERE=N...")
@said_options("who says it", note=False)
@as_json_option
@click.pass_context
@known_errors
def plates(
    context: click.Context,
    session: str,
    where: tuple[str, ...],
    said: Said,
    as_json: bool,
) -> None:
    """Say which settle plates stand open in SESSION now; without any, that none do."""
    open_chosen(context)
    from pinset.services.bench import beginning

    say_done(beginning.set_plates(session, _given(said, (), where)), as_json=as_json)


@click.command()
@click.argument("session")
@click.argument("where", nargs=-1, required=True, metavar="WHERE=N...")
@click.option("--minutes", type=Whole(1, 1440), default=None, help="That each stood open.")
@said_options("who says it", note=False)
@as_json_option
@click.pass_context
@known_errors
def counts(
    context: click.Context,
    session: str,
    where: tuple[str, ...],
    minutes: int | None,
    said: Said,
    as_json: bool,
) -> None:
    """Write down the colonies on the settle plates of SESSION, all plates of a place together."""
    open_chosen(context)
    from pinset.services.bench.plate_counts import write_counts

    colonies = dict(_numbers("colonies", where))
    say_done(write_counts(session, _given(said, (), ()), colonies, minutes), as_json=as_json)


@click.command()
@click.argument("session")
@click.option("--tick", multiple=True, metavar="KEY", help="What is done; all for the whole list.")
@said_options("who says it", note=False)
@as_json_option
@click.pass_context
@known_errors
def end(
    context: click.Context,
    session: str,
    tick: tuple[str, ...],
    said: Said,
    as_json: bool,
) -> None:
    """End SESSION; of one left open overnight say with --at until when it lasted."""
    open_chosen(context)
    from pinset.services.bench import beginning, lists

    given = _given(said, _ticked(lists.every_key(lists.CLEAN_DOWN), tick), ())
    say_done(beginning.end(session, given), as_json=as_json)


def _given(said: Said, ticked: Iterable[str], where: Iterable[str]) -> beginning.Said:
    from pinset.services.bench import beginning

    return beginning.Said(
        said.person,
        said.client_id,
        said.moment,
        reason=said.reason,
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
