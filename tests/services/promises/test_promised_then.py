"""A day that is over keeps what was promised on it, whatever is promised from now on."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import NOW, TODAY, describe
from pinset.chain.register import FarmBook, Promise, Weekday
from pinset.farm import register_store
from pinset.farm.models.register import RegisterKind
from pinset.services import memory
from pinset.services.books.books import buyers_view
from pinset.services.plans import planning_day
from pinset.services.promises import promises
from pinset.services.promises.promised_then import PromisedThen, promised_then
from pinset.services.views import PromiseWeek

WEEK = timedelta(days=7)


def days_of(day: date) -> Weekday:
    return list(Weekday)[day.weekday()]


WEEKLY = Promise("jars", "market", "grey", 15, "unit", "grain", weekday=days_of(TODAY))


@pytest.fixture(autouse=True)
def _unplanned(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(planning_day, "latest", lambda: None)


@pytest.fixture
def weekly(farm: FarmBook) -> FarmBook:
    """A promise of 15 jars a week since long ago, raised to 20 today."""
    before = replace(farm, promises=(WEEKLY,))
    describe(before)
    raised = replace(WEEKLY, amount=20)
    register_store.write([raised], TODAY, "", NOW)
    memory.forget_all()
    return replace(before, promises=(raised,))


def due(then: PromisedThen) -> list[tuple[Promise, date]]:
    found = then.due(TODAY - WEEK, TODAY + WEEK)
    return [(promise, day) for promise, day in found if promise.code == WEEKLY.code]


def row_on(day: date) -> PromiseWeek:
    rows = [row for _, week in promises.promises_view().weeks for row in week]
    [found] = [row for row in rows if (row.promise, row.day) == (WEEKLY.code, day)]
    return found


@pytest.mark.usefixtures("weekly")
def test_a_raised_promise_leaves_the_days_that_are_over_as_they_were(farm: FarmBook) -> None:
    assert row_on(TODAY - WEEK).promised == 15
    assert row_on(TODAY).promised == 20
    assert row_on(TODAY + WEEK).promised == 20
    [line] = [line for line in buyers_view() if line.code == "market"]
    [spawn] = [each.amount for each in farm.promises if each.measure == "unit"]
    units = [due for _, _, due, measure in line.delivered if measure == "unit"]
    assert units == [4 * (15 + spawn)]  # four weeks of what is promised by units


def test_what_was_missed_is_asked_for_as_it_was_promised_then(weekly: FarmBook) -> None:
    moved = replace(WEEKLY, amount=20, weekday=days_of(TODAY - timedelta(days=1)))
    register_store.write([moved], TODAY, "", NOW)
    memory.forget_all()
    then = promised_then(replace(weekly, promises=(moved,)), TODAY)
    assert [(p.amount, day) for p, day in due(then)] == [
        (15, TODAY - WEEK),
        (20, TODAY - timedelta(days=1) + WEEK),
    ]
    assert [each.amount for each in then.on(TODAY - WEEK) if each.code == WEEKLY.code] == [15]
    assert [each.amount for each in then.on(TODAY)] == [20]


def test_one_that_was_given_up_keeps_its_past(farm: FarmBook) -> None:
    describe(replace(farm, promises=(WEEKLY,)))
    register_store.write([], TODAY, "", NOW, retire=[(RegisterKind.PROMISE, WEEKLY.code)])
    memory.forget_all()
    then = promised_then(replace(farm, promises=()), TODAY)
    assert [day for _, day in due(then)] == [TODAY - WEEK]
    assert then.on(TODAY) == ()
