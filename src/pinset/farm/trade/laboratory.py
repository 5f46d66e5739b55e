"""Entries of the clean side: lots that come into being, cooks and preparation."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.farm.entries import (
    Account,
    Kind,
    Measure,
    NewEntry,
    NewLink,
    NewLot,
    NewMention,
    NewPosting,
)
from pinset.farm.trade.parts import ParentShare, Taken, Tap, appeared, moved, positive


def opening(
    tap: Tap,
    lot: NewLot,
    alive: int,
    place: str,
    *,
    made: int | None = None,
    step_since: date | None = None,
    opened_on: date | None = None,
    picked_g: int = 0,
    flush: int = 0,
) -> NewEntry:
    """A lot that is alive when the farm is loaded.

    Units of it that are gone already (``made`` less ``alive``) count as used, and grams picked
    before as delivered: pinset was not there to see.
    """
    made = alive if made is None else made
    if made < alive:
        raise InputError("made_count", made, f"at least the {alive} units alive now")
    source = Account.RECEIVED if lot.bought_from else Account.MADE
    postings = list(appeared(lot.code, source, Account.ALIVE, Measure.UNIT, alive, place=place))
    if made > alive:
        gone = made - alive
        postings.append(NewPosting(lot.code, source, Measure.UNIT, -gone))
        postings.append(NewPosting(lot.code, Account.USED, Measure.UNIT, gone))
    if picked_g:
        postings += appeared(
            lot.code, Account.GROWN, Account.DELIVERED, Measure.GRAM, picked_g, place=""
        )
    mentions = []
    if step_since is not None:
        mentions.append(NewMention(lot.code, "since", value=step_since.isoformat(), place=place))
    if opened_on is not None:
        mentions.append(NewMention(lot.code, "opened", value=opened_on.isoformat(), place=place))
    if flush:
        mentions.append(NewMention(lot.code, "flush", count=flush, value="before", place=place))
    return tap.entry(Kind.OPENING, lots=(lot,), postings=tuple(postings), mentions=tuple(mentions))


def receive(
    tap: Tap, lot: NewLot, count: int, place: str, *, details: Mapping[str, Any] | None = None
) -> NewEntry:
    """Bought spawn or blocks arrived."""
    postings = appeared(lot.code, Account.RECEIVED, Account.ALIVE, Measure.UNIT, count, place=place)
    return tap.entry(
        Kind.RECEIVE,
        lots=(lot,),
        postings=postings,
        details={"supplier": lot.bought_from, **(details or {})},
    )


def prepare(
    tap: Tap, task: str, count: int, *, details: Mapping[str, Any] | None = None
) -> NewEntry:
    """Work that makes no lot: soaked, boiled, mixed, filled, poured, cooled."""
    return tap.entry(
        Kind.PREPARE, details={"task": task, "count": positive("count", count), **(details or {})}
    )


def cook(
    tap: Tap,
    code: str,
    made: Sequence[tuple[NewLot, int]],
    place: str,
    *,
    steriliser: str,
    cook_kind: str,
    hold_minutes: int = 0,
    details: Mapping[str, Any] | None = None,
) -> NewEntry:
    """A load was heat-treated; each lot of it is prepared vessels.

    Parameters
    ----------
    tap : Tap
        Who and when.
    code : str
        Code of the cook; it becomes the ``cook`` of the lots.
    made : sequence of (NewLot, int)
        Lots of stage prepared, with their units; may be empty.
    place : str
        Shelf where they stand to cool.
    steriliser, cook_kind : str
        Codes from the farm's book.
    hold_minutes : int
        Holding time as read off. [min]
    details : mapping, optional
        Anything else that was noted.
    """
    postings: list[NewPosting] = []
    for lot, count in made:
        if lot.stage is not Stage.PREPARED:
            raise InputError("stage", lot.stage.value, "prepared, for vessels out of a cook")
        postings += appeared(
            lot.code, Account.MADE, Account.ALIVE, Measure.UNIT, count, place=place
        )
    said = {
        "cook": code,
        "steriliser": steriliser,
        "cook_kind": cook_kind,
        "hold_minutes": hold_minutes,
        **(details or {}),
    }
    return tap.entry(
        Kind.COOK,
        lots=tuple(replace(lot, cook=code) for lot, _ in made),
        postings=tuple(postings),
        mentions=tuple(NewMention(lot.code, "cooked", count, code, place) for lot, count in made),
        details=said,
    )


def inoculate(
    tap: Tap,
    parents: Sequence[ParentShare],
    child: NewLot,
    count: int,
    place: str,
    *,
    vessels: Sequence[Taken] = (),
    details: Mapping[str, Any] | None = None,
    kind: Kind = Kind.INOCULATE,
) -> NewEntry:
    """A new lot was made from parents.

    Parameters
    ----------
    tap : Tap
        Who and when.
    parents : sequence of ParentShare
        Whole units are used up; of a part use the vessel stays alive and is marked opened. None
        of a lot: the new one came out of a unit that an earlier entry used or opened.
    child : NewLot
        The new lot.
    count : int
        Units made.
    place : str
        Shelf where they stand.
    vessels : sequence of Taken
        Prepared vessels that were filled, used up.
    details : mapping, optional
        Spawn rate, bench, what else was noted.
    kind : Kind
        Clone, where a fruit goes back to a plate.
    """
    postings = list(
        appeared(child.code, Account.MADE, Account.ALIVE, Measure.UNIT, count, place=place)
    )
    links, mentions = list[NewLink](), []
    for parent in parents:
        links.append(NewLink(parent.lot, child.code, parent.units, parent.amount, parent.measure))
        if not parent.units:
            continue
        if parent.is_part:
            mentions.append(NewMention(parent.lot, "opened", parent.units, "", parent.place))
        else:
            taken = Taken(parent.lot, parent.units, parent.place)
            postings += moved(taken, Account.ALIVE, Account.USED, Measure.UNIT)
    for vessel in vessels:
        links.append(NewLink(vessel.lot, child.code, vessel.quantity))
        postings += moved(vessel, Account.ALIVE, Account.USED, Measure.UNIT)
    return tap.entry(
        kind,
        lots=(child,),
        postings=tuple(postings),
        links=_each_once(links),
        mentions=tuple(mentions),
        details=details,
    )


def _each_once(links: Sequence[NewLink]) -> tuple[NewLink, ...]:
    """Return links with units of one lot that stood at several places taken together."""
    found: dict[str, NewLink] = {}
    for link in links:
        before = found.get(link.parent)
        if before is not None:
            link = replace(  # noqa: PLW2901  (the same link, with what came before)
                link,
                units=before.units + link.units,
                amount=before.amount + link.amount,
                measure=before.measure if before.amount else link.measure,
            )
        found[link.parent] = link
    return tuple(found.values())
