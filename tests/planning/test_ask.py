"""Can it be promised? Yes, no, or from when; what it takes, endangers, and what would help."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from pinset.chain.register import FarmBook, Promise, Weekday
from pinset.planning.ask.ask import ENOUGH, Answer, ask
from pinset.planning.ask.help import Change
from pinset.planning.ask.trials import Farm
from pinset.planning.building.from_book import Delivered
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

CODE = "grey-oyster"
WANTED = 0.9


def farm(**changes: object) -> Farm:
    """Return one variety of the six, with its stock and its promises."""
    whole = six_variety_book()
    book = replace(
        whole,
        varieties=tuple(v for v in whole.varieties if v.code == CODE),
        promises=tuple(p for p in whole.promises if p.variety == CODE),
        **changes,  # type: ignore[arg-type]
    )
    living = tuple(lot for lot in six_variety_stock() if lot.variety == CODE)
    return Farm(book, living, TODAY, shares={CODE: 0.2})


def weekly(kilograms: float, *, weeks: int = 12, book: FarmBook | None = None) -> Promise:
    buyer = (book or six_variety_book()).buyers[0].code
    return Promise(
        "x", buyer, CODE, round(1000 * kilograms), weekday=Weekday.WED,
        from_date=TODAY + timedelta(weeks=weeks),
    )  # fmt: skip


@pytest.fixture(scope="module")
def small() -> Answer:
    return ask(farm(), weekly(2.0), wanted=WANTED)


@pytest.fixture(scope="module")
def large() -> Answer:
    return ask(farm(), weekly(400.0), wanted=WANTED)


def test_a_little_more_in_three_months_is_promised(small: Answer) -> None:
    assert small.is_yes
    assert small.holds_from == small.days[0].day
    assert all(each.chance >= WANTED - ENOUGH for each in small.days)
    assert small.days[0].day >= TODAY + timedelta(weeks=12)
    assert small.helps == small.short == ()


def test_it_takes_hours_substrate_and_units(small: Answer) -> None:
    """2 kg a week over the weeks judged, with its spare: at least what the weight itself needs."""
    weeks = len(small.days)
    book = farm().book
    route = next(r for r in book.routes if r.code == book.varieties[0].route)
    step = next(s for s in route.steps if s.code == "block")
    fruit = route.steps[-1]
    blocks = dict(small.cost.started)[f"{CODE} block"]
    grams = fruit.yield_g * 1.2  # at most: the mean of a yield lies above its mode
    assert blocks >= 2000.0 * weeks / grams
    assert small.cost.substrate_kg >= blocks * step.fill_g / 1000.0 - 1.0
    assert small.cost.hands_hours > 0.0


def test_four_hundred_kilograms_are_refused_with_reasons(large: Answer) -> None:
    assert not large.is_yes
    assert large.holds_from is None
    assert large.short
    assert all(short.reason for short in large.short)
    assert large.endangered, "others are less sure beside it"
    assert [e.after - e.before for e in large.endangered] == sorted(
        e.after - e.before for e in large.endangered
    )


def test_one_delivery_too_soon_is_put_off() -> None:
    """Tomorrow nothing more can be there; some weeks later it can."""
    asked = replace(weekly(6.0), weekday=None, from_date=None, on_date=TODAY + timedelta(days=1))
    answer = ask(farm(), asked, wanted=WANTED)
    assert not answer.is_yes
    assert answer.holds_from is None
    assert answer.later_day is not None
    assert (answer.later_day - TODAY).days % 7 == 1
    moved = ask(farm(), replace(asked, on_date=answer.later_day), wanted=WANTED)
    assert moved.is_yes


def test_what_would_help_is_tried() -> None:
    """Half the places: with the rest of them back it would do."""
    whole = six_variety_book()
    rooms = tuple(
        replace(room, shelves=tuple(replace(s, holds=max(1, s.holds // 4)) for s in room.shelves))
        if room.kind.value == "growing"
        else room
        for room in whole.rooms
    )
    answer = ask(farm(rooms=rooms), weekly(25.0), wanted=WANTED)
    assert not answer.is_yes
    assert Change.PLACES in {each.change for each in answer.helps}
    chances = [each.chance for each in answer.helps]
    assert chances == sorted(chances, reverse=True)
    none = ask(farm(rooms=rooms), weekly(25.0), wanted=WANTED, goes_on=lambda: False)
    assert none.helps == ()


def test_what_was_handed_over_already_is_not_asked_again() -> None:
    due = next(p for p in farm().book.promises)
    day = TODAY + timedelta(days=1)
    before = farm()
    answer = ask(replace(before, delivered=(Delivered(due.code, day, due.amount),)), weekly(2.0))
    assert answer.days


def test_a_far_promise_is_looked_at_far_ahead() -> None:
    answer = ask(farm(), weekly(2.0, weeks=26), wanted=WANTED)
    assert len(answer.days) >= 8
    assert answer.cost.days > 182
