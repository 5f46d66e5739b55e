"""`pinset look` and `pinset round`: what was seen on a lot, what rooms show."""

from __future__ import annotations

from pathlib import Path

import click

from pinset.cli.done import say_done
from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Decimal, Whole
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.cli.taps import Said, said_options
from pinset.errors import InputError, RefusedError


@click.command()
@click.argument("lot", required=False)
@click.option(
    "--sign", "signs", multiple=True, metavar="KEY", help="What is seen; none: all is well."
)
@click.option("--where", default="", metavar="KEY", help="Where in the vessel.")
@click.option("--count", type=Whole(), default=None, help="Units that show it.")
@click.option(
    "--of", type=Whole(1), default=None, help="Units looked at, if not all that stand there."
)
@click.option("--place", default="", help="Shelf, if only one of several was looked at.")
@click.option("--out", is_flag=True, help="Take those that show it out in the same tap.")
@click.option("--photo", type=click.Path(path_type=Path, dir_okay=False), help="A photo of it.")
@said_options("who looked")
@as_json_option
@click.pass_context
@known_errors
def look(
    context: click.Context,
    lot: str | None,
    signs: tuple[str, ...],
    where: str,
    count: int | None,
    of: int | None,
    place: str,
    out: bool,
    photo: Path | None,
    said: Said,
    as_json: bool,
) -> None:
    """Write down what was seen on LOT; without a lot, say what is to be looked at today."""
    open_chosen(context)
    from pinset.services.looking import looked

    if lot is None:
        _listed(as_json=as_json)
        return
    seen = looked.Seen(
        signs=signs,
        where=where,
        seen=_count(count, signs),
        of=of,
        place=place,
        take_out=out,
        photo=_read(photo),
    )
    say_done(looked.look(said.about(lot), seen), as_json=as_json)


def _count(count: int | None, signs: tuple[str, ...]) -> int:
    if signs and count is None:
        raise RefusedError(
            "The number is missing.", "Say how many units show it with --count, such as --count 3."
        )
    return count or 0


def _read(photo: Path | None) -> bytes:
    if photo is None:
        return b""
    from pinset.services.looking.looked import MOST_PHOTO_BYTES

    try:
        with photo.open("rb") as file:
            return file.read(MOST_PHOTO_BYTES + 1)
    except OSError as problem:
        accepted = "a picture that can be read"
        raise InputError("--photo", str(photo), accepted, str(problem.strerror)) from problem


def _listed(*, as_json: bool) -> None:
    from pinset.services.looking.choosing import look_list

    view = look_list()
    if as_json:
        print_json(view)
        return
    click.echo(view.sentence)
    print_table(
        [line.lot, line.words, f"day {line.age_days}", line.left, line.place, line.shows_now]
        for place in view.due
        for line in place.lots
    )


@click.command(name="round")
@click.argument("room")
@click.option("--temperature", default="", help="Such as 18, '70 F' or '21 C'.")
@click.option("--humidity", default="", help="Such as 88 or '88 %'.")
@click.option("--co2", default="", help="Such as 800, '800 ppm' or '0.08 %'.")
@click.option(
    "--flies", type=Whole(0, 100_000), default=None, help="Flies on all sticky traps of the room."
)
@click.option("--traps", type=Whole(1, 100), default=1, help="How many traps.")
@click.option(
    "--days", type=Decimal(0, 60, "days"), default=None, help="Days since they were counted last."
)
@said_options("who walked")
@as_json_option
@click.pass_context
@known_errors
def round(  # noqa: A001  (the command's name)
    context: click.Context,
    room: str,
    temperature: str,
    humidity: str,
    co2: str,
    flies: int | None,
    traps: int,
    days: float | None,
    said: Said,
    as_json: bool,
) -> None:
    """Write down what ROOM shows on a round."""
    open_chosen(context)
    from pinset.services.frame import frame
    from pinset.services.looking import readings, walked

    read = readings.Readings(
        temperature_c=readings.temperature_of(temperature, frame().units),
        humidity_percent=readings.humidity_of(humidity),
        co2_ppm=readings.co2_of(co2),
        flies=flies,
        traps=traps,
        trap_days=days,
    )
    who = walked.Walk(said.person, said.client_id, said.moment, said.note, said.reason)
    say_done(walked.walked(who, [walked.RoomRead(room, read)]), as_json=as_json)
