"""What can happen next to the lots in hand, the usual thing first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime

from pinset.chain.living import LivingLot
from pinset.chain.seen_contaminated import sound_of
from pinset.chain.stages import Stage
from pinset.farm import whereabouts
from pinset.farm.queries.alive import living
from pinset.farm.queries.lots import LotRow, rows_by_code
from pinset.farm.stamp import Stamp, stamp
from pinset.services import cautions
from pinset.services.book_reader import Reader
from pinset.services.books.lots import lines
from pinset.services.cooks.judge.short_cooks import of_lot
from pinset.services.floor.job_offers import (
    AskedOf,
    asked_today,
    made_of,
    parents_wanted,
    transfers_from,
)
from pinset.services.floor.offers import Offer, Target, offers_of
from pinset.services.floor.records import Amount, Deed, Elsewhere, HandView, Held, InHand, NextThing
from pinset.services.jobs.records import JobKind
from pinset.services.looking.causes import causes_in
from pinset.services.looking.media import medium_of
from pinset.services.memory import remembered
from pinset.services.plans import planning_day
from pinset.services.views import LotLine
from pinset.services.words import joined, plural, sentences
from pinset.tables.signs import Medium

MOST_IN_HAND = 60
USE_RANK = 15
"""A transfer of today comes after what a job asks of the lot itself, before what its age says."""

CAUTIONS = {
    Deed.LOOK: ("mouldy-units",),
    Deed.LOSE: ("mouldy-units",),
    Deed.DISCARD: ("mouldy-units",),
    Deed.PICK: ("spores", "wrong-species", "food"),
    Deed.CLEAR: ("spores", "lifting"),
    Deed.USE: ("alcohol-flame",),
}
WORDS = {
    Deed.SHAKE: "Shaken",
    Deed.LOOK: "Looked over, nothing seen",
    Deed.CARRY: "Moved to another shelf",
    Deed.PICK: "Picked",
    Deed.CLEAR: "Spent, cleared out",
    Deed.DISCARD: "Past its time, thrown out",
    Deed.LOSE: "Lost",
    Deed.HOLD: "Hold back",
    Deed.RELEASE: "Offer again",
}
ONLY_ALONE = frozenset({Deed.PICK})
"""What is recorded of one lot at a time."""


def hand_view(held: Iterable[Held], *, now: datetime | None = None) -> HandView:
    """Return the lots in hand as they stand, and what may happen to all of them.

    Lots the farm does not have, or of which nothing is alive any more, are shown without anything
    that may happen to them.
    """
    _, today = planning_day.farm_book(now)
    return _hand_view(stamp(), tuple(held)[:MOST_IN_HAND], today.toordinal())


@remembered
def _hand_view(_stamp: Stamp, held: tuple[Held, ...], _today: int) -> HandView:
    book, today = planning_day.farm_book()
    reader = Reader(book, today)
    rows = rows_by_code({each.lot for each in held})
    held = tuple(each for each in held if each.lot in rows)
    said = {line.lot: line for line in lines([rows[each.lot] for each in held], book, today)}
    parts: dict[str, list[LivingLot]] = {each.lot: [] for each in held}
    for part in living(today, lots=list(parts)):
        parts[part.code].append(part)
    alive = [each for each in held if rows[each.lot].counts.alive]
    asked = asked_today(book, today) if alive else ()
    things = _things(alive, rows, parts, asked, reader) if alive else ()
    on_several = {
        lot: tuple((each.place, each.quantity) for each in found)
        for lot, found in whereabouts.units_of([each.lot for each in alive]).items()
        if len(found) > 1
    }
    keys = dict.fromkeys(key for thing in things for key in thing.cautions)
    return HandView(
        lots=tuple(
            replace(
                _in_hand(each, said[each.lot], rows[each.lot]),
                standing=on_several.get(each.lot, ()),
            )
            for each in held
        ),
        things=things,
        elsewhere=_elsewhere(held, asked),
        cautions=cautions.sentences(keys),
    )


def _in_hand(held: Held, line: LotLine, row: LotRow) -> InHand:
    counts = row.counts
    if counts.alive:
        where = f", {line.place}" if line.place else ""
        said = f"{counts.alive} alive of {counts.made}, day {line.age_days}{where}"
        said = f"{said}; {line.ready}" if line.ready else said
    else:
        said = f"nothing alive of {plural(counts.made, 'unit')}"
    remarks = [line.contaminated] if line.contaminated else []
    remarks += [f"Held back: {line.held}"] if line.held else []
    if counts.unexplained:
        units = plural(-counts.unexplained, "unit")
        remarks.append(f"{units} more were taken than stood there: count it again.")
    remarks += [each.sentence for each in of_lot(row.code)]
    return InHand(held, line, said, tuple(remarks))


def _things(
    held: Sequence[Held],
    rows: dict[str, LotRow],
    parts: dict[str, list[LivingLot]],
    asked: Sequence[AskedOf],
    reader: Reader,
) -> tuple[NextThing, ...]:
    used = whereabouts.units_at_places()
    offers = {
        each.lot: offers_of(
            parts[each.lot], rows[each.lot].counts.alive, asked, each.lot, reader, used
        )
        for each in held
    }
    alive = {each.lot: rows[each.lot].counts.alive for each in held}
    media = [_medium(rows[each.lot], parts[each.lot], reader) for each in held]
    ranked = [
        (
            max(of[deed].rank for of in offers.values()),
            replace(
                _said_of_all(deed, held, offers, alive),
                choices=causes_in(media) if deed is Deed.LOSE else (),
            ),
        )
        for deed in Deed
        if all(deed in of for of in offers.values()) and (len(held) == 1 or deed not in ONLY_ALONE)
    ]
    ranked += [
        (USE_RANK, _use(each, held, alive)) for each in _fitting(held, rows, parts, asked, reader)
    ]
    things = [thing for _, thing in sorted(ranked, key=lambda pair: pair[0])]
    return tuple(replace(thing, is_usual=number == 0) for number, thing in enumerate(things))


def _medium(row: LotRow, parts: Sequence[LivingLot], reader: Reader) -> Medium:
    """Return what a lot is looked at as: in the step in which most of it stands."""
    step = max(parts, key=lambda part: part.alive).step if parts else row.step
    return medium_of(row.stage, step, reader.book)


def _said_of_all(
    deed: Deed, held: Sequence[Held], offers: dict[str, dict[Deed, Offer]], alive: dict[str, int]
) -> NextThing:
    """Return one thing that may happen to each lot, as the thing that may happen to all."""
    own = [offers[each.lot][deed] for each in held]
    jobs = {offer.asked.code: offer.asked for offer in own if offer.asked}
    of_jobs = tuple(
        each.lot for each, offer in zip(held, own, strict=True) if offer.asked is not None
    )
    keys = [key for each in jobs.values() for key in each.job.cautions]
    return NextThing(
        deed=deed,
        words=_moved_words(own) if deed is Deed.MOVE else WORDS[deed],
        detail=joined(list(dict.fromkeys(offer.detail for offer in own if offer.detail))),
        amounts=tuple(
            Amount(each.lot, len(each.units) or offer.count, alive[each.lot], each.units)
            for each, offer in zip(held, own, strict=True)
        ),
        jobs=tuple(jobs),
        job_lots=of_jobs,
        is_weighed=deed is Deed.PICK,
        cautions=tuple(dict.fromkeys((*keys, *CAUTIONS.get(deed, ())))),
    )


def _moved_words(offers: Sequence[Offer]) -> str:
    """Return where lots go, in words: ``Moved into Grow room``."""
    targets: list[Target] = [offer.target for offer in offers if offer.target is not None]
    return f"Moved into {joined(list(dict.fromkeys(each.room.name for each in targets)))}"


def _fitting(
    held: Sequence[Held],
    rows: dict[str, LotRow],
    parts: dict[str, list[LivingLot]],
    asked: Sequence[AskedOf],
    reader: Reader,
) -> tuple[AskedOf, ...]:
    """Return the transfers of today for which every lot in hand is a parent."""
    found: list[tuple[AskedOf, ...]] = []
    for each in held:
        row, own = rows[each.lot], parts[each.lot]
        sound = sound_of(own)
        if row.stage == Stage.PREPARED.value or not sound or any(part.held for part in sound):
            return ()
        found.append(transfers_from(asked, row.variety, row.step, reader))
    first, *others = found
    return tuple(job for job in first if all(job in other for other in others))


def _use(asked: AskedOf, held: Sequence[Held], alive: dict[str, int]) -> NextThing:
    wanted = parents_wanted(asked, [each.lot for each in held])
    wanted = {each.lot: len(each.units) or wanted[each.lot] for each in held}
    wanted = {lot: min(units, alive[lot]) for lot, units in wanted.items()}
    job = asked.job
    what, _, _ = job.what.partition(" from ")
    said = [f"{units} of {lot}" for lot, units in wanted.items()]
    return NextThing(
        deed=Deed.USE,
        words=f"Used for {what}",
        detail=sentences([f"{asked.code}, {asked.left} left to make; takes {joined(said)}"]),
        amounts=tuple(
            Amount(each.lot, wanted[each.lot], alive[each.lot], each.units) for each in held
        ),
        jobs=(asked.code,),
        job_lots=tuple(each.lot for each in held),
        makes=made_of(asked, wanted),
        cautions=tuple(dict.fromkeys((*job.cautions, *CAUTIONS[Deed.USE]))),
    )


def _elsewhere(held: Sequence[Held], asked: Sequence[AskedOf]) -> tuple[Elsewhere, ...]:
    """Return the pages on which more can be said of the lots in hand."""
    codes = {each.lot for each in held}
    found = [
        Elsewhere(f"Decide: {each.job.what}", "cook", each.job.cook)
        for each in asked
        if each.job.kind is JobKind.DECIDE and codes & set(each.lots)
    ]
    found += [
        Elsewhere(f"All of {each.lot}: its life and counts", "lot", each.lot) for each in held
    ]
    return tuple(found)
