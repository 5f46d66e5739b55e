"""`pinset scan`: what labels name, what can happen next to those lots, and recording it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pinset.cli.despite import cooks_asked_for, despite_given, despite_option
from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Whole
from pinset.cli.output import as_json_option, known_errors, print_json, print_table
from pinset.cli.taps import Said, said_options
from pinset.errors import InputError
from pinset.services.words import weighed_in
from pinset.units import grams

if TYPE_CHECKING:
    from pinset.services.floor.records import HandView, LabelsRead, NextThing
    from pinset.services.floor.taps import Saying


@click.command()
@click.argument("labels", nargs=-1, required=True, metavar="PHOTO|CODE...")
@click.option("--do", "deed", default="", help="Record this of all of them: look, shake, lose ...")
@click.option("--count", type=Whole(), help="Units of each lot; of a transfer how many were made.")
@click.option("--weight", default="", help="Of a pick: 3kg, 6.6lb.")
@click.option("--choice", default="", help="The shelf, what was seen, or why it is held back.")
@click.option(
    "--shelf", default="", help="From which of its shelves, where a lot stands on several."
)
@despite_option
@said_options(note=False)
@as_json_option
@click.pass_context
@known_errors
def scan(
    context: click.Context,
    labels: tuple[str, ...],
    deed: str,
    count: int | None,
    weight: str,
    choice: str,
    shelf: str,
    despite: tuple[str, ...],
    said: Said,
    as_json: bool,
) -> None:
    """Read labels, typed or on photos, and show what can happen next to their lots."""
    open_chosen(context)
    from pinset.services.floor.in_hand import taken
    from pinset.services.floor.next_things import hand_view
    from pinset.services.floor.taps import Saying
    from pinset.services.floor.writing_down import write_down

    read = _read(labels)
    view = hand_view(taken((), read.held))
    if deed:
        if read.unread:
            raise InputError("label", read.unread[0].given, "labels of lots alive", _why(read))
        thing = _chosen(view, deed)
        saying = Saying(
            thing.deed,
            thing.amounts,
            thing.jobs,
            thing.makes or None,
            choice=choice,
            reason=said.reason,
        )
        saying = _counted(saying, count, shelf)
        if weight:
            saying = replace(saying, grams=_grams(weight))
        saying = replace(saying, despite=despite_given(despite))
        with cooks_asked_for():
            done = write_down(saying, person=said.person, client_id=said.client_id, at=said.moment)
        if as_json:
            print_json(done)
            return
        click.echo(done.sentence)
        for finding in done.findings:
            click.echo(f"! {finding}")
        return
    if as_json:
        print_json({"read": read, "hand": view})
    else:
        _print(view, read)
    if not view.lots:
        context.exit(1)


def _counted(saying: Saying, count: int | None, shelf: str) -> Saying:
    """Return what is said, with the units of each lot and the shelf they are taken from."""
    if count is not None and saying.makes:
        saying = replace(saying, makes=count)
    elif count is not None:
        amounts = tuple(replace(each, count=count) for each in saying.amounts)
        saying = replace(saying, amounts=amounts)
    return replace(saying, amounts=tuple(replace(each, shelf=shelf) for each in saying.amounts))


def _read(labels: Iterable[str]) -> LabelsRead:
    """Return what labels say: files of photos and codes, in the order given."""
    from pinset.services.floor.reading import read_photo, read_texts
    from pinset.services.floor.records import LabelsRead

    read = LabelsRead()
    for label in labels:
        file = Path(label)
        is_photo = "." in label and file.is_file()
        more = read_photo(file.read_bytes()) if is_photo else read_texts([label])
        read = LabelsRead((*read.held, *more.held), (*read.unread, *more.unread))
    return read


def _why(read: LabelsRead) -> str:
    return " ".join(
        part for each in read.unread for part in (each.sentence, each.hint, *each.near) if part
    )


def _chosen(view: HandView, deed: str) -> NextThing:
    found = next((thing for thing in view.things if thing.deed.value == deed), None)
    if found is None:
        offered = ", ".join(dict.fromkeys(thing.deed.value for thing in view.things))
        raise InputError("--do", deed, offered or "nothing, since nothing of it is alive")
    return found


def _grams(weight: str) -> int:
    from pinset.services.frame import frame

    return grams(weight, weighed_in(frame().units), "--weight")


def _print(view: HandView, read: LabelsRead) -> None:
    for lot in view.lots:
        units = f"/{lot.held.units_said}" if lot.held.units else ""
        click.echo(f"{lot.held.lot}{units}  {lot.line.words}\n{lot.sentence}")
        for remark in lot.remarks:
            click.echo(f"! {remark}")
    if view.things:
        click.echo("\nWhat can happen next")
        print_table(
            (
                ">" if thing.is_usual else "",
                thing.deed.value,
                thing.words,
                " ".join(f"{each.count} of {each.lot}" for each in thing.amounts),
                thing.detail,
            )
            for thing in view.things
        )
    for sentence in view.cautions:
        click.echo(f"Caution: {sentence}")
    for each in read.unread:
        click.echo(f"! {each.sentence} {each.hint}".rstrip())
        if each.near:
            click.echo(f"  {'  '.join(each.near)}")
