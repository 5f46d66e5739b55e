"""How big a farm must be: steady weeks reckoned by hand, proportion, and what is refused."""

from __future__ import annotations

from dataclasses import replace
from math import ceil, inf, nan

import pytest

from pinset.chain.register import (
    CookKind,
    FarmBook,
    Flush,
    Promise,
    Room,
    RoomKind,
    Route,
    Shelf,
    Steriliser,
    Weekday,
)
from pinset.errors import InputError
from pinset.planning.sizing.chain import on_weekday
from pinset.planning.sizing.places import kept_picked, places_by_climate
from pinset.planning.sizing.records import ResourceNeed, Sizing, Wanted
from pinset.planning.sizing.sizing import size
from planning.six_varieties import kinds, six_variety_book
from planning.small_farm import BLOCK, SPAWN, bought_route, just, own_route, small_farm

KG = 1000.0


def need(sizing: Sizing, key: str) -> ResourceNeed:
    found = sizing.resource(key)
    assert found is not None, key
    return found


def factors(sizing: Sizing) -> dict[str, float]:
    return {each.key: each.factor for each in sizing.full}


def test_a_route_of_bought_spawn_by_hand() -> None:
    """45 kg: 90 blocks of 500 g moved on Mondays, so 100 begun on Thursdays (one in ten lost)."""
    sizing = size(small_farm(bought_route()), [Wanted("bought", 45 * KG)])
    spawn, block = sizing.steps
    assert block.started == pytest.approx(100)
    assert block.usable == pytest.approx(90)
    # Thursday and 14 days is a Thursday; the next Monday is 4 days later
    assert block.days == pytest.approx((100 * (14 + 4)) / 100)
    # a bag in ten blocks, and half a bag left over in the one batch
    assert spawn.started == pytest.approx(10 + 0.5)
    assert spawn.is_purchase
    assert spawn.cost_cents == pytest.approx(10.5 * 900)
    assert spawn.delivered == pytest.approx(10.5)
    # two Thursdays' blocks at any time, and from Thursday to Sunday those that wait for Monday
    assert need(sizing, "places incubation").need == pytest.approx(2 * 100 + 90)
    # spawn of Wednesday waits for Thursday, in the cold
    assert need(sizing, "places cold").need == pytest.approx(10.5)
    assert need(sizing, "places cold").in_proportion == pytest.approx(10)
    # in the room from the Monday of the move to that of the pick, both counted
    assert need(sizing, "grow cool").need == pytest.approx(2 * 90)
    (cook,) = sizing.cooks
    assert (cook.kind, cook.litres, cook.cooks, cook.whole_cooks, cook.hours) == (
        "block",
        pytest.approx(400),
        pytest.approx(4),
        pytest.approx(4),
        pytest.approx(20),
    )
    # 12 h and 2 cooks a day for 5 days: cooks are the narrower, 4 of 10
    assert cook.would_do == pytest.approx(100 * 4 / 10)
    assert need(sizing, "steriliser hours").need == pytest.approx(20)
    assert need(sizing, "steriliser cooks").need == pytest.approx(4)
    bench = need(sizing, "bench")
    assert bench.need * 60 == pytest.approx(100 * 2 + 30)
    assert (bench.busiest, bench.busiest_has) == (3, 4.0)
    assert sizing.bench_m == pytest.approx(230 / 240 * 1.2)
    assert {task: hours * 60 for task, hours in sizing.tasks} == pytest.approx(
        {
            "bench": 230,
            "preparation": 100 * 0.6 + 15,
            "cooks": 4 * 40,
            "moving": 100 * 0.5 + 90 * 0.7,
            "picking": 45 * 3,
            "packing": 45 * 2,
            "rounds": 5 * 15,
        }
    )
    full = factors(sizing)
    assert next(iter(full)) == "places incubation"
    assert full["places incubation"] == pytest.approx(250 / 290, rel=1e-3)
    assert full["grow cool"] == pytest.approx(200 / 180, rel=1e-3)
    # one and a half times: 600 L are 6 cooks; at 2.5 times ten, the week's last
    assert full["steriliser cooks"] == pytest.approx(2.5, rel=1e-3)
    assert sizing.remarks == ()


def test_what_is_spoilt_over_three_days_off_every_week_is_no_harvest() -> None:
    """Moved on Mondays it bears a third each on Friday, Saturday and Sunday; nobody works then.

    On Monday that of Friday has hung three days and is spoilt: 90 blocks bear 30 kg and not 45.
    """
    steps = tuple(
        replace(step, days=just(4), flushes=(Flush(just(0), 1.0, 3, 0.0),))
        if step.code == "fruiting"
        else step
        for step in bought_route().steps
    )
    book = small_farm(Route("bought", steps))
    all_week = size(book, [Wanted("bought", 45 * KG)])
    assert all_week.steps[1].usable == pytest.approx(90)
    assert all_week.remarks == ()
    short = replace(book.workers[0], hours=(8, 8, 8, 8, 0, 0, 0))
    sizing = size(replace(book, workers=(short,)), [Wanted("bought", 45 * KG)])
    assert sizing.steps[1].usable == pytest.approx(90 * 3 / 2)
    [remark] = sizing.remarks
    assert remark.startswith("Bought: 33% of what it bears ripens more than 2 days before")


def test_a_route_from_the_tube_by_hand() -> None:
    """22.5 kg: 50 blocks begun on Thursdays from 10 jars and a half, those from an eighth tube."""
    sizing = size(small_farm(own_route()), [Wanted("own", 22.5 * KG)])
    tube, grain, block = sizing.steps
    assert block.started == pytest.approx(50)
    assert grain.usable == pytest.approx(50 / 5 + 0.5)
    assert grain.started == pytest.approx(10.5 / 0.8)
    # part of a tube is taken: none is left over; 13.125 jars / 8, on Tuesdays
    assert tube.usable == pytest.approx(10.5 / 0.8 / 8)
    # Tuesday and 12 days is a Sunday; Thursday is 4 days later; one more is kept in hand
    # on Tuesdays a second batch joins the one of the week before
    assert grain.to_keep == ceil(13.125 * 2 + 10.5 + 1)
    # cooked the day before: filled on Monday; on Sunday to Wednesday 10.5 wait
    filled = [2 * 13.125 + 10.5 if day in {1, 2} else 0 for day in range(7)]
    filled[0] = 13.125 + 10.5 + 13.125  # Monday: those of last week, waiting, just cooked
    assert need(sizing, "vessel jar").need == pytest.approx(max(filled) + 1)
    assert need(sizing, "vessel jar").has == 80
    # half a place a jar, in the cold once ready; a tube started on Tuesday stands there from then
    tubes = 10.5 / 0.8 / 8
    assert need(sizing, "places incubation").need == pytest.approx(
        max(
            2 * 50 + 45 + 13.125 * 0.5 * weeks  # Thursday to Saturday two batches, then one
            for weeks in (2, 1)
        )
    )
    assert need(sizing, "places cold").need == pytest.approx(tubes + 1 + (10.5 + 1) * 0.5)
    litres = {cook.kind: cook.litres for cook in sizing.cooks}
    assert litres == pytest.approx({"block": 200, "grain": 13.125 * 1.25})
    whole = {cook.kind: cook.whole_cooks for cook in sizing.cooks}
    assert whole == pytest.approx({"block": 2, "grain": 1}), "a part load is a cook"


def test_a_tube_is_renewed_before_its_time() -> None:
    """So little is wanted that a tube would be needed once in years; it keeps 69 days."""
    sizing = size(small_farm(own_route()), [Wanted("own", 50.0)])
    tube = sizing.steps[0]
    assert tube.started == pytest.approx(7 / 70)
    assert tube.to_keep >= 2


def test_units_sold_are_added_to_what_is_used() -> None:
    book = small_farm(own_route())
    alone = size(book, [Wanted("own", 20.0, "grain")])
    assert [step.step for step in alone.steps] == ["tube", "grain"]
    assert alone.steps[1].started == pytest.approx(20 / 0.8)
    assert alone.grams == 0.0
    both = size(book, [Wanted("own", 22.5 * KG), Wanted("own", 20.0, "grain")])
    assert both.steps[1].usable == pytest.approx(20 + 10.5)


def everything(book: FarmBook, factor: float) -> Sizing:
    return size(book, [Wanted(kind.code, factor * kind.kg * KG) for kind in kinds()])


@pytest.mark.parametrize("factor", [0.05, 1.0, 7.0])
def test_double_the_kilograms_double_the_need(factor: float) -> None:
    book = six_variety_book()
    once, twice = everything(book, factor), everything(book, 2 * factor)
    rounds = 5 * 15 * 3 / 60  # three rooms walked through, whatever stands in them
    for each in once.resources:
        other = need(twice, each.key)
        fixed = rounds if each.key == "people" else 0.0
        assert other.in_proportion - fixed == pytest.approx(2 * (each.in_proportion - fixed)), each
        # with whole units and batches more than in proportion, never more than double
        assert each.need >= each.in_proportion - 1e-9
        assert each.need - 1e-9 <= other.need <= 2 * each.need + 1e-9


def test_each_thing_is_full_where_it_is_said() -> None:
    book = six_variety_book()
    sizing = everything(book, 1.0)
    assert [each.factor for each in sizing.full] == sorted(each.factor for each in sizing.full)
    for each in sizing.full[:4]:
        below, above = everything(book, 0.99 * each.factor), everything(book, 1.01 * each.factor)
        assert not need(below, each.key).is_short, each
        assert need(above, each.key).is_short, each


def test_kinds_are_shared_out_over_sterilisers() -> None:
    """Two vessels for blocks, one of them for grain too: 4 and 2 loads of blocks, then even."""
    book = small_farm(bought_route())
    second = Steriliser("second", "Second", "inc", (CookKind("block", 5.0, 40, 60, 50.0),), 12.0, 2)
    sizing = size(replace(book, sterilisers=(*book.sterilisers, second)), [Wanted("bought", 45e3)])
    # 400 L over 100 L and 50 L a load at equal numbers of cooks: 8/3 each, of 10 a week
    assert need(sizing, "steriliser cooks").need == pytest.approx(2 * 8 / 3)


def test_rooms_get_the_climates_that_leave_the_shortest_best_off() -> None:
    def room(code: str, holds: int, *climates: str) -> Room:
        return Room(code, code, RoomKind.GROWING, 15.0, (Shelf(code, holds),), climates)

    book = replace(
        small_farm(bought_route()),
        rooms=(room("a", 100, "cool"), room("b", 60, "cool", "warm"), room("c", 50)),
    )
    assert places_by_climate(book, {"cool": 120.0, "warm": 40.0}) == {"cool": 150.0, "warm": 60.0}
    assert places_by_climate(book, {"cool": 90.0, "warm": 100.0}) == {"cool": 100.0, "warm": 110.0}
    assert places_by_climate(book, {"dry": 10.0}) == {"dry": 50.0}


def test_a_farm_without_anything_still_says_what_it_would_take() -> None:
    book = replace(
        small_farm(bought_route()), rooms=(), sterilisers=(), benches=(), vessels=(), cultures=()
    )
    sizing = size(book, [Wanted("bought", 45 * KG)])
    assert need(sizing, "places incubation").has is None
    assert need(sizing, "bench").has is None
    assert need(sizing, "grow cool").has == 0.0
    assert factors(sizing)["grow cool"] == 0.0
    assert sizing.cooks[0].litres == pytest.approx(100 * 2.5 * 1.6)
    assert sizing.cooks[0].whole_cooks is None
    assert any("No steriliser is described" in remark for remark in sizing.remarks)
    assert any("No grow room gives the climate" in remark for remark in sizing.remarks)


def test_weekdays_that_do_not_fit_are_named() -> None:
    """Blocks ready on a Thursday that keep two days are past their time on Monday."""
    route = Route("bought", (SPAWN, replace(BLOCK, keeps_days_warm=2), *bought_route().steps[2:]))
    sizing = size(small_farm(route), [Wanted("bought", 45 * KG)])
    assert any("keeps 2 days once ready and would wait 4" in said for said in sizing.remarks)


def test_a_least_batch_that_is_too_large_is_named() -> None:
    route = Route("bought", (SPAWN, replace(BLOCK, minimum_batch=40), *bought_route().steps[2:]))
    sizing = size(small_farm(route), [Wanted("bought", 4.5 * KG)])
    assert any("least batch of 40 block" in said for said in sizing.remarks)


def test_what_is_picked_waits_for_the_day_it_leaves() -> None:
    """Picked on Monday, handed over on Wednesday and Friday: all of it waits until Wednesday."""
    picks, handed = (10.0, 0, 0, 0, 0, 0, 0), (0, 0, 4.0, 0, 6.0, 0, 0)
    assert kept_picked(picks, handed) == pytest.approx(10.0)
    same = (0, 0, 5.0, 0, 0, 0, 0)
    assert kept_picked(same, same) == pytest.approx(5.0)
    book = small_farm(bought_route())
    friday = Promise("p", "b", "bought", 9000, weekday=Weekday.FRI)
    sizing = size(replace(book, promises=(friday,)), [Wanted("bought", 45 * KG)])
    assert sizing.store_g == pytest.approx(45 * KG)


def test_littles_law_over_the_week() -> None:
    for weekday in range(7):
        for stay in (0, 1, 6, 7, 8, 20):
            row = on_weekday(weekday, 3.0, 2, 2 + stay)
            assert sum(row) / 7 == pytest.approx(3.0 * stay / 7)


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        ([Wanted("bought", 0.0)], "more than 0 of at least one variety"),
        ([], "more than 0 of at least one variety"),
        ([Wanted("bought", -1.0)], "0 to 1000000 kg a week"),
        ([Wanted("bought", nan)], "0 to 1000000 kg a week"),
        ([Wanted("bought", inf)], "0 to 1000000 kg a week"),
        ([Wanted("blue", 1.0)], "'blue' is not accepted; accepted is bought"),
        ([Wanted("bought", 3.0, "plate")], "'plate' is not accepted; accepted is spawn, block"),
        ([Wanted("bought", -3.0, "block")], "0 to 10000000"),
    ],
)
def test_what_is_refused(wanted: list[Wanted], words: str) -> None:
    with pytest.raises(InputError, match=words):
        size(small_farm(bought_route()), wanted)


def test_a_route_that_cannot_be_reckoned_is_left_out_and_named() -> None:
    book = small_farm(bought_route(), own_route())
    without = replace(book, routes=(bought_route(),))
    sizing = size(without, [Wanted("bought", 45 * KG), Wanted("own", 45 * KG)])
    assert sizing.grams == 45 * KG
    assert "Own has no route, so it is left out." in sizing.remarks
    with pytest.raises(InputError, match="Own has no route"):
        size(without, [Wanted("own", 45 * KG)])
    lost = Route("bought", (SPAWN, replace(BLOCK, loss=just(1.0)), *bought_route().steps[2:]))
    with pytest.raises(InputError, match="By its route all block of Bought are lost"):
        size(small_farm(lost), [Wanted("bought", 45 * KG)])
    barren = Route("bought", (SPAWN, BLOCK))
    with pytest.raises(InputError, match="ends in no grow room"):
        size(small_farm(barren), [Wanted("bought", 45 * KG)])
    nothing = Route("bought", (SPAWN, BLOCK, replace(bought_route().steps[2], yield_g=0.0)))
    with pytest.raises(InputError, match="gives no yield"):
        size(small_farm(nothing), [Wanted("bought", 45 * KG)])


def test_a_farm_on_which_nobody_works_is_refused() -> None:
    book = small_farm(bought_route())
    idle = replace(book, farm=replace(book.farm, working_days=()))
    with pytest.raises(InputError, match="at least one weekday"):
        size(idle, [Wanted("bought", 45 * KG)])
