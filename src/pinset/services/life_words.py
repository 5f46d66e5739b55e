"""One sentence for each kind of entry, as the life of a lot tells it."""

from __future__ import annotations

from collections.abc import Callable

from pinset.farm.entries import Account, Kind
from pinset.farm.queries.story import Happened
from pinset.services.words import amount, joined, plural


def sentence_of(happened: Happened) -> str:
    """Return what happened, without who and when."""
    said = _SAID.get(Kind(happened.kind), _plainly)(happened)
    reason = str(happened.details.get("reason") or happened.details.get("cause") or "")
    return f"{said}: {reason}" if reason else said


def _plainly(happened: Happened) -> str:
    return happened.kind


def _units(happened: Happened, account: Account) -> str:
    return plural(happened.total(account.value), "unit")


def _opening(happened: Happened) -> str:
    return f"taken into the books: {_units(happened, Account.ALIVE)} alive"


def _inoculated(happened: Happened) -> str:
    made = joined(list(happened.lots_made))
    source = joined(sorted({parent for parent, _, _ in happened.links}))
    units = -happened.total(Account.MADE.value)
    return f"{plural(units, 'unit')} of {made} made from {source}"


def _cooked(happened: Happened) -> str:
    where = happened.details.get("steriliser", "")
    return f"cooked in {where}, {plural(int(happened.details.get('count', 0)), 'unit')}"


def _moved(happened: Happened) -> str:
    places = sorted({m.place for m in happened.mentions if m.place})
    steps = sorted({m.value for m in happened.mentions if m.value})
    units = sum(m.count for m in happened.mentions)
    into = f" into {joined(steps)}" if steps else ""
    return f"{plural(units, 'unit')} moved to {joined(places)}{into}"


def _picked(happened: Happened) -> str:
    grams = happened.total(Account.STORE.value, "gram")
    flushes = sorted({m.count for m in happened.mentions if m.role == "flush"})
    return f"{amount(grams, 'gram')} picked, flush {joined([str(f) for f in flushes])}"


def _delivered(happened: Happened) -> str:
    grams = happened.total(Account.DELIVERED.value, "gram")
    return f"{amount(grams, 'gram')} handed to {happened.details.get('buyer', 'a buyer')}"


def _sold(happened: Happened) -> str:
    units = _units(happened, Account.SOLD)
    return f"{units} sold to {happened.details.get('buyer', 'a buyer')}"


def _corrected(happened: Happened) -> str:
    if "recount" in happened.details:
        return f"counted again: {int(happened.details['recount']):+d}"
    return f"took back: {happened.details.get('takes_back', 'an entry')}"


def _judged(happened: Happened) -> str:
    said = [f"{m.role}{' (' + m.value + ')' if m.value else ''}" for m in happened.mentions]
    return f"judged {joined(said)}"


_SAID: dict[Kind, Callable[[Happened], str]] = {
    Kind.OPENING: _opening,
    Kind.INOCULATE: _inoculated,
    Kind.CLONE: _inoculated,
    Kind.COOK: _cooked,
    Kind.RECEIVE: lambda h: f"{_units(h, Account.ALIVE)} arrived",
    Kind.SHAKE: lambda h: f"{plural(sum(m.count for m in h.mentions), 'unit')} shaken",
    Kind.LOOK: lambda h: f"{plural(sum(m.count for m in h.mentions), 'unit')} looked over",
    Kind.LOSE: lambda h: f"{_units(h, Account.LOST)} lost to contamination",
    Kind.CULL: lambda h: f"{_units(h, Account.CULLED)} taken out",
    Kind.SPEND: lambda h: f"{_units(h, Account.SPENT)} cleared out, spent",
    Kind.MOVE: _moved,
    Kind.PICK: _picked,
    Kind.PACK: lambda _: "packed",
    Kind.DELIVER: _delivered,
    Kind.SELL: _sold,
    Kind.JUDGE: _judged,
    Kind.CORRECT: _corrected,
    Kind.NOTE: lambda h: h.note or "note",
}
