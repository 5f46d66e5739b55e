"""One sentence for each kind of entry, as the life of a lot tells it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from pinset.farm.entries import Account, Kind
from pinset.farm.queries.story import Happened
from pinset.farm.trade.parts import UNIT
from pinset.services.cooks.words import verdict_in_words
from pinset.services.loads.despite import despite_in_words
from pinset.services.looking.words import seen_in_words
from pinset.services.words import amount, joined, plural
from pinset.tables.signs import Medium
from pinset.units import show_grams

_Says = Callable[[Happened, str], str]
"""What one kind of entry says: the entry, and the farm's choice of units."""

TAKEN_BACK = {
    Kind.PREPARE: "the preparation",
    Kind.COOK: "the cook",
    Kind.VERDICT: "the verdict on the cook",
    Kind.LEARNT: "what a log taught",
    Kind.INOCULATE: "the transfer",
    Kind.RECEIVE: "the delivery that arrived",
    Kind.CLONE: "the clone",
    Kind.SHAKE: "the shaking",
    Kind.LOOK: "the look",
    Kind.LOSE: "the loss",
    Kind.CULL: "the taking out",
    Kind.SPEND: "the clearing out",
    Kind.MOVE: "the move",
    Kind.PICK: "the picking",
    Kind.PACK: "the packing",
    Kind.DELIVER: "the handing over",
    Kind.SELL: "the sale",
    Kind.WASTE: "the throwing away",
    Kind.DRY: "the drying",
    Kind.ROUND: "the round",
    Kind.SESSION: "what was said of the bench session",
    Kind.ORDER: "the order",
    Kind.JUDGE: "the judgement",
    Kind.PUT_OFF: "the putting off",
    Kind.DROP: "the dropping of the job",
    Kind.CORRECT: "the count",  # by hand: a taking back is not itself taken back
    Kind.CLEAN: "the chore",
    Kind.READ: "the reading of the instruction",
    Kind.NOTE: "the note",
}
"""What was taken back, as a grower names it."""

JUDGED = {
    "ready": "expected ready on",
    "use by": "to be used first, by",
    "watched": "to be looked at again on",
    "held": "held back",
    "released": "offered again",
    "kept": "kept all the same",
    "cleared": "cleared for use",
    "woken": "woken on a plate:",
}


@dataclass(frozen=True, slots=True)
class LookedAt:
    """What a look needs to be told: how old the lot was, and what it is looked at as."""

    age_days: int | None
    medium: Medium


def sentence_of(
    happened: Happened, lot: str, units: str = "metric", looked: LookedAt | None = None
) -> str:
    """Return what happened to a lot, without who and when.

    An entry may speak of several lots: numbers are those of ``lot``. ``units`` is the farm's choice
    of units, ``metric`` or ``us``; ``looked`` is for what a look at the lot is worth.
    """
    own = replace(
        happened,
        postings=tuple(p for p in happened.postings if p.lot == lot),
        mentions=tuple(m for m in happened.mentions if m.lot == lot and m.role != UNIT),
    )
    kind = Kind(happened.kind)
    # what a transfer made is told in the lives of its parents, too
    about = happened if kind in {Kind.INOCULATE, Kind.CLONE} else own
    if kind is Kind.LOOK and "radii" in happened.details:
        return _measured(happened.details)
    if kind is Kind.LOOK and looked is not None:
        is_its_own = len({m.lot for m in happened.mentions}) == 1
        seen = _seen(own, looked, happened.details if is_its_own else {})
        why = happened.details.get("why")
        return f"{seen}{_numbers(happened, lot)}{f': {why}' if why else ''}"
    said = f"{_SAID.get(kind, _plainly)(about, units)}{_numbers(happened, lot)}"
    given = happened.details.get("reason") or happened.details.get("cause")
    reason = "; ".join(str(part) for part in (given, happened.details.get("why")) if part)
    told = f"{said}: {reason}" if reason else said
    despite = despite_in_words(happened.details)
    return f"{told.rstrip('.')}. {' '.join(despite)}" if despite else told


def _seen(own: Happened, looked: LookedAt, said: Mapping[str, Any]) -> str:
    of = sum(m.count for m in own.mentions)
    keys, where = tuple(said.get("signs", ())), str(said.get("where", ""))
    seen = int(said.get("seen", 0))
    return seen_in_words(of, seen, keys, where, looked.age_days, looked.medium)


def _measured(said: Mapping[str, Any]) -> str:
    """Return how far a plate had grown: ``plate 1 measured: 12 mm, then 32 mm``."""
    radii = ", then ".join(f"{mm:g} mm" for _, mm, *_ in said["radii"])
    return f"plate {said.get('plate', 1)} measured: {radii}"


def _numbers(happened: Happened, lot: str) -> str:
    """Return the numbers of the units that were meant, where their labels were read."""
    named = ", ".join(m.value for m in happened.mentions if m.lot == lot and m.role == UNIT)
    return f", {'units' if ',' in named else 'unit'} {named}" if named else ""


def _plainly(happened: Happened, _units: str) -> str:
    return happened.kind


def _count(happened: Happened, account: Account) -> str:
    return plural(happened.total(account.value), "unit")


def _spoken_of(happened: Happened) -> str:
    return plural(sum(m.count for m in happened.mentions), "unit")


def _inoculated(happened: Happened, _units: str) -> str:
    made = joined(list(happened.lots_made))
    source = joined(sorted({parent for parent, _, _ in happened.links}))
    count = -happened.total(Account.MADE.value)
    return f"{plural(count, 'unit')} of {made} made from {source}"


def _cooked(happened: Happened, _units: str) -> str:
    where = happened.details.get("steriliser", "")
    return f"cooked in {where}, {plural(-happened.total(Account.MADE.value), 'unit')}"


def _cook_judged(happened: Happened, _units: str) -> str:
    if happened.is_corrected:
        by = happened.details.get("log_name") or "hand"
        return f"cook {happened.details.get('cook', '')}: judged by {by}, which was taken back"
    said = verdict_in_words(str(happened.details.get("verdict", "")), happened.details)
    by = f", by {name}" if (name := happened.details.get("log_name")) else ""
    return f"cook {happened.details.get('cook', '')}: {said}{by}"


def _moved(happened: Happened, _units: str) -> str:
    places = sorted({m.place for m in happened.mentions if m.place})
    steps = sorted({m.value for m in happened.mentions if m.value and m.role == "step"})
    into = f" into {joined(steps)}" if steps else ""
    return f"{_spoken_of(happened)} moved to {joined(places)}{into}"


def _picked(happened: Happened, units: str) -> str:
    grams = happened.total(Account.STORE.value, "gram")
    flushes = sorted({m.count for m in happened.mentions if m.role == "flush"})
    said = f"{amount(grams, 'gram', system=units)} picked"
    return f"{said}, flush {joined([str(f) for f in flushes])}" if flushes else said


def _delivered(happened: Happened, units: str) -> str:
    grams = happened.total(Account.DELIVERED.value, "gram")
    details = happened.details
    if dry := int(details.get("dry_grams", 0)):
        fresh = amount(grams, "gram", system=units)
        return (
            f"{show_grams(dry, units)} dried sold, counted as {fresh} of what went into the drier"
        )
    whom = details.get("outlet") or details.get("buyer", "a buyer")
    return f"{amount(grams, 'gram', system=units)} handed to {whom}"


def _dried(happened: Happened, units: str) -> str:
    grams = happened.total(Account.DRIED.value, "gram")
    return f"{amount(grams, 'gram', system=units)} of what was picked into the drier"


def _thrown_out(happened: Happened, units: str) -> str:
    grams = happened.total(Account.WASTE.value, "gram")
    return f"{amount(grams, 'gram', system=units)} of what was picked thrown out"


def _sold(happened: Happened, _units: str) -> str:
    return f"{_count(happened, Account.SOLD)} sold to {happened.details.get('buyer', 'a buyer')}"


def _corrected(happened: Happened, _units: str) -> str:
    if "recount" in happened.details:
        return f"counted again: {int(happened.details['recount']):+d}"
    word = str(happened.details.get("takes_back", ""))
    named = TAKEN_BACK.get(Kind(word)) if word in set(Kind) else None
    return f"{named or 'an entry'} was taken back"


def _judged(happened: Happened, _units: str) -> str:
    said = [f"{JUDGED.get(m.role, m.role)} {m.value}".strip() for m in happened.mentions]
    return joined(said)


_SAID: dict[Kind, _Says] = {
    Kind.OPENING: lambda h, _: f"taken into the books: {_count(h, Account.ALIVE)} alive",
    Kind.INOCULATE: _inoculated,
    Kind.CLONE: _inoculated,
    Kind.COOK: _cooked,
    Kind.VERDICT: _cook_judged,
    Kind.RECEIVE: lambda h, _: f"{_count(h, Account.ALIVE)} arrived",
    Kind.SHAKE: lambda h, _: f"{_spoken_of(h)} shaken",
    Kind.LOOK: lambda h, _: f"{_spoken_of(h)} looked over",
    Kind.LOSE: lambda h, _: f"{_count(h, Account.LOST)} lost to contamination",
    Kind.CULL: lambda h, _: f"{_count(h, Account.CULLED)} taken out",
    Kind.SPEND: lambda h, _: f"{_count(h, Account.SPENT)} cleared out, spent",
    Kind.MOVE: _moved,
    Kind.PICK: _picked,
    Kind.PACK: lambda *_: "packed",
    Kind.DELIVER: _delivered,
    Kind.SELL: _sold,
    Kind.WASTE: _thrown_out,
    Kind.DRY: _dried,
    Kind.JUDGE: _judged,
    Kind.CORRECT: _corrected,
    Kind.NOTE: lambda h, _: h.note or "note",
}
