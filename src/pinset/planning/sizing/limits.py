"""What a steady week wants of each thing the farm has, and at which multiple it is full."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache

from pinset.chain.register import RoomKind
from pinset.planning.sizing.chain import NO_FLOW, WEEK, Days
from pinset.planning.sizing.farm import Chains
from pinset.planning.sizing.places import room_places, shelf_places, vessels_out
from pinset.planning.sizing.records import Full, ResourceNeed
from pinset.planning.sizing.work import (
    cook_needs,
    people_hours,
    people_minutes,
    steriliser_share,
)

HOUR = 60.0
DOUBLINGS = 10  # a farm is looked at from a thousandth to a thousand times what is wanted
HALVINGS = 14
NOTHING: Days = (0.0,) * WEEK


def _needs(chains: Chains, factor: float, *, is_whole: bool) -> dict[str, Days]:
    """Return by weekday what is wanted of every resource, by its key.

    Minutes are a day's; places and vessels stand on each day; cooks and hours are spread evenly.
    """
    flows = chains.flows(factor, is_whole=is_whole)
    cooks = cook_needs(chains.book, flows)
    people = people_minutes(chains.book, flows, cooks, chains.working, is_whole=is_whole)
    found: dict[str, Days] = {}
    for by in ("hours", "cooks"):
        share = steriliser_share(chains.book, cooks, len(chains.working), by=by, is_whole=is_whole)
        if share is not None and cooks:
            found[f"steriliser {by}"] = (share,) * WEEK
    found["bench"] = people["bench"]
    found["laboratory"] = people["bench"]
    found["people"] = tuple(sum(row[day] for row in people.values()) for day in range(WEEK))
    for kind, row in shelf_places(flows, is_whole=is_whole).items():
        found[f"places {kind.value}"] = row
    for climate, row in room_places(flows).items():
        found[f"grow {climate}"] = row
    for vessel, row in vessels_out(flows, is_whole=is_whole).items():
        found[f"vessel {vessel}"] = row
    return found


SUMMED = frozenset({"bench", "laboratory", "people"})
"""Resources whose weekdays add up; of others the fullest day counts."""


def _of_week(key: str, row: Sequence[float]) -> float:
    return sum(row) / HOUR if key in SUMMED else max(row)


def resources_of(chains: Chains, climates: Mapping[str, float]) -> tuple[ResourceNeed, ...]:
    """Return what is wanted of every resource beside what there is.

    Parameters
    ----------
    chains : Chains
        The farm and its steady weeks.
    climates : mapping of climate to places
        How the grow rooms are shared out.
    """
    whole = _needs(chains, 1.0, is_whole=True)
    plain = _needs(chains, 1.0, is_whole=False)
    found = []
    for key, row in whole.items():
        name, unit, has, by_day = _had(chains, key, climates)
        need = _of_week(key, row)
        proportion = _of_week(key, plain[key]) if key in plain else 0.0
        if key.startswith("steriliser "):
            need, proportion = need * (has or 0.0), proportion * (has or 0.0)
        if need <= NO_FLOW:
            continue
        busiest = max(range(WEEK), key=lambda day: row[day]) if key in SUMMED else None
        found.append(
            ResourceNeed(
                key=key,
                name=name,
                unit=unit,
                need=need,
                in_proportion=proportion,
                has=has,
                busiest=busiest,
                busiest_need=row[busiest] / HOUR if busiest is not None else 0.0,
                busiest_has=by_day[busiest] / HOUR if busiest is not None and by_day else 0.0,
            )
        )
    return tuple(found)


Had = tuple[str, str, float | None, Days]
"""Name and unit of a resource, what there is of it, and for minutes each weekday's."""


def _had(chains: Chains, key: str, climates: Mapping[str, float]) -> Had:
    book, days = chains.book, len(chains.working)
    first, _, rest = key.partition(" ")
    if first == "steriliser":
        each = [s.hours_per_day if rest == "hours" else s.cooks_per_day for s in book.sterilisers]
        name, unit = ("steriliser hours", "h") if rest == "hours" else ("cooks", "cooks")
        return name, unit, days * float(sum(each)), ()
    if first == "places":
        own = [room for room in book.rooms if room.kind is RoomKind(rest)]
        places = float(sum(room.holds for room in own)) if own else None
        return _room_words(rest), "places", places, ()
    if first == "grow":
        words = f"grow-room places in climate {rest}" if rest else "grow-room places"
        return words, "places", climates.get(rest, 0.0), ()
    if first == "vessel":
        kind = next((each for each in book.vessels if each.code == rest), None)
        count = kind.in_circulation if kind is not None else None
        words = f"vessels in circulation ({kind.name if kind else rest})"
        return words, "vessels", float(count) if count is not None else None, ()
    return _worked(chains, key)


def _worked(chains: Chains, key: str) -> Had:
    book = chains.book
    if key == "bench":
        table = float(sum(bench.minutes_per_day for bench in book.benches))
        row = tuple(table if day in chains.working else 0.0 for day in range(WEEK))
        return "hours at the clean bench", "h", sum(row) / HOUR if book.benches else None, row
    row = people_hours(book, chains.working, is_laboratory=key == "laboratory")
    words = "hours of people in the laboratory" if key == "laboratory" else "hours of people"
    return words, "h", sum(row) / HOUR if book.workers else None, row


def _room_words(kind: str) -> str:
    return "cold-store places" if kind == RoomKind.COLD.value else f"shelf places in {kind}"


def full_at(chains: Chains, resources: Iterable[ResourceNeed]) -> tuple[Full, ...]:
    """Return at which multiple each resource is full, the first bottleneck first."""

    @cache
    def needs(factor: float) -> dict[str, Days]:
        return _needs(chains, factor, is_whole=True)

    found = []
    for each in resources:
        if each.has is None:
            continue
        has = 1.0 if each.key.startswith("steriliser ") else each.has

        def fits(factor: float, key: str = each.key, has: float = has) -> bool:
            return _of_week(key, needs(factor).get(key, NOTHING)) <= has * (1.0 + 1e-9)

        factor = _largest(fits)
        if factor is not None:
            found.append(Full(each.key, each.name, factor))
    return tuple(sorted(found, key=lambda each: each.factor))


def _largest(fits: Callable[[float], bool]) -> float | None:
    """Return the largest factor that fits: 0 if none does, None if every one looked at does."""
    low = 2.0**-DOUBLINGS
    if not fits(low):
        return 0.0
    power = -DOUBLINGS
    while fits(2.0**power):
        power += 1
        if power > DOUBLINGS:
            return None
    low, high = 2.0 ** (power - 1), 2.0**power
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low
