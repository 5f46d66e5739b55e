"""Places in a steady week: shelves by kind of room, grow rooms by climate, vessels that come back.

Little's law by weekday: units a week, times the days each stands, over seven; and, because starts
keep weekdays, the fullest day of the week instead of the mean.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from pinset.chain.register import FarmBook, RoomKind
from pinset.planning.sizing.chain import WEEK, Cohort, Days, Flow, StepFlow, added, on_weekday

MOST_SPREADS = 2000
"""Ways of giving rooms their climates that are followed up; all of them on any usual farm."""


def standing(step: StepFlow) -> Days:
    """Return the units of a making that grow, ripen or wait, by weekday."""
    return added([_present(step, cohort) for cohort in step.cohorts])


def _present(step: StepFlow, cohort: Cohort) -> Days:
    """Return started units until they are usable, then those that are, until they are used."""
    ready = cohort.lead_days
    first = 0 if not step.making.is_purchase else ready  # on order they stand elsewhere
    return added(
        [
            on_weekday(cohort.weekday, cohort.started, first, ready),
            on_weekday(cohort.weekday, cohort.usable, ready, ready + cohort.wait_days),
        ]
    )


def shelf_places(flows: Iterable[Flow], *, is_whole: bool) -> dict[RoomKind, Days]:
    """Return the places taken by weekday in each kind of room that units stand in."""
    rows: dict[RoomKind, list[Days]] = {}
    for flow in flows:
        for step in flow.steps:
            making = step.making
            for cohort in step.cohorts:
                for stay in making.stays:
                    amount = cohort.started * stay.places
                    row = on_weekday(cohort.weekday, amount, stay.from_day, stay.until_day)
                    rows.setdefault(stay.room, []).append(row)
                amount = cohort.usable * making.waits_places
                begins = cohort.lead_days
                row = on_weekday(cohort.weekday, amount, begins, begins + cohort.wait_days)
                rows.setdefault(making.waits_in, []).append(row)
            if is_whole and step.cohorts and making.culture_stock > 0.0:
                in_hand = making.culture_stock * making.waits_places
                rows.setdefault(making.waits_in, []).append((in_hand,) * WEEK)
    return {
        kind: row for kind, all_rows in rows.items() if max(row := added(all_rows), default=0.0) > 0
    }


def room_places(flows: Iterable[Flow]) -> dict[str, Days]:
    """Return the grow-room places taken by weekday, by climate; an empty name: any will do."""
    rows: dict[str, list[Days]] = {}
    for flow in flows:
        fruiting = flow.recipe.fruiting
        if fruiting is None or not any(flow.moves):
            continue
        rows.setdefault(fruiting.climate, []).extend(
            on_weekday(weekday, moved * fruiting.places, 0, fruiting.days_in_room)
            for weekday, moved in enumerate(flow.moves)
        )
    return {climate: added(all_rows) for climate, all_rows in rows.items()}


def places_by_climate(book: FarmBook, wanted: Mapping[str, float]) -> dict[str, float]:
    """Return how many grow-room places each climate gets, if rooms are shared out best.

    A room has one climate at a time, so it is given to one whole. Best is what leaves the climate
    that is shortest of places with the largest share of what it wants.
    """
    climates = sorted(wanted)
    spreads: set[tuple[float, ...]] = {(0.0,) * len(climates)}
    rooms = [room for room in book.rooms if room.kind is RoomKind.GROWING and room.holds > 0]
    for room in sorted(rooms, key=lambda each: (len(each.climates) or len(climates), -each.holds)):
        fit = [
            place
            for place, climate in enumerate(climates)
            if not climate or not room.climates or climate in room.climates
        ]
        if fit:
            spreads = {
                (*each[:place], each[place] + room.holds, *each[place + 1 :])
                for each in spreads
                for place in fit
            }
            ranked = sorted(spreads, key=lambda each: _least(each, climates, wanted), reverse=True)
            spreads = set(ranked[:MOST_SPREADS])
    best = max(sorted(spreads), key=lambda each: _least(each, climates, wanted))
    return dict(zip(climates, best, strict=True))


def _least(
    spread: Sequence[float], climates: Sequence[str], wanted: Mapping[str, float]
) -> tuple[float, ...]:
    return tuple(
        sorted(
            have / max(wanted[climate], 1e-9)
            for have, climate in zip(spread, climates, strict=True)
        )
    )


def vessels_out(flows: Iterable[Flow], *, is_whole: bool) -> dict[str, Days]:
    """Return how many vessels that come back are filled by weekday: from cook until emptied."""
    rows: dict[str, list[Days]] = {}
    for flow in flows:
        fruiting = flow.recipe.fruiting
        for step in flow.steps:
            making = step.making
            if not making.vessel:
                continue
            found = rows.setdefault(making.vessel, [])
            before = making.cook_days_before if making.cook else 0
            for cohort in step.cohorts:
                found.append(_present(step, cohort))
                found.append(
                    on_weekday((cohort.weekday - before) % WEEK, cohort.started, 0, before)
                )
            if is_whole and step.cohorts:
                found.append((making.culture_stock,) * WEEK)
            if fruiting is not None and fruiting.parent == making.step:
                found += [
                    on_weekday(weekday, moved, 0, fruiting.days_in_room)
                    for weekday, moved in enumerate(flow.moves)
                ]
    return {vessel: added(all_rows) for vessel, all_rows in rows.items()}


def kept_picked(picks: Sequence[float], handed: Sequence[float]) -> float:
    """Return the most grams in the cold store of picked mushrooms on any day of the week.

    Parameters
    ----------
    picks, handed : sequence of float
        By weekday, the same in all. What is picked on a day may be handed over on it. [g]
    """
    store = low = most = 0.0
    for day in range(2 * WEEK):
        store += picks[day % WEEK]
        most = max(most, store)
        store -= handed[day % WEEK]
        low = min(low, store)
    return most - low
