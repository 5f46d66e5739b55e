"""`pinset lot`: what can be said of a lot without a job."""

from __future__ import annotations

from datetime import date

import click

from pinset.cli.done import say_done
from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Day, Whole
from pinset.cli.output import as_json_option, known_errors
from pinset.cli.taps import Said, said_options
from pinset.errors import InputError, RefusedError

CAUSE = click.option("--cause", default="", help="Why: a sign by its key, or a few words.")
COUNT = click.option("--count", type=Whole(1), required=True, help="How many units.")


@click.group()
def lot() -> None:
    """Say something of a lot without a job: held, watched, lost, moved, counted.

    What each choice costs for a lot that may have caught something: pinset losses --lot LOT.
    """


@lot.command()
@click.argument("lot")
@CAUSE
@said_options("who decided")
@as_json_option
@click.pass_context
@known_errors
def hold(context: click.Context, lot: str, cause: str, said: Said, as_json: bool) -> None:
    """Hold LOT back: it is not offered until it is released."""
    open_chosen(context)
    from pinset.services.answers import lot_actions

    say_done(lot_actions.hold(said.about(lot), _needed(cause)), as_json=as_json)


@lot.command()
@click.argument("lot")
@said_options("who decided")
@as_json_option
@click.pass_context
@known_errors
def release(context: click.Context, lot: str, said: Said, as_json: bool) -> None:
    """Offer LOT again that was held back."""
    open_chosen(context)
    from pinset.services.answers import lot_actions

    say_done(lot_actions.release(said.about(lot)), as_json=as_json)


@lot.command()
@click.argument("lot")
@click.option("--on", "day", type=Day(), required=True, help="The day on which to look again.")
@said_options("who decided")
@as_json_option
@click.pass_context
@known_errors
def watch(context: click.Context, lot: str, day: date, said: Said, as_json: bool) -> None:
    """Have LOT looked at again on a day; it goes on as it is until then."""
    open_chosen(context)
    from pinset.services.answers import lot_actions

    say_done(lot_actions.watch(said.about(lot), day), as_json=as_json)


@lot.command(name="use-first")
@click.argument("lot")
@click.option("--by", "day", type=Day(), required=True, help="The day by which it is used.")
@said_options("who decided")
@as_json_option
@click.pass_context
@known_errors
def use_first(context: click.Context, lot: str, day: date, said: Said, as_json: bool) -> None:
    """Have LOT used before others."""
    open_chosen(context)
    from pinset.services.answers import lot_actions

    say_done(lot_actions.use_first(said.about(lot), day), as_json=as_json)


@lot.command()
@click.argument("lot")
@click.option("--on", "day", type=Day(), required=True, help="The day on which it will be ready.")
@said_options("who judged")
@as_json_option
@click.pass_context
@known_errors
def ready(context: click.Context, lot: str, day: date, said: Said, as_json: bool) -> None:
    """Say when LOT will be ready, from looking at it; it overrules its route."""
    open_chosen(context)
    from pinset.services.answers import lot_actions

    say_done(lot_actions.expect_ready(said.about(lot), day), as_json=as_json)


@lot.command()
@click.argument("lot")
@COUNT
@CAUSE
@click.option("--shelf", default="", help="From this one of its shelves.")
@said_options("who took them out")
@as_json_option
@click.pass_context
@known_errors
def lose(
    context: click.Context, lot: str, count: int, cause: str, shelf: str, said: Said, as_json: bool
) -> None:
    """Units of LOT were contaminated and are taken out."""
    open_chosen(context)
    from pinset.services.answers import lot_actions

    say_done(lot_actions.lose(said.about(lot, shelf), count, cause), as_json=as_json)


@lot.command()
@click.argument("lot")
@COUNT
@CAUSE
@click.option("--shelf", default="", help="From this one of its shelves.")
@said_options("who took them out")
@as_json_option
@click.pass_context
@known_errors
def cull(
    context: click.Context, lot: str, count: int, cause: str, shelf: str, said: Said, as_json: bool
) -> None:
    """Units of LOT are taken out for another cause than contamination."""
    open_chosen(context)
    from pinset.services.answers import lot_actions

    say_done(lot_actions.cull(said.about(lot, shelf), count, _needed(cause)), as_json=as_json)


@lot.command()
@click.argument("lot")
@COUNT
@click.option("--to", "place", required=True, metavar="SHELF", help="Where they stand now.")
@click.option("--shelf", default="", help="From this one of its shelves.")
@said_options("who carried them")
@as_json_option
@click.pass_context
@known_errors
def move(
    context: click.Context, lot: str, count: int, place: str, shelf: str, said: Said, as_json: bool
) -> None:
    """Units of LOT were carried to another shelf."""
    open_chosen(context)
    from pinset.services.answers import lot_actions

    say_done(lot_actions.move(said.about(lot, shelf), count, place), as_json=as_json)


@lot.command()
@click.argument("lot")
@click.option("--count", type=Whole(), default=None, help="Units, of a lot at one place.")
@click.option(
    "--at-shelf",
    "shelves",
    multiple=True,
    metavar="SHELF=UNITS",
    help="Units at one of several places; once for each.",
)
@CAUSE
@said_options("who counted")
@as_json_option
@click.pass_context
@known_errors
def recount(
    context: click.Context,
    lot: str,
    count: int | None,
    shelves: tuple[str, ...],
    cause: str,
    said: Said,
    as_json: bool,
) -> None:
    """Say how many units of LOT stand there, counted by hand."""
    open_chosen(context)
    from pinset.services.answers import lot_actions

    if (count is None) == (not shelves):
        raise RefusedError(
            "Give --count, or --at-shelf for each place.", "Such as --at-shelf lab-1=12."
        )
    counted = count if count is not None else dict(_at_shelf(each) for each in shelves)
    say_done(lot_actions.recount(said.about(lot), counted, cause), as_json=as_json)


@lot.command()
@click.argument("lot")
@click.argument("words")
@said_options("who noted it", note=False)
@as_json_option
@click.pass_context
@known_errors
def note(context: click.Context, lot: str, words: str, said: Said, as_json: bool) -> None:
    """Write a note about LOT."""
    open_chosen(context)
    from dataclasses import replace

    from pinset.services.answers import lot_actions

    saying = replace(said.about(lot), note=words.strip())
    if not saying.note:
        raise InputError("words", words, "a few words")
    say_done(lot_actions.remark(saying), as_json=as_json)


def _needed(cause: str) -> str:
    """Return why; without one nothing is held or thrown out."""
    if not cause.strip():
        raise InputError("--cause", cause, "a few words on why")
    return cause


def _at_shelf(text: str) -> tuple[str, int]:
    shelf, sign, units = (part.strip() for part in text.rpartition("="))
    if not sign or not shelf or not units.isdecimal():
        raise InputError("--at-shelf", text, "SHELF=UNITS, such as lab-1=12")
    return shelf, int(units)
