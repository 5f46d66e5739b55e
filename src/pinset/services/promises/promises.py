"""Promises: what was kept and what is coming; adding, changing and ending them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from pinset.chain.register import FarmBook, Promise
from pinset.errors import RefusedError
from pinset.farm.models.register import RegisterKind
from pinset.planning.plan import Plan, Short
from pinset.planning.reading.shortage_words import worth_a_word
from pinset.services.book_reader import Reader
from pinset.services.books.register_change import retire, write_record
from pinset.services.bounds import MOST_WEEKS, within
from pinset.services.clock import now_utc
from pinset.services.cooks.judge import short_cooks
from pinset.services.plans import planning_day
from pinset.services.plans.stock_now import handed_over_on
from pinset.services.promises.begun import handed_over
from pinset.services.promises.chance_words import (
    chances_by_day,
    is_weak,
    surplus_in_words,
    why_weak,
    with_chance,
)
from pinset.services.promises.counted import counted_from
from pinset.services.promises.how_sure import aims_in_words
from pinset.services.promises.kept import KEPT, LATE, SETTLED, kept_of
from pinset.services.promises.promised_then import promised_then
from pinset.services.promises.repair_words import Tried, what_helps
from pinset.services.promises.since_the_plan import said_since
from pinset.services.views import PromisesView, PromiseWeek
from pinset.services.words import amount, first_upper, plural, sentences

WEEKS_BACK = 4


def promises_view(weeks: int = 8, now: datetime | None = None) -> PromisesView:
    """Return every promise of the last four weeks and of the coming ones.

    Raises
    ------
    InputError
        If the number of weeks is out of bounds.
    """
    within("weeks", weeks, 1, MOST_WEEKS)
    book, today = planning_day.farm_book(now)
    newest = planning_day.latest()
    monday = today - timedelta(days=today.weekday())
    first, last = monday - timedelta(weeks=WEEKS_BACK), monday + timedelta(days=7 * weeks - 1)
    rows = _rows(book, today, newest, first, last)
    by_week: dict[date, list[PromiseWeek]] = defaultdict(list)
    for row in rows:
        by_week[row.day - timedelta(days=row.day.weekday())].append(row)
    return PromisesView(
        day=today,
        sentence=_sentence(rows, weeks, planned=newest is not None),
        weeks=tuple((week, tuple(by_week[week])) for week in sorted(by_week)),
        remarks=(
            *short_cooks.remarks(),
            *((*said_since(newest, Reader(book, today)), *newest.remarks) if newest else ()),
        ),
        planned_at=newest.made_at if newest else None,
        gap=newest.plan.gap if newest else None,
        week_chances=tuple((w.monday, w.chance) for w in newest.chances.weeks) if newest else (),
        surplus=surplus_in_words(newest.chances, Reader(book, today), last) if newest else (),
        aims=aims_in_words(newest.aim, Reader(book, today)) if newest else (),
    )


def _rows(
    book: FarmBook, today: date, newest: planning_day.Planned | None, first: date, last: date
) -> list[PromiseWeek]:
    plan = newest.plan if newest else None
    chances = chances_by_day(newest.chances) if newest else {}
    delivered = handed_over_on(first, last, book.farm.time_zone)
    short = _short(plan, book.farm.units) if plan else {}
    planned_until = plan.start + timedelta(days=plan.days) if plan else today
    buyers = {buyer.code: buyer.name for buyer in book.buyers}
    varieties = {variety.code: variety.name for variety in book.varieties}
    since = counted_from(book.farm.time_zone)
    reader = Reader(book, today)
    tried = Tried.of(newest.repairs, newest.in_vain, today) if newest else Tried()
    rows = []
    for promise, day in promised_then(book, today).due(first, last):
        if day < since.get(promise.code, first):
            continue
        by_day = delivered.get((promise.code, day), {})
        handed = sum(by_day.values()) if by_day else None
        lack = short.get((promise.code, day))
        expected = promise.amount - round(lack.amount) if lack else promise.amount
        kept = kept_of(promise.amount, promise.measure, day, today, by_day, book.farm.units)
        state, reason = kept.state, kept.reason
        if not state:
            state, reason = _ahead(day, lack, planned_until)
        chance = chances.get((promise.code, day)) if day >= today else None
        if state == "on course" and chance is not None and is_weak(chance):
            state, reason = "unsure", why_weak(chance, book.farm.units)
        elif state in {"short", "unavoidable"} and chance is not None:
            state, reason = with_chance(state, reason, chance)
        if chance is not None and state in {"unsure", "short", "unavoidable"}:
            more = what_helps(
                tried, (promise.code, day), chance, promise.amount, handed or 0, reader,
                is_short=state != "unsure",
            )  # fmt: skip
            reason = f"{reason} {more}".rstrip()
        if kept.state:
            chance = None
        rows.append(
            PromiseWeek(
                promise=promise.code,
                buyer=buyers.get(promise.buyer, promise.buyer),
                variety=varieties.get(promise.variety, promise.variety),
                day=day,
                promised=promise.amount,
                measure=promise.measure,
                expected=max(0, expected),
                delivered=handed if handed is not None or day >= today else 0,
                state=state,
                reason=reason,
                late_days=kept.late_days,
                chance=chance.chance if chance else None,
                low=round(chance.low) + (handed or 0) if chance else None,
                high=round(chance.high) + (handed or 0) if chance else None,
            )
        )
    return sorted(rows, key=lambda row: (row.day, row.buyer, row.variety))


def _short(plan: Plan, units: str) -> dict[tuple[str, date], Short]:
    """Return what is short of each promise on its day, its parts together.

    It is unavoidable only if every part is, and every part says its own reason.
    """
    parts: defaultdict[tuple[str, date], list[Short]] = defaultdict(list)
    for each in worth_a_word(plan.short):
        parts[each.promise.split("@")[0], each.day].append(each)
    return {key: _together(found, units) for key, found in parts.items()}


def _together(parts: Sequence[Short], units: str) -> Short:
    """Return the parts of one lack as one, the largest first."""
    by_size = sorted(parts, key=lambda part: -part.amount)
    reasons: dict[str, float] = {}
    for part in by_size:
        reasons[part.reason] = reasons.get(part.reason, 0.0) + part.amount
    first = by_size[0]
    said = first.reason
    if len(reasons) > 1:
        said = " ".join(
            f"{first_upper(amount(each, first.measure, system=units))} of it: {reason}"
            for reason, each in reasons.items()
        )
    return replace(
        first,
        amount=sum(part.amount for part in parts),
        reason=said,
        is_unavoidable=all(part.is_unavoidable for part in parts),
    )


def _ahead(day: date, lack: Short | None, planned_until: date) -> tuple[str, str]:
    if lack is not None:
        return ("unavoidable" if lack.is_unavoidable else "short"), lack.reason
    if day > planned_until:
        return "not planned yet", ""
    return "on course", ""


def _sentence(rows: Sequence[PromiseWeek], weeks: int, *, planned: bool) -> str:
    past = [row for row in rows if row.state in SETTLED]
    late = sum(row.state == LATE for row in past)
    kept = sum(row.state == KEPT for row in past) + late
    weak = [row for row in rows if row.state in {"short", "unavoidable"}]
    if not planned:
        ahead = "There is no plan yet"
    elif weak:
        ahead = (
            f"{plural(len(weak), 'promise')} of the next {plural(weeks, 'week')} "
            f"{'is' if len(weak) == 1 else 'are'} short in expectation"
        )
    else:
        ahead = f"Every promise of the next {plural(weeks, 'week')} is met in expectation"
    unsure = sum(row.state == "unsure" for row in rows)
    if planned and unsure:
        are = "is" if unsure == 1 else "are"
        ahead += f"; {unsure} {'more ' if weak else ''}{are} met in fewer than 9 of 10 seasons"
    behind = f"{kept} of {len(past)} were kept since four weeks ago" if past else ""
    behind += f", {late} of them late" if past and late else ""
    return sentences([ahead, behind])


def save_promise(promise: Promise, person: str, now: datetime | None = None) -> None:
    """Add a promise or write a new version of it, from today on.

    Raises
    ------
    RefusedError
        If the farm's book would not hold with it; the sentence says why.
    """
    write_record(promise, person, now or now_utc())


def end_promise(code: str, person: str, now: datetime | None = None) -> None:
    """End a promise: it is due for the last time before today.

    Where something was handed over for a day from today on, that day is the last, so that the
    delivery still counts for its promise.

    Raises
    ------
    RefusedError
        If there is no such promise; if it is for one day and something was handed over for it.
    """
    moment = now or now_utc()
    book, today = planning_day.farm_book(moment)
    promise = planning_day.promise_by_code(book, code)
    if promise is None:
        raise RefusedError(f"There is no promise {code}.")
    handed = handed_over(promise, today, book.farm.time_zone)
    last = max([today - timedelta(days=1), *handed])
    if promise.on_date is not None or (promise.from_date and promise.from_date > last):
        retire(RegisterKind.PROMISE, code, person, moment)
    else:
        ended = replace(promise, until=last)
        write_record(ended, person, moment)


def new_promise_code(book: FarmBook, buyer: str, variety: str) -> str:
    """Return a code no promise has yet."""
    taken = {promise.code for promise in book.promises}
    base = f"{buyer}-{variety}"
    number = 1
    while (code := base if number == 1 else f"{base}-{number}") in taken:
        number += 1
    return code
