from collections import Counter
from datetime import date, timedelta

import pytest

from pinset.chain.plain import from_plain, to_plain
from pinset.chain.register import FarmBook, RoomKind, StepKind, Weekday
from pinset.chain.route_rules import check_book
from pinset.demo.rhythm import route_of, weekly_load
from pinset.demo.shed import book, opening_book

THURSDAY = date(2026, 3, 12)


@pytest.fixture(scope="module")
def farm() -> FarmBook:
    return book(THURSDAY)


def test_it_says_that_it_is_invented(farm: FarmBook) -> None:
    assert "invented" in farm.farm.name


def test_six_varieties_three_people_five_kitchens_and_a_market(farm: FarmBook) -> None:
    assert len(farm.varieties) == 6
    assert len(farm.workers) == 3
    assert all(33 <= sum(worker.hours) <= 45 for worker in farm.workers)
    fed = {p.buyer for p in farm.promises if p.measure == "gram"}
    assert len(fed) == 6
    assert sum(p.amount for p in farm.promises if p.measure == "gram") == 190_000
    assert farm.farm.altitude_m == 1240.0


def test_one_variety_ripens_long_and_one_is_bought(farm: FarmBook) -> None:
    long = [r for r in farm.routes for s in r.steps if s.code == "ripening" and s.days.mean > 80]
    bought = [r for r in farm.routes if any(s.kind is StepKind.BUY for s in r.steps)]
    assert len(long) == 1
    assert len(bought) == 1
    kept = {culture.variety for culture in farm.cultures}
    assert {v.code for v in farm.varieties} - kept == {"golden-oyster"}


def test_the_book_survives_plain_values(farm: FarmBook) -> None:
    assert from_plain(FarmBook, to_plain(farm)) == farm


def test_names_point_at_what_exists(farm: FarmBook) -> None:
    vessels = {vessel.code for vessel in farm.vessels}
    kinds = {kind.code for machine in farm.sterilisers for kind in machine.cooks}
    climates = {climate for room in farm.rooms for climate in room.climates}
    rooms = {room.code for room in farm.rooms}
    assert {machine.room for machine in farm.sterilisers} <= rooms
    assert {bench.room for bench in farm.benches} <= rooms
    for variety in farm.varieties:
        route = route_of(farm, variety)
        codes = [step.code for step in route.steps]
        for step in route.steps:
            assert not step.vessel or step.vessel in vessels
            assert not step.cook or step.cook in kinds
            assert not step.climate or step.climate in climates
            for parent in step.parents:
                assert codes.index(parent.step) < codes.index(step.code)
    buyers = {buyer.code for buyer in farm.buyers}
    assert {promise.buyer for promise in farm.promises} == buyers


def test_nothing_is_wrong_with_the_book(farm: FarmBook) -> None:
    assert check_book(farm, THURSDAY) == ()
    assert check_book(opening_book(THURSDAY), THURSDAY) == ()


def test_flush_shares_leave_room_for_flushes_not_taken(farm: FarmBook) -> None:
    for route in farm.routes:
        fruiting = route.step("fruiting")
        assert 0.8 <= sum(flush.share for flush in fruiting.flushes) <= 1.0


def test_the_week_fits_the_farm_but_only_just(farm: FarmBook) -> None:
    load = weekly_load(farm)
    bench = farm.benches[0].minutes_per_day
    assert 0.85 * bench < max(load.bench_minutes.values()) <= bench
    fits = {kind.code: kind.litres for machine in farm.sterilisers for kind in machine.cooks}
    for (kind, weekday), litres in load.litres.items():
        assert litres <= fits[kind], f"{kind} on {weekday}"
        assert weekday in farm.farm.working_days
    assert max(litres / fits[kind] for (kind, _), litres in load.litres.items()) > 0.85
    hours = sum(sum(worker.hours) for worker in farm.workers)
    assert 0.6 * hours < load.labour_hours < 0.8 * hours
    circulating = next(v.in_circulation for v in farm.vessels if v.code == "jar")
    assert circulating is not None
    assert 0.7 * circulating < load.jars_out < circulating
    for room in farm.rooms:
        if room.climates:
            assert 0.7 * room.holds < sum(load.places[c] for c in room.climates) < room.holds
    incubation = sum(room.holds for room in farm.rooms if room.kind is RoomKind.INCUBATION)
    assert load.places["incubation"] + load.places["ripening"] < incubation


def test_the_pressure_steriliser_cooks_one_kind_a_day(farm: FarmBook) -> None:
    kettle = {kind.code for kind in farm.sterilisers[0].cooks}
    days = Counter(weekday for kind, weekday in weekly_load(farm).litres if kind in kettle)
    assert max(days.values()) == 1
    assert Weekday.SAT not in days


@pytest.mark.parametrize("shift", range(7))
def test_lots_of_every_step_stand_on_shelves_with_room(shift: int) -> None:
    today = THURSDAY + timedelta(days=shift)
    farm = book(today)
    routes = {variety.code: route_of(farm, variety) for variety in farm.varieties}
    holds = {shelf.code: shelf.holds for room in farm.rooms for shelf in room.shelves}
    used: Counter[str] = Counter()
    for lot in farm.lots:
        step = routes[lot.variety].step(lot.step)
        assert lot.made_on <= today
        assert 0 < lot.count <= (lot.made_count or lot.count)
        used[lot.place] += lot.count * step.places
    for shelf, places in used.items():
        assert places <= holds[shelf], shelf
    present = {(lot.variety, lot.step) for lot in farm.lots}
    for code, route in routes.items():
        for step in route.steps:
            assert (code, step.code) in present, f"{code} {step.code}"
