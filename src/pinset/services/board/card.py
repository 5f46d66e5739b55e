"""One card of the board: why it is there, and moving, holding and freeing it by hand."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from math import ceil

from pinset.chain.pins import Pin, pin_code
from pinset.errors import RefusedError
from pinset.farm.models.register import RegisterKind
from pinset.planning.plan import Move, Plan, PlannedCook, Start
from pinset.services.board.board import card_of, heads, moves_ahead, pins_in_force, words_of_pin
from pinset.services.board.views import CardView
from pinset.services.book_reader import Reader
from pinset.services.books.register_change import retire, write_records
from pinset.services.clock import now_utc
from pinset.services.jobs.of_starts import parents_in_words
from pinset.services.plans import planning_day
from pinset.services.words import joined, long_day, plural

FOLLOWS = (
    "A cook follows from the starts that need it. Held or moved here, those are planned round it. "
    "What is loaded stays."
)
OF_TODAY = "A cook of today is laid already: load it, or put it off on Today. What is loaded stays."


def card_view(day: date, variety: str, step: str, now: datetime | None = None) -> CardView:
    """Return one card with its reasons.

    Raises
    ------
    RefusedError
        If there is nothing of it on that day.
    """
    book, today = planning_day.farm_book(now or now_utc())
    newest = planning_day.latest()
    plan = newest.plan if newest is not None else None
    reader = Reader(book, today)
    card = card_of(reader, plan, day, variety, step)
    title = f"{card.words}, {card.name}" if card.name else card.words
    if card.is_cook and day == today and card.kind == "cook":
        return CardView(card, title, long_day(day), why=OF_TODAY)
    own = _of_plan(plan, today, day, variety, step)
    pin = pins_in_force(book, today).get((variety, step, day))
    first = own[0] if own else None
    source = parents_in_words(first.parents, reader, variety) if isinstance(first, Start) else ""
    if isinstance(first, Move):
        source = joined(list(dict.fromkeys(share.lot for share in first.lots)))
    return CardView(
        card=card,
        title=title,
        when=long_day(day),
        why=_why(first),
        source=source,
        serves=reader.promise_words(
            code for each in own if not isinstance(each, PlannedCook) for code in each.serves
        ),
        spoils=first.spoils if isinstance(first, Start) else "",
        slack=_slack_of(own),
        count=_count(own) if own else (pin.count if pin else 0),
        pin=pin.code if pin is not None else "",
        pinned=_pinned(pin),
        broken=words_of_pin(plan, pin) if pin is not None else "",
        days=tuple(
            (head.day.isoformat(), head.words)
            for head in heads(book, today)
            if head.day != day and not head.is_off
        ),
        can_change=True,
    )


def _of_plan(
    plan: Plan | None, today: date, day: date, variety: str, step: str
) -> Sequence[Start | Move | PlannedCook]:
    if plan is None:
        return ()
    key = (day, variety, step)
    starts = [each for each in plan.starts if (each.day, each.variety, each.step) == key]
    moves = [
        each for each in moves_ahead(plan, today) if (each.day, each.variety, each.step) == key
    ]
    cooks = [each for each in plan.cooks if (each.day, each.steriliser, each.kind) == key]
    return [*starts, *moves, *cooks]


def _why(first: Start | Move | PlannedCook | None) -> str:
    if first is None:
        return ""
    return FOLLOWS if isinstance(first, PlannedCook) else first.why


def _count(own: Sequence[Start | Move | PlannedCook]) -> int:
    counts = (each.cooks if isinstance(each, PlannedCook) else each.count for each in own)
    return ceil(sum(counts) - 1e-6)


def _slack_of(own: Sequence[Start | Move | PlannedCook]) -> str:
    days = [each.slack_days for each in own if not isinstance(each, PlannedCook)]
    return _slack(min(days)) if days else ""


def _slack(days: int) -> str:
    if days <= 0:
        return "It cannot wait: something that is promised hangs on it."
    return f"It can wait {plural(days, 'day')} before something that is promised is touched."


def _pinned(pin: Pin | None) -> str:
    if pin is None:
        return ""
    when = long_day(pin.day)
    said = f"{pin.count} pinned for {when}" if pin.count else f"Not on {when}"
    return f"{said}. {pin.note}".strip()


def hold(day: date, variety: str, step: str, person: str, now: datetime | None = None) -> None:
    """Pin what the plan has of a start or a move to its day.

    Raises
    ------
    RefusedError
        If there is nothing of it on that day, or it follows from other work.
    """
    moment = now or now_utc()
    view = _changeable(day, variety, step, moment)
    write_records([_pin(view, day, view.count, view.pin)], person, moment)


def not_on(day: date, variety: str, step: str, person: str, now: datetime | None = None) -> None:
    """Pin that a start or a move is not on its day.

    Raises
    ------
    RefusedError
        As :func:`hold`.
    """
    moment = now or now_utc()
    view = _changeable(day, variety, step, moment)
    write_records([_pin(view, day, 0, view.pin)], person, moment)


def move_to(
    day: date, variety: str, step: str, to: date, person: str, now: datetime | None = None
) -> None:
    """Pin a start or a move to another day, together with what the plan has there, and not here.

    Raises
    ------
    RefusedError
        As :func:`hold`; if nobody works on the other day, or it is not on the board.
    """
    moment = now or now_utc()
    view = _changeable(day, variety, step, moment)
    book, today = planning_day.farm_book(moment)
    if to.isoformat() not in dict(view.days):
        raise RefusedError(
            f"Nothing can be moved to {long_day(to)}.",
            "Choose a day of the next three weeks on which somebody works.",
        )
    newest = planning_day.latest()
    there = _of_plan(newest.plan if newest else None, today, to, variety, step)
    other = pins_in_force(book, today).get((variety, step, to))
    more = other.count if other is not None else _count(there)
    pins = [
        _pin(view, to, view.count + more, other.code if other else ""),
        _pin(view, day, 0, view.pin),
    ]
    write_records(pins, person, moment)


def take_off(day: date, variety: str, step: str, person: str, now: datetime | None = None) -> None:
    """Take the pin off a start or a move.

    Raises
    ------
    RefusedError
        If there is none.
    """
    moment = now or now_utc()
    book, today = planning_day.farm_book(moment)
    pin = pins_in_force(book, today).get((variety, step, day))
    if pin is None:
        raise RefusedError(f"Nothing of that is pinned on {long_day(day)}.")
    retire(RegisterKind.PIN, pin.code, person, moment)


def _changeable(day: date, variety: str, step: str, moment: datetime) -> CardView:
    view = card_view(day, variety, step, moment)
    if not view.can_change:
        raise RefusedError(OF_TODAY)
    if not view.count:
        raise RefusedError("There is nothing on this card to hold or to move.", "Take the pin off.")
    return view


def _pin(view: CardView, day: date, count: int, code: str) -> Pin:
    of, step = view.card.variety, view.card.step
    own = code or pin_code(of, step, day)
    if view.card.is_cook:
        return Pin(own, "", step, day, count, steriliser=of)
    return Pin(own, of, step, day, count)
