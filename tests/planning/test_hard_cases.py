"""Farms that lack something: the rest still plans, and the plan says what could not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.living import LivingLot
from pinset.chain.register import (
    Farm,
    FarmBook,
    Promise,
    Route,
    Variety,
    Weekday,
    Worker,
)
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.planning.building.from_book import Delivered, Picked, build_problem
from pinset.planning.building.step_numbers import Safety
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.solve import solve
from planning.simulator import replay
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

BOOK = six_variety_book()
STOCK = six_variety_stock()


def only(code: str, book: FarmBook = BOOK) -> FarmBook:
    """Return the farm growing one variety."""
    return replace(
        book,
        varieties=tuple(v for v in book.varieties if v.code == code),
        promises=tuple(p for p in book.promises if p.variety == code),
    )


def lots_of(code: str) -> tuple[LivingLot, ...]:
    return tuple(lot for lot in STOCK if lot.variety == code)


def planned(
    book: FarmBook, living: tuple[LivingLot, ...], **given: object
) -> tuple[Problem, Plan, tuple[str, ...]]:
    problem, remarks = build_problem(book, living, TODAY, **given)  # type: ignore[arg-type]
    plan = solve(problem, time_limit_s=8.0, gap=0.02)
    assert plan.status in {"proven", "time limit", "nothing to plan"}
    assert replay(problem, plan).missing_units == pytest.approx(0.0, abs=0.05)
    return problem, plan, remarks


def test_empty_farm() -> None:
    book = FarmBook(farm=Farm("Nothing", 0.0, "Europe/Vienna"))
    problem, plan, remarks = planned(book, ())
    assert plan.status == "nothing to plan"
    assert not plan.starts
    assert not plan.short
    assert plan.gap == 0.0
    assert not remarks
    assert problem.days == 112


def test_no_stock_at_all_starts_from_the_culture() -> None:
    _, plan, _ = planned(only("grey-oyster"), ())
    first = min(plan.starts, key=lambda start: start.day)
    assert first.step in {"tube", "plate"}
    assert all(short.is_unavoidable for short in plan.short if short.day < date(2026, 4, 20))
    assert "at the earliest" in plan.short[0].reason


def test_impossible_promise_is_unavoidable() -> None:
    book = replace(
        only("grey-oyster"),
        promises=(
            Promise("dream", "market", "grey-oyster", 900_000, on_date=TODAY + timedelta(days=2)),
        ),
    )
    _, plan, _ = planned(book, lots_of("grey-oyster"))
    (short,) = (each for each in plan.short if each.is_unavoidable)
    assert short.promise == "dream"
    assert short.amount > 800_000
    assert short.promised == 900_000


def test_variety_without_a_route_leaves_the_rest_planned() -> None:
    book = replace(
        only("grey-oyster"),
        varieties=(
            *only("grey-oyster").varieties,
            Variety("enoki", "Enoki", "Flammulina filiformis", "no-such-route"),
        ),
        promises=(
            *only("grey-oyster").promises,
            Promise("enoki-1", "market", "enoki", 5000, weekday=Weekday.FRI),
        ),
    )
    _, plan, remarks = planned(book, lots_of("grey-oyster"))
    assert "Enoki has no route, so nothing is planned for it." in remarks
    assert plan.starts
    enoki = [short for short in plan.short if short.variety == "enoki"]
    assert len(enoki) == 16
    assert all(short.is_unavoidable and "no route" in short.reason for short in enoki)


@pytest.mark.parametrize("lacking", ["steriliser", "bench", "people", "room"])
def test_a_resource_at_zero(lacking: str) -> None:
    book = only("grey-oyster")
    changed = {
        "steriliser": replace(
            book, sterilisers=tuple(replace(s, hours_per_day=0.0) for s in book.sterilisers)
        ),
        "bench": replace(book, benches=tuple(replace(b, minutes_per_day=0) for b in book.benches)),
        "people": replace(book, workers=tuple(replace(w, hours=(0.0,) * 7) for w in book.workers)),
        "room": replace(book, rooms=tuple(r for r in book.rooms if not r.code.startswith("g"))),
    }[lacking]
    _, plan, remarks = planned(changed, lots_of("grey-oyster"))
    assert any(word in " ".join(remarks) for word in ("steriliser", "bench", "hours", "room"))
    resource = [short for short in plan.short if not short.is_unavoidable]
    if lacking == "room":
        assert all(short.is_unavoidable for short in plan.short)
        assert any("No grow room" in remark for remark in remarks)
    else:
        assert resource
        words = {"steriliser": "steriliser", "bench": "clean bench", "people": "busy"}
        assert words[lacking] in " ".join(short.reason for short in resource)


def test_steriliser_broken_for_weeks_is_named_with_its_days() -> None:
    problem, _ = build_problem(only("grey-oyster"), lots_of("grey-oyster"), TODAY)
    steriliser = problem.resources.sterilisers[0]
    hours = tuple(0.0 if 2 <= day <= 40 else h for day, h in enumerate(steriliser.hours))
    broken = replace(
        problem,
        resources=replace(problem.resources, sterilisers=(replace(steriliser, hours=hours),)),
    )
    plan = solve(broken, time_limit_s=8.0, gap=0.02)
    said = [short for short in plan.short if not short.is_unavoidable]
    assert said
    assert any("steriliser" in short.reason and "March" in short.reason for short in said)
    whole = solve(problem, time_limit_s=8.0, gap=0.02)
    assert sum(s.amount for s in plan.short) > sum(s.amount for s in whole.short) + 50_000
    unavoidable = sum(s.amount for s in plan.short if s.is_unavoidable)
    without = sum(s.amount for s in whole.short if s.is_unavoidable)
    assert unavoidable == pytest.approx(without, abs=1500)


def test_days_off_start_nothing() -> None:
    off = tuple(TODAY + timedelta(days=day) for day in range(4, 11))
    book = replace(only("grey-oyster"), farm=replace(BOOK.farm, days_off=off))
    _, plan, _ = planned(book, lots_of("grey-oyster"))
    assert plan.starts
    worked = {start.day for start in plan.starts} | {cook.day for cook in plan.cooks}
    worked |= {move.day for move in plan.moves}
    assert not worked & set(off)


def test_long_ripening_stretches_the_horizon() -> None:
    problem, plan, _ = planned(only("shiitake"), lots_of("shiitake"))
    recipe = problem.recipes[0]
    block = recipe.making("block")
    assert block is not None
    assert block.lead_days > 100
    assert problem.days > 140
    assert block.lead_days + 6 < problem.days
    near = [start for start in plan.starts if start.step == "block" and not start.provisional]
    assert near
    assert all(start.serves for start in near)
    ripening = [move for move in plan.moves if move.step == "ripening"]
    assert ripening
    assert all(move.room == "inc" for move in ripening)


def test_bought_spawn_arrives_on_delivery_weekdays() -> None:
    problem, plan, _ = planned(only("golden-oyster"), lots_of("golden-oyster"))
    orders = [start for start in plan.starts if start.is_purchase]
    assert orders
    for start in orders:
        assert start.ready_on.weekday() == Weekday.WED.number
        assert start.ready_on - start.day >= timedelta(days=5)
        assert not start.parents
    assert {making.step for making in problem.recipes[0].makings} == {"spawn", "block"}


def test_spawn_sold_in_units() -> None:
    route = next(route for route in BOOK.routes if route.code == "grey-oyster")
    spawn_only = Route(
        "spawn", tuple(s for s in route.steps if s.code in {"tube", "plate", "grain"})
    )
    book = replace(
        BOOK,
        routes=(spawn_only,),
        varieties=(Variety("spawn", "Oyster spawn", "P. ostreatus", "spawn", sold_as="grain"),),
        cultures=(),
        promises=(Promise("jars", "kitchen-a", "spawn", 12, "unit", "grain", weekday=Weekday.THU),),
    )
    _, plan, _ = planned(book, ())
    assert plan.short
    late = [short for short in plan.short if short.day > TODAY + timedelta(days=49)]
    assert not late
    assert all(short.measure == "unit" for short in plan.short)
    feeding = [start for start in plan.starts if start.step == "grain" and start.serves]
    assert feeding
    assert "grain jars of Oyster spawn for kitchen a" in feeding[0].why
    assert feeding[0].at_stake_measure == "unit"


def test_route_of_a_farm_without_a_laboratory_may_start_at_blocks() -> None:
    route = next(route for route in BOOK.routes if route.code == "golden-oyster")
    book = replace(only("golden-oyster"), benches=(), routes=(route,), cultures=())
    _, plan, remarks = planned(book, lots_of("golden-oyster"))
    assert plan.starts
    assert any("bench time is not limited" in remark for remark in remarks)


def test_what_is_delivered_and_in_store_is_counted() -> None:
    book = only("grey-oyster")
    friday = TODAY + timedelta(days=1)
    problem, _ = build_problem(
        book,
        (),
        TODAY,
        delivered=[Delivered("grey-oyster-market", friday, 16_000.0)],
        store=[Picked("grey-oyster", TODAY - timedelta(days=1), 20_000.0)],
    )
    order = next(order for order in problem.orders if order.day == 1)
    assert order.amount == 20_000.0
    assert order.promised == 36_000.0
    plan = solve(problem, time_limit_s=5.0, gap=0.05)
    assert not [short for short in plan.short if short.day == friday]


def test_held_and_uncleared_lots_are_not_used() -> None:
    lots = tuple(replace(lot, held="sister lots lost") for lot in lots_of("grey-oyster"))
    problem, remarks = build_problem(only("grey-oyster"), lots, TODAY)
    assert not problem.stock
    assert any("held back" in remark for remark in remarks)
    book = replace(
        only("grey-oyster"),
        cultures=tuple(
            replace(c, cleared=False) for c in BOOK.cultures if c.variety == "grey-oyster"
        ),
    )
    problem, remarks = build_problem(book, (), TODAY)
    tube = problem.recipes[0].makings[0]
    assert not tube.start_days
    assert any("cleared" in remark for remark in remarks)


def test_prepared_vessels_are_needed_once_they_are_counted() -> None:
    route = next(route for route in BOOK.routes if route.code == "grey-oyster")
    prepared = LivingLot(
        code="PREP",
        variety="",
        step="block",
        stage=Stage.PREPARED,
        alive=10,
        made_on=TODAY,
        step_since=TODAY,
        place="",
        room="lab",
        temperature_c=21.0,
        route=route,
    )
    book = replace(only("golden-oyster"), routes=BOOK.routes)
    _, plan, _ = planned(book, (*lots_of("golden-oyster"), prepared))
    today = [s for s in plan.starts if s.day == TODAY and s.step == "block"]
    assert sum(start.count for start in today) <= 10


def test_late_starts_may_be_made_up_now() -> None:
    book = only("grey-oyster")
    problem, _ = build_problem(book, lots_of("grey-oyster"), TODAY, late=[("grey-oyster", "block")])
    block = problem.recipes[0].making("block")
    assert block is not None
    assert {0, 1} <= set(block.start_days)


def test_safety_asks_for_more() -> None:
    plain, _ = build_problem(only("grey-oyster"), (), TODAY)
    careful, _ = build_problem(only("grey-oyster"), (), TODAY, safety=Safety(loss_quantile=0.95))
    assert plain.recipes[0].makings[-1].usable > careful.recipes[0].makings[-1].usable


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"horizon_days": 3}, "horizon_days: 3"),
        ({"horizon_days": 4000}, "horizon_days: 4000"),
        ({"whole_days": -1}, "whole_days: -1"),
        ({"whole_days": 200}, "whole_days: 200"),
    ],
)
def test_wrong_horizon_is_refused(given: dict[str, int], message: str) -> None:
    with pytest.raises(InputError, match=message):
        build_problem(BOOK, (), TODAY, **given)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"time_limit_s": 0.0}, "time_limit_s"),
        ({"gap": 1.5}, "gap"),
        ({"freeze_days": -1}, "freeze_days"),
        ({"change_cost": -0.1}, "change_cost"),
    ],
)
def test_wrong_solve_arguments_are_refused(given: dict[str, float], message: str) -> None:
    problem, _ = build_problem(only("grey-oyster"), (), TODAY)
    with pytest.raises(InputError, match=message):
        solve(problem, **given)  # type: ignore[arg-type]


def test_no_time_still_gives_a_plan() -> None:
    problem, _ = build_problem(BOOK, STOCK, TODAY)
    plan = solve(problem, time_limit_s=0.2)
    assert plan.status == "time limit"
    assert 0.0 <= plan.gap <= 1.0
    assert plan.seconds < 10.0
    assert replay(problem, plan).missing_units == pytest.approx(0.0, abs=0.05)


def test_nothing_is_printed(capfd: pytest.CaptureFixture[str]) -> None:
    problem, _ = build_problem(only("golden-oyster"), lots_of("golden-oyster"), TODAY)
    solve(problem, time_limit_s=5.0, gap=0.05)
    out, err = capfd.readouterr()
    assert out == ""
    assert err == ""


def test_a_rhythm_never_falls_on_days_when_nobody_comes() -> None:
    hours = (0.0, 8.0, 0.0, 0.0, 8.0, 0.0, 0.0)
    alone = replace(six_variety_book(), workers=(Worker("ann", "Ann", hours),))
    problem, _ = build_problem(alone, (), TODAY)
    weekdays = {
        problem.date_of(day).weekday()
        for recipe in problem.recipes
        for making in recipe.makings
        for day in making.start_days
    }
    assert weekdays <= {1, 4}
    assert weekdays


def test_an_early_hour_is_served_from_the_day_before() -> None:
    base = six_variety_book()
    promise = next(each for each in base.promises if each.measure == "gram")
    early = replace(
        base,
        buyers=tuple(
            replace(b, deliver_at="06:30" if b.code == promise.buyer else "") for b in base.buyers
        ),
    )
    plain, _ = build_problem(base, (), TODAY)
    moved, _ = build_problem(early, (), TODAY)
    before = {(o.promise, o.due): o.day for o in plain.orders}
    after = {(o.promise, o.due): o.day for o in moved.orders}
    assert set(before) == set(after)
    for (code, due), day in after.items():
        buyer = next(p.buyer for p in base.promises if p.code == code)
        is_weight = next(p.measure for p in base.promises if p.code == code) == "gram"
        expected = due - 1 if buyer == promise.buyer and is_weight else due
        assert day == expected
