"""Selling what was dried: by dry weight, counted back to what went into the drier."""

from __future__ import annotations

from datetime import datetime

from pinset.chain.outlets import NO_SOURCE
from pinset.chain.register import OutletKind, RoomKind
from pinset.errors import InputError, RefusedError
from pinset.farm import trade
from pinset.farm.queries.dried import DriedLot, dried_lots
from pinset.farm.trade import Taken, Tap
from pinset.services.answers.off_plan_entries import is_known, weighed, write_down
from pinset.services.answers.when_said import asked_about_when, refuse_ahead
from pinset.services.book_reader import Reader
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.views import Done
from pinset.services.words import GRAMS


def sell_dried(
    outlet: str,
    variety: str,
    dry_grams: int,
    *,
    person: str,
    client_id: str,
    at: datetime | None = None,
    note: str = "",
    reason: str = "",
    shown: str | None = None,
) -> Done:
    """Record a weight of dried mushrooms that was sold, at the price of its drier.

    By the drier's ratio it is counted as so much of the fresh weight that went in, the oldest lot
    first, and as no more than lies there: where a load gave more dry weight than the ratio says,
    the rest is sold with its last grams.

    Parameters
    ----------
    outlet, variety : str
        Codes, of a drier and of what was dried.
    dry_grams : int
        Weight from the scale, dry. [g]
    person, client_id : str
        Who sold it, and the random id of this tap.
    at : datetime, optional
        When; now if not given.
    note, reason : str
        Free text, and why although more is sold than lies dried.

    Raises
    ------
    InputError, RefusedError
        If the outlet is no drier or has no ratio, the variety is unknown, nothing of it lies dried,
        or more is sold than the books know of and no reason is given.
    """
    said = {"how": "dried sold", "outlet": outlet, "variety": variety, "grams": dry_grams}
    if is_known(client_id, said):
        return Done(client_id, already=True, sentence="This was recorded already.", findings=())
    moment = now_utc()
    book, today = planning_day.farm_book(moment)
    refuse_ahead(at, moment, book)
    reader = Reader(book, today)
    driers = {o.code: o for o in book.outlets if o.kind is OutletKind.DRYING and o.fresh_per_dry}
    if outlet not in driers:
        known = ", ".join(driers) or "a drier with its kilograms fresh for one dry"
        raise InputError("outlet", outlet, known)
    if variety not in reader.varieties:
        raise InputError("variety", variety, ", ".join(reader.varieties))
    drier, name = driers[outlet], reader.name(variety)
    ratio = drier.fresh_per_dry or 1.0
    lots = dried_lots(variety)
    there = sum(each.grams for each in lots)
    if not there:
        raise RefusedError(
            f"Nothing of {name} lies dried in the books.",
            "Record what went into the drier first.",
        )
    fresh = round(weighed(dry_grams) * ratio)
    given = written("reason", reason, LONGEST_REASON)
    dry_there = reader.mixed(there / ratio)
    against = []
    if fresh > there and reader.mixed(dry_grams) != dry_there:
        against.append(
            f"About {dry_there} of {name} lie dried ({ratio:g} fresh for 1 dry, "
            f"{drier.ratio_source or NO_SOURCE}), and {reader.mixed(dry_grams)} are to be sold."
        )
    if against and not given:
        hint = "Look at the scale and its unit; if it is right, give a reason."
        raise RefusedError(against[0], hint)
    entry = trade.sell_dried(
        Tap(client_id, at or moment, person, note=note),
        _oldest(lots, min(fresh, there)),
        buyer=drier.buyer,
        dry_grams=dry_grams,
        price_cents=round((drier.price_cents_per_kg or 0) * dry_grams / GRAMS),
        details={
            "grams": dry_grams,
            "dried_of": outlet,
            "fresh_per_dry": ratio,
            "room_kind": RoomKind.PACKING.value,
            **({"reason": given} if given else {}),
            **({"against": against} if against else {}),
        },
    )
    entry = asked_about_when(entry, moment, book, given)
    sentence = f"{reader.mixed(dry_grams)} dried {name} sold; no promise is answered by it."
    return write_down(entry, said, moment, sentence, shown)


def _oldest(lots: tuple[DriedLot, ...], grams: int) -> list[Taken]:
    taken, left = [], grams
    for each in lots:
        now = min(left, each.grams)
        if now > 0:
            taken.append(Taken(each.lot, now, ""))
            left -= now
    return taken
