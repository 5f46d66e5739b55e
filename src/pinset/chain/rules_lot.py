"""What must hold of the lots standing on the farm the day it is loaded."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from pinset.chain.bearing import most_borne_g
from pinset.chain.keeping import is_too_cold
from pinset.chain.lineage import Counters, limit_findings
from pinset.chain.lotcode import is_valid, nearest_valid
from pinset.chain.phases import CONTINUING, began_on
from pinset.chain.register import (
    Culture,
    FarmBook,
    Room,
    RoomKind,
    Route,
    Shelf,
    StandingLot,
    Step,
    StepKind,
    Variety,
)
from pinset.chain.rules_basis import Bound, outside, repeated, unknown, warning, wrong
from pinset.errors import Finding

ASK_FOR_A_NOTE = frozenset({"lot.picked-much", "lot.not-in-grow-room"})
"""What is hardly so is a problem, unless the note of the row says how it came about."""

EARLIEST = date(1990, 1, 1)
"""No culture, lot or promise is taken to be older than this."""

GRAMS_PER_KG = 1000
NAMED = 12  # shelves
_OVERFULL = 1e-9
_LOT = (
    Bound("count", 0, 1_000_000, "units"),
    Bound("made_count", 0, 1_000_000, "units"),
    Bound("generation", 0, 20, "grain generations"),
    Bound("transfers", 0, 100, "transfers"),
    Bound("picked_g", 0, 100_000_000, "g"),
)


@dataclass(frozen=True, slots=True)
class _Known:
    """What lots refer to, by code."""

    varieties: Mapping[str, Variety]
    routes: Mapping[str, Route]
    cultures: Mapping[str, Culture]
    shelves: Mapping[str, tuple[Room, Shelf]]
    codes: frozenset[str]

    def step_of(self, lot: StandingLot) -> tuple[Route, Step] | None:
        """Return the route and step of a lot, if both are known."""
        variety = self.varieties.get(lot.variety)
        route = None if variety is None else self.routes.get(variety.route)
        if route is None:
            return None
        found = next((step for step in route.steps if step.code == lot.step), None)
        return None if found is None else (route, found)


def check_lots(book: FarmBook, today: date | None) -> Iterator[Finding]:
    """Yield what is not right with the standing lots and how full the shelves are.

    Parameters
    ----------
    book : FarmBook
        The whole book, for what the lots refer to.
    today : date or None
        For dates in the future; None leaves that question aside.

    Yields
    ------
    Finding
        The record is ``lots CODE``, or ``lots row N`` for a lot without a code.
    """
    known = _Known(
        varieties={variety.code: variety for variety in book.varieties},
        routes={route.code: route for route in book.routes},
        cultures={culture.code: culture for culture in book.cultures},
        shelves={shelf.code: (room, shelf) for room in book.rooms for shelf in room.shelves},
        codes=frozenset(lot.code for lot in book.lots if is_valid(lot.code)),
    )
    mothers = {  # one that lies ahead is told of the culture itself
        code: culture
        for code, culture in known.cultures.items()
        if culture.mother_on and (today is None or culture.mother_on <= today)
    }
    rows_of: dict[str, list[StandingLot]] = {}
    for lot in book.lots:
        if lot.code:
            rows_of.setdefault(lot.code, []).append(lot)
    yield from repeated("lots", (lot.code for lot in book.lots if lot.code))
    for number, lot in enumerate(book.lots, start=1):
        record = f"lots {lot.code or f'row {number}'}"
        yield from _check_code(record, lot, known)
        yield from outside(record, lot, _LOT, "lot.number")
        yield from _check_counts(record, lot)
        yield from _check_references(record, lot, known)
        yield from _check_dates(record, lot, today)
        yield from older_than_mother(record, lot, mothers)
        found = known.step_of(lot)
        if found is not None:
            yield from _check_step(record, lot, *found, known)
            if today is not None:
                yield from _reckoned(record, lot, *found, today)
            if found[1].kind is StepKind.FRUIT:
                yield from _check_picked(record, lot, found[1], rows_of.get(lot.code, [lot]))
                yield from _check_fruiting_place(record, lot, found[1], known)
    yield from _check_shelves(book, known)


def _check_code(record: str, lot: StandingLot, known: _Known) -> Iterator[Finding]:
    if lot.code and not is_valid(lot.code):
        near = nearest_valid(lot.code, known.codes)
        accepted = "a code printed by pinset, such as 7K4MV, or nothing for a new one"
        hint = f"Nearest valid: {', '.join(near)}." if near else ""
        yield wrong("lot.code", record, "code", lot.code, accepted, hint)


def _check_counts(record: str, lot: StandingLot) -> Iterator[Finding]:
    if lot.count == 0:
        yield warning("lot.none-alive", record, "count 0: nothing of it is alive.", "Leave it out.")
    if lot.made_count is not None and lot.made_count < lot.count:
        accepted = f"{lot.count} (count) or more"
        yield wrong("lot.made-count", record, "made_count", lot.made_count, accepted)


def _check_references(record: str, lot: StandingLot, known: _Known) -> Iterator[Finding]:
    yield from unknown(record, "variety", lot.variety, known.varieties, "varieties")
    variety = known.varieties.get(lot.variety)
    route = None if variety is None else known.routes.get(variety.route)
    if route is not None:
        yield from unknown(record, "step", lot.step, {s.code for s in route.steps}, "steps")
    yield from unknown(record, "place", lot.place, known.shelves, "shelves")
    if not lot.culture:
        return
    yield from unknown(record, "culture", lot.culture, known.cultures, "cultures")
    culture = known.cultures.get(lot.culture)
    if culture is not None and culture.variety != lot.variety:
        accepted = f"a culture of {lot.variety}; this one is of {culture.variety}"
        yield wrong("lot.culture", record, "culture", lot.culture, accepted)


def _check_dates(record: str, lot: StandingLot, today: date | None) -> Iterator[Finding]:
    for field in ("made_on", "opened_on", "in_room_since", "keeps_until"):
        day: date | None = getattr(lot, field)
        if day is None:
            continue
        earliest = EARLIEST if field == "made_on" else max(EARLIEST, lot.made_on)
        if day < earliest:
            accepted = f"{earliest.isoformat()} or later"
            yield wrong("lot.date", record, field, day.isoformat(), accepted)
        elif today is not None and day > today and field != "keeps_until":
            accepted = f"today, {today.isoformat()}, or earlier"
            yield wrong("lot.future", record, field, day.isoformat(), accepted)


def older_than_mother(
    record: str, lot: StandingLot, cultures: Mapping[str, Culture]
) -> Iterator[Finding]:
    """Yield a finding if a lot would be older than the mother of its culture."""
    culture = cultures.get(lot.culture)
    if culture is None or culture.mother_on is None or culture.mother_on <= lot.made_on:
        return
    yield wrong(
        "lot.older-than-mother",
        record,
        "made_on",
        lot.made_on.isoformat(),
        f"{culture.mother_on.isoformat()}, the date of the mother of culture {culture.code}, or "
        "later",
        "Mend one of the two: made_on of the lot, or mother_on of the culture.",
    )


def _check_step(
    record: str, lot: StandingLot, route: Route, step: Step, known: _Known
) -> Iterator[Finding]:
    counters = Counters(max(0, lot.generation), max(0, lot.transfers))
    yield from limit_findings(route, step.stage, counters, record)
    if lot.in_room_since is not None and step.kind not in CONTINUING:
        accepted = f"nothing: units are made in step {step.code}, so made_on says it"
        given = lot.in_room_since.isoformat()
        yield wrong("lot.in-room-since", record, "in_room_since", given, accepted)
    if lot.picked_g and step.kind is not StepKind.FRUIT:
        accepted = f"0: step {step.code} is not fruiting"
        yield wrong("lot.not-fruiting", record, "picked_g", lot.picked_g, accepted)
    if lot.keeps_until is not None and step.kind is StepKind.FRUIT:
        accepted = f"nothing: step {step.code} is fruiting, and what fruits is picked by flushes"
        given = lot.keeps_until.isoformat()
        yield wrong("lot.keeps-until", record, "keeps_until", given, accepted)
    place = known.shelves.get(lot.place)
    if place is not None and is_too_cold(step, place[0].temperature_c):
        yield from _too_cold(record, step, place[0])


def with_beginning(lot: StandingLot, route: Route, today: date) -> StandingLot:
    """Return a lot with the day its ripening or fruiting began; reckoned where it is not given."""
    if lot.in_room_since is not None or route.step(lot.step).kind not in CONTINUING:
        return lot
    return replace(lot, in_room_since=began_on(route, lot.step, lot.made_on, today))


def _reckoned(
    record: str, lot: StandingLot, route: Route, step: Step, today: date
) -> Iterator[Finding]:
    began = with_beginning(lot, route, today).in_room_since
    if began is None or began == lot.in_room_since or lot.made_on > today:
        return
    yield warning(
        "lot.began-reckoned",
        record,
        f"in_room_since is not given: the units, made on {lot.made_on.isoformat()}, are taken to "
        f"have begun step {step.code} on {began.isoformat()}, after the days of the steps before.",
        "Give the day on which they did.",
    )


def _too_cold(record: str, step: Step, room: Room) -> Iterator[Finding]:
    if step.cold_min_c is None:
        yield warning(
            "lot.chilled",
            record,
            f"step {step.code} must not be chilled, and {room.code} is at "
            f"{round(room.temperature_c, 1):g} °C.",
            "Test it before use.",
        )
        return
    yield warning(
        "lot.too-cold",
        record,
        f"step {step.code} dies below {round(step.cold_min_c, 1):g} °C, and {room.code} is at "
        f"{round(room.temperature_c, 1):g} °C: the plan does not count on it.",
        "Carry it elsewhere and test it before use; if your strain bears it, say so in the route "
        "(cold_min_c).",
    )


def _check_picked(
    record: str, lot: StandingLot, step: Step, rows: Sequence[StandingLot]
) -> Iterator[Finding]:
    """Ask about a weight that the whole lot, at all its places, cannot well have borne."""
    units = max(sum(max(0, row.count) for row in rows), *(row.made_count or 0 for row in rows), 0)
    whole = units * step.yield_g
    most = most_borne_g(whole)
    if lot.picked_g <= most:
        return
    given_kg = lot.picked_g / GRAMS_PER_KG
    bears = f"{units} units bear about {whole / GRAMS_PER_KG:.3g} kg over all flushes"
    if lot.note:
        text = f"picked_kg {given_kg:g} is much: {bears}. It is taken as its note says."
        yield warning("lot.picked-much", record, text)
        return
    yield wrong(
        "lot.picked-much",
        record,
        "picked_kg",
        given_kg,
        f"0 to {most / GRAMS_PER_KG:.3g} kg: {bears}",
        "Look at its unit and at made_count; if it is right, say why in the note of the row.",
    )


def _check_fruiting_place(
    record: str, lot: StandingLot, step: Step, known: _Known
) -> Iterator[Finding]:
    """Ask about units that are picked and do not stand in a grow room."""
    place = known.shelves.get(lot.place)
    if place is None or place[0].kind is RoomKind.GROWING:
        return
    room = place[0]
    given = f"{lot.place} in {room.code}, a room of kind {room.kind}"
    if lot.note:
        text = f"place {given}: no grow room, but step {step.code} is picked. The note is believed."
        yield warning("lot.not-in-grow-room", record, text)
        return
    shelves = sorted(c for c, (each, _) in known.shelves.items() if each.kind is RoomKind.GROWING)
    listed = ", ".join(shelves[:NAMED]) + (" ..." if len(shelves) > NAMED else "")
    yield wrong(
        "lot.not-in-grow-room",
        record,
        "place",
        given,
        f"a shelf of a grow room, since step {step.code} is picked: {listed or '(none yet)'}",
        "If it does not fruit yet, give the step before; if it is right, say why in the note.",
    )


def _check_shelves(book: FarmBook, known: _Known) -> Iterator[Finding]:
    taken: dict[str, float] = {}
    for lot in book.lots:
        found = known.step_of(lot)
        if found is not None and lot.place in known.shelves:
            places = max(0, lot.count) * max(0.0, found[1].places)
            taken[lot.place] = taken.get(lot.place, 0.0) + places
    for code, places in taken.items():
        holds = known.shelves[code][1].holds
        if places > holds + _OVERFULL:
            yield warning(
                "shelf.over-full",
                f"shelves {code}",
                f"the lots on it take {places:.4g} places and it holds {holds}.",
                "Correct the places, the counts or where they stand.",
            )
