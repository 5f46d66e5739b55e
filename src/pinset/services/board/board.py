"""The board: the plan by day and place, with what was fixed by hand."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta

from pinset.chain.pins import Pin
from pinset.chain.register import FarmBook, RoomKind
from pinset.chain.stages import noun_of, units_in_words
from pinset.errors import RefusedError
from pinset.planning.plan import Move, Plan, PlannedCook, Start
from pinset.services.board.places import (
    at_limit,
    is_place_out,
    place_of_step,
    places,
    room_places,
)
from pinset.services.board.views import BoardView, Card, Cell, Head, Row
from pinset.services.book_reader import Reader
from pinset.services.clock import now_utc
from pinset.services.day.out_of_use import in_force, outage_words
from pinset.services.jobs.of_starts import one_move_a_day, start_in_words
from pinset.services.plans import planning_day
from pinset.services.plans.stock_now import living_now
from pinset.services.words import WEEKDAYS, joined, long_day, plural

DAYS = 21
NEAR_DAYS = 14
LEAST_UNITS = 0.5
FULL = 0.98


def heads(book: FarmBook, today: date) -> tuple[Head, ...]:
    """Return the days of the board."""
    reader = Reader(book, today)
    return tuple(
        Head(
            day=day,
            words=long_day(day),
            short=f"{WEEKDAYS[day.weekday()][:3]} {day.day}",
            is_today=ahead == 0,
            is_off=not reader.works_on(day),
            is_far=ahead >= NEAR_DAYS,
        )
        for ahead in range(DAYS)
        for day in [today + timedelta(days=ahead)]
    )


def board(now: datetime | None = None) -> BoardView:
    """Return the board of today and the days with whole numbers."""
    book, today = planning_day.farm_book(now or now_utc())
    newest = planning_day.latest()
    reader, days = Reader(book, today), heads(book, today)
    plan = newest.plan if newest is not None else None
    cards: dict[tuple[str, date], list[Card]] = defaultdict(list)
    for place, card in cards_of(reader, plan):
        cards[place, card.day].append(card)
    taken = room_places(reader, living_now(book, today), moves_ahead(plan, today), DAYS)
    rows = tuple(
        Row(
            code=code,
            title=title,
            note=_note(book, code, kind),
            cells=tuple(
                _cell(book, plan, head, code, kind, tuple(cards[code, head.day]), taken)
                for head in days
            ),
        )
        for code, title, kind in places(book)
    )
    return BoardView(
        days=days,
        rows=tuple(row for row in rows if row.note or any(cell.cards for cell in row.cells)),
        planned_at=newest.made_at if newest is not None else None,
        notes=tuple(_notes(book, plan, today)),
        pins_cost=newest.pins_cost if newest is not None else (),
        changes=newest.changes if newest is not None else (),
    )


def moves_ahead(plan: Plan | None, today: date) -> tuple[Move, ...]:
    """Return the moves of a plan from today on, those of a day into one room as one."""
    moves = [] if plan is None else [move for move in plan.moves if move.day >= today]
    return one_move_a_day([move for move in moves if not move.provisional])


def cards_of(reader: Reader, plan: Plan | None) -> Iterator[tuple[str, Card]]:
    """Yield every card with the row it stands in: of the plan, and pins it has nothing for."""
    pins = pins_in_force(reader.book, reader.today)
    shown: set[tuple[str, str, date]] = set()
    if plan is not None:
        for place, card in _planned(reader, plan):
            shown.add((card.variety, card.step, card.day))
            yield place, _with_pin(card, pins, plan)
    for key, pin in pins.items():
        if key in shown:
            continue
        if pin.steriliser:
            yield pin.steriliser, _cook_pin_card(pin, plan)
        elif pin.variety in reader.varieties:
            yield place_of_step(reader, pin.variety, pin.step), _pin_card(pin, reader, plan)


def _planned(reader: Reader, plan: Plan) -> Iterator[tuple[str, Card]]:
    today, known = reader.today, reader.varieties
    for start in plan.starts:
        is_seen = start.day >= today and not start.provisional and start.variety in known
        if is_seen and start.count >= LEAST_UNITS:
            place = place_of_step(reader, start.variety, start.step)
            yield place, _start_card(start, reader)
    for move in moves_ahead(plan, today):
        if move.count >= LEAST_UNITS and move.variety in known:
            place = place_of_step(reader, move.variety, move.step, move.room)
            yield place, _move_card(move, reader)
    for cook in plan.cooks:
        if cook.day >= today and not cook.provisional and cook.cooks >= LEAST_UNITS:
            yield cook.steriliser, _cook_card(cook, reader)


def pins_in_force(book: FarmBook, today: date) -> Mapping[tuple[str, str, date], Pin]:
    """Return the pins of today and later, by variety, step and day.

    Of a cook by its steriliser and its kind.
    """
    return {(pin.of, pin.step, pin.day): pin for pin in book.pins if pin.day >= today}


def _start_card(start: Start, reader: Reader) -> Card:
    return Card(
        kind="order" if start.is_purchase else "start",
        day=start.day,
        variety=start.variety,
        step=start.step,
        words=start_in_words(start),
        name=reader.name(start.variety),
        stage=start.stage.value,
    )


def _move_card(move: Move, reader: Reader) -> Card:
    step = reader.step(move.variety, move.step)
    return Card(
        kind="move",
        day=move.day,
        variety=move.variety,
        step=move.step,
        words=units_in_words(step.stage, round(move.count)),
        name=reader.name(move.variety),
        detail=step.code,
        stage=step.stage.value,
    )


def _cook_card(cook: PlannedCook, reader: Reader) -> Card:
    litres = next(
        (
            kind.litres
            for machine in reader.book.sterilisers
            for kind in machine.cooks
            if (machine.code, kind.code) == (cook.steriliser, cook.kind)
        ),
        0.0,
    )
    fits = cook.cooks * litres
    return Card(
        kind="cook",
        day=cook.day,
        variety=cook.steriliser,
        step=cook.kind,
        words=plural(round(cook.cooks), f"{cook.kind} cook"),
        name=f"{cook.litres:.0f} of {fits:.0f} L",
        detail=f"{cook.hours:g} h",
        stage="prepared",
        is_cook=True,
    )


def _with_pin(card: Card, pins: Mapping[tuple[str, str, date], Pin], plan: Plan) -> Card:
    pin = pins.get((card.variety, card.step, card.day))
    if pin is None:
        return card
    return replace(card, is_pinned=True, is_broken=bool(words_of_pin(plan, pin)))


def words_of_pin(plan: Plan | None, pin: Pin) -> str:
    """Return what breaks a pin in the newest plan; nothing if it is kept, or newer than that."""
    kept = next((each for each in plan.pins if each.code == pin.code), None) if plan else None
    same = kept is not None and (kept.day, kept.count) == (pin.day, pin.count)
    return kept.words if kept is not None and same else ""


def _pin_card(pin: Pin, reader: Reader, plan: Plan | None) -> Card:
    step = reader.step(pin.variety, pin.step)
    is_bought = reader.is_bought(pin.variety, pin.step)
    words = units_in_words(step.stage, pin.count, is_bought=is_bought)
    return Card(
        kind="pin" if pin.count else "none",
        day=pin.day,
        variety=pin.variety,
        step=pin.step,
        words=words if pin.count else f"no {noun_of(step.stage, 2, is_bought=is_bought)}",
        name=reader.name(pin.variety),
        stage=step.stage.value,
        is_pinned=True,
        is_broken=bool(words_of_pin(plan, pin)),
    )


def _cook_pin_card(pin: Pin, plan: Plan | None) -> Card:
    cooks = plural(pin.count, f"{pin.step} cook")
    return Card(
        kind="pin" if pin.count else "none",
        day=pin.day,
        variety=pin.steriliser,
        step=pin.step,
        words=cooks if pin.count else f"no {pin.step} cook",
        name="",
        stage="prepared",
        is_pinned=True,
        is_broken=bool(words_of_pin(plan, pin)),
        is_cook=True,
    )


def _note(book: FarmBook, code: str, kind: RoomKind) -> str:
    """Return what a place holds; empty for one that is shown only if something is on it."""
    if kind is RoomKind.GROWING:
        return next(f"{room.holds} places" for room in book.rooms if room.code == code)
    if kind is RoomKind.STERILISER:
        machine = next(each for each in book.sterilisers if each.code == code)
        return f"{machine.hours_per_day:g} h a day"
    if kind is RoomKind.LABORATORY:
        return f"{sum(bench.minutes_per_day for bench in book.benches)} min at the bench"
    return ""


def _cell(
    book: FarmBook,
    plan: Plan | None,
    head: Head,
    code: str,
    kind: RoomKind,
    cards: tuple[Card, ...],
    taken: Mapping[tuple[str, date], float],
) -> Cell:
    is_out = is_place_out(book, code, kind, head.day)
    full, is_full = "", False
    if kind is RoomKind.GROWING:
        holds = next(room.holds for room in book.rooms if room.code == code)
        units = taken.get((code, head.day), 0.0)
        full, is_full = f"{units:.0f} of {holds}", units >= FULL * holds
    elif plan is not None and at_limit(plan, code, kind, head.day) is not None:
        full, is_full = "full", True
    return Cell(head, cards, full, is_full, is_out)


def _notes(book: FarmBook, plan: Plan | None, today: date) -> Iterator[str]:
    if plan is None:
        yield "This farm has not been planned yet."
        return
    known = {(pin.code, pin.day, float(pin.count)) for pin in plan.pins}
    in_book = {(p.code, p.day, float(p.count)) for p in pins_in_force(book, today).values()}
    of_plan = {key for key in known if key[1] >= today}
    newer = len({key[0] for key in in_book ^ of_plan})
    if newer:
        verb = "was" if newer == 1 else "were"
        yield f"{plural(newer, 'pin')} {verb} changed since the plan was made: plan again."
    yield from broken_words(book, plan, today)
    yield from (outage_words(book, each, today) for each in in_force(book, today))


def broken_words(book: FarmBook, plan: Plan, today: date) -> Iterable[str]:
    """Return what breaks pins that are still there, each in a sentence."""
    found = (words_of_pin(plan, pin) for pin in book.pins if pin.day >= today)
    return tuple(words for words in found if words)


def card_of(reader: Reader, plan: Plan | None, day: date, variety: str, step: str) -> Card:
    """Return one card; moves into several rooms are one.

    Raises
    ------
    RefusedError
        If there is nothing of it on that day.
    """
    found = [
        card
        for _, card in cards_of(reader, plan)
        if (card.day, card.variety, card.step) == (day, variety, step)
    ]
    if not found:
        raise RefusedError(
            f"The plan has nothing of that on {long_day(day)}.", "It may have been made anew."
        )
    if len(found) == 1:
        return found[0]
    return replace(found[0], words=joined([card.words for card in found]))
