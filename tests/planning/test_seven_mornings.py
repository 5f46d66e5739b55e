"""Which far promises can be kept does not hang on the weekday on which the plan is made.

Far weeks are limited as a whole. Whichever of their days comes first, it must not speak for all.
The farms are invented.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.living import LivingLot
from pinset.chain.register import (
    Buyer,
    CookKind,
    FarmBook,
    Preparation,
    Promise,
    RoomKind,
    Steriliser,
    Weekday,
    Worker,
)
from pinset.planning.building.from_book import build_problem
from pinset.planning.model.columns import Model
from pinset.planning.model.model import build_model
from pinset.planning.model.programme import Change, run
from planning import six_varieties
from planning.small_farm import BLOCK, FRUITING, SPAWN, bought_route, small_farm

MONDAY = date(2026, 3, 9)
MORNINGS = [MONDAY + timedelta(days=day) for day in range(7)]
FAR, UNTIL = MONDAY + timedelta(days=75), MONDAY + timedelta(days=110)
DAYS = 130


def evenings(*weekdays: int) -> FarmBook:
    """Return the small farm, open from Monday to Saturday, with what it cooks opened at 18:30.

    It keeps for a day, so it is used on the morning after its cook or not at all. Somebody opens it
    on some evenings only.
    """
    cook = CookKind("block", 8.0, 40, 60, 100.0, keeps_days=1)
    late = tuple("17:00-20:30" if day in weekdays else 0.0 for day in range(7))
    block = replace(
        BLOCK,
        weekdays=(),
        preparations=(
            Preparation("fill", 30.0, 0.6, 15.0, RoomKind.PREPARATION),
            Preparation("cook", 23.0, 0.0, 0.0, RoomKind.STERILISER),
            Preparation("cool", 12.0, 0.0, 0.0, RoomKind.STERILISER),
        ),
    )
    route = replace(bought_route(), steps=(SPAWN, block, replace(FRUITING, weekdays=())))
    farm = small_farm(route)
    return replace(
        farm,
        farm=replace(farm.farm, working_days=tuple(Weekday)[:6]),
        sterilisers=(Steriliser("s", "Vat", "inc", (cook,), 12.0, 1, load_at="10:30"),),
        workers=(
            Worker("me", "Owner", (8.0,) * 6 + (0.0,), role="owner"),
            Worker("helper", "Helper", late),
        ),
        buyers=(Buyer("kitchen", "A kitchen"),),
        promises=(Promise("p", "kitchen", "bought", 4000, weekday=Weekday.FRI),),
    )


def model_of(book: FarmBook, living: tuple[LivingLot, ...], today: date) -> Model:
    problem, _ = build_problem(
        book, living, today, horizon_days=DAYS, whole_days=7, assume_prepared=False
    )
    return build_model(problem)


def far_short(model: Model) -> float:
    """Return what is short of the far promises, in kilograms, in the best plan in fractions."""
    found = run(model.programme, time_limit_s=60.0, change=Change(is_relaxed=True))
    assert found.values is not None
    return sum(
        float(found.values[column])
        for (_, _, day, _), column in model.short.items()
        if FAR <= model.problem.date_of(day) < UNTIL
    )


@pytest.mark.parametrize("weekdays", [(0, 2, 4), (2,), (5,), (1, 3)])
def test_an_opener_on_some_evenings_is_enough_for_every_far_week(weekdays: tuple[int, ...]) -> None:
    short = [far_short(model_of(evenings(*weekdays), (), morning)) for morning in MORNINGS]
    assert short == pytest.approx([0.0] * len(MORNINGS), abs=1e-3)


def test_a_far_week_holds_no_more_cooks_than_days_on_which_they_are_opened() -> None:
    """Two of 100 L, 50 bags that bear 22.5 kg at most; 33 kg a week are promised."""
    few, more = evenings(2), evenings(0, 2, 4)
    promise = replace(few.promises[0], amount=33_000)
    few, more = (replace(each, promises=(promise,)) for each in (few, more))
    short = [far_short(model_of(few, (), morning)) for morning in MORNINGS]
    weeks = (UNTIL - FAR).days // 7
    assert min(short) > weeks * (33.0 - 22.5) * 0.9
    assert max(short) - min(short) < 0.02 * weeks * 33.0
    assert max(far_short(model_of(more, (), each)) for each in MORNINGS) < 1e-3


def test_weeks_are_those_of_the_calendar() -> None:
    """The days that stand together far ahead are the same on every morning."""
    found = []
    for morning in MORNINGS:
        model = model_of(evenings(2), (), morning)
        begins = {model.problem.date_of(model.bucket(day)) for day in range(30, DAYS)}
        found.append({each for each in begins if FAR <= each < UNTIL})
        assert [len(model.days_of(model.bucket(day))) for day in (5, 13, 40)] == [1, 1, 7]
    assert all(each == found[0] and len(each) == 5 for each in found)
    assert {each.weekday() for each in found[0]} == {0}


def test_the_farm_of_six_varieties_keeps_its_far_promises_on_every_morning() -> None:
    book = six_varieties.six_variety_book()
    for morning in MORNINGS:
        living = six_varieties.six_variety_stock(morning)
        assert far_short(model_of(book, living, morning)) == pytest.approx(0.0, abs=0.1)


def test_what_is_too_much_for_a_farm_is_so_on_every_morning() -> None:
    """Twice what is promised is more than its rooms hold; what is short is so to a few percent.

    Not to the gram: on each morning the near days, the stock and the end of the plan are others.
    """
    book = six_varieties.six_variety_book()
    doubled = tuple(replace(each, amount=2 * each.amount) for each in book.promises)
    book = replace(book, promises=doubled)
    short, promised = [], 0.0
    for morning in MORNINGS:
        model = model_of(book, six_varieties.six_variety_stock(morning), morning)
        promised = sum(
            order.amount / 1000.0
            for order in model.problem.orders
            if order.step == "picked" and FAR <= model.problem.date_of(order.day) < UNTIL
        )
        short.append(far_short(model))
    assert min(short) > 0.05 * promised
    assert max(short) - min(short) < 0.03 * promised
