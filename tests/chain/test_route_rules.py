"""Every rule fires on the mistake it is made for: where, what was given, what is accepted."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from math import nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chain.book import BOOK, CODE, TODAY, with_first, with_route, with_step
from pinset.chain.pins import Pin
from pinset.chain.register import (
    Farm,
    FarmBook,
    Flush,
    Outlet,
    OutletKind,
    Parent,
    Preparation,
    RateBasis,
    RoomKind,
    Shelf,
    Spread,
    StepKind,
    Weekday,
)
from pinset.chain.route_rules import check_book
from pinset.chain.stages import Stage
from pinset.errors import Severity

Change = Callable[[FarmBook], FarmBook]
FRUIT = BOOK.routes[0].step("fruiting")
COOK = BOOK.sterilisers[0].cooks[0]


def step(code: str, /, **changes: object) -> Change:
    return lambda book: with_step(book, code, **changes)


def first(field: str, /, **changes: object) -> Change:
    return lambda book: with_first(book, field, **changes)


STALL = Outlet("stall", "Stall", OutletKind.MARKET, (Weekday.SAT,), ("shiitake",), 1500, 500, 9000)


def outlets(*found: Outlet) -> Change:
    return lambda book: replace(book, outlets=found)


def outlet(**changes: object) -> Change:
    return outlets(replace(STALL, **changes))  # type: ignore[arg-type]


def dried(**changes: object) -> Change:
    ratio = {"kind": OutletKind.DRYING, "fresh_per_dry": 10.0}
    return outlet(**{**ratio, **changes})


def farm(**changes: object) -> Change:
    return lambda book: replace(book, farm=replace(book.farm, **changes))  # type: ignore[arg-type]


def route(**changes: object) -> Change:
    return lambda book: with_route(book, replace(book.routes[0], **changes))  # type: ignore[arg-type]


def prepared(**changes: object) -> Change:
    good = Preparation("soak", 48.0, 1.0, 10.0, RoomKind.PREPARATION)
    return step("grain", preparations=(replace(good, **changes),))  # type: ignore[arg-type]


def link(**changes: object) -> Change:
    good = BOOK.routes[0].step("block").parents[0]
    return step("block", parents=(replace(good, **changes),))  # type: ignore[arg-type]


def flushes(*made: Flush) -> Change:
    return step("fruiting", flushes=made)


def flush(share: float, lost: float = 0.0, days: int = 3, gap: float = 0.0) -> Flush:
    return Flush(Spread(gap, gap, gap), share, days, lost)


def twice(field: str) -> Change:
    return lambda book: replace(book, **{field: getattr(book, field) * 2})


SPREAD_BACK = Spread(9, 8, 7)

WRONG: list[tuple[str, Change, str, str]] = [
    # farm
    ("farm.number", farm(altitude_m=-431.0), "farm", "altitude_m -431 .* -430 to 5500 m"),
    ("farm.number", farm(altitude_m=5501.0), "farm", "altitude_m 5501"),
    ("farm.number", farm(altitude_m=nan), "farm", "altitude_m nan"),
    ("farm.number", farm(latitude=91.0), "farm", "latitude"),
    ("farm.number", farm(longitude=-181.0), "farm", "longitude"),
    ("farm.number", farm(morning_round_minutes=-1), "farm", "morning_round_minutes"),
    ("farm.name", farm(name="  "), "farm", "a name"),
    ("farm.time-zone", farm(time_zone="Europe/Nowhere"), "farm", "Europe/Zurich"),
    ("farm.time-zone", farm(time_zone=""), "farm", "IANA"),
    ("farm.time-zone", farm(time_zone="../etc/passwd"), "farm", "IANA"),
    ("farm.time-zone", farm(time_zone="Europe"), "farm", "IANA"),
    ("farm.currency", farm(currency="euro"), "farm", "three capital letters"),
    ("farm.currency", farm(currency="eur"), "farm", "three capital letters"),
    ("farm.units", farm(units="imperial"), "farm", "metric or us"),
    ("farm.working-days", farm(working_days=()), "farm", "at least one day"),
    ("book.clock", farm(day_starts="7:30"), "farm", "day_starts '7:30'"),
    ("book.clock", farm(van_at="24:00"), "farm", "van_at '24:00'"),
    # rooms, sterilisers, benches, vessels, workers
    ("book.code-repeated", twice("rooms"), "rooms lab", "once, not 2 times"),
    ("book.code", first("rooms", code="l b"), "rooms l b", "letters, digits"),
    ("book.code", first("rooms", code=""), "rooms ", "letters, digits"),
    ("room.number", first("rooms", temperature_c=61.0), "rooms lab", "-10 to 60 °C"),
    ("room.number", first("rooms", temperature_c=-11.0), "rooms lab", "-10 to 60 °C"),
    ("room.number", first("rooms", shelves=(Shelf("X", -1),)), "shelves X", "holds -1"),
    ("book.code", first("rooms", shelves=(Shelf("X/1", 5),)), "shelves X/1", "code"),
    ("book.code-repeated", first("rooms", shelves=(Shelf("A1", 5),)), "shelves A1", "once"),
    ("book.code-repeated", twice("sterilisers"), "sterilisers big", "once"),
    ("book.unknown", first("sterilisers", room="attic"), "sterilisers big", "room 'attic'"),
    ("steriliser.number", first("sterilisers", hours_per_day=25.0), "sterilisers big", "0 to 24 h"),
    ("steriliser.number", first("sterilisers", cooks_per_day=-1), "sterilisers big", "cooks"),
    ("steriliser.number", first("sterilisers", rating_bar_gauge=15.0), "sterilisers big", "bar"),
    ("book.clock", first("sterilisers", load_at="noon"), "sterilisers big", "load_at"),
    (
        "steriliser.number",
        first("sterilisers", cooks=(*BOOK.sterilisers[0].cooks[1:], replace(COOK, hours=30.0))),
        "sterilisers big cook agar",
        "0.1 to 24 h",
    ),
    (
        "book.code-repeated",
        first("sterilisers", cooks=(*BOOK.sterilisers[0].cooks, COOK)),
        "sterilisers big cooks agar",
        "once",
    ),
    ("book.code-repeated", twice("benches"), "benches hood", "once"),
    ("book.unknown", first("benches", room="attic"), "benches hood", "one of the rooms cold, grow"),
    ("bench.number", first("benches", minutes_per_day=-5), "benches hood", "0 to 1440 min"),
    ("book.code-repeated", twice("vessels"), "vessels jar", "once"),
    ("vessel.number", first("vessels", litres=-1.0), "vessels tube", "litres"),
    ("vessel.number", first("vessels", in_circulation=-3), "vessels tube", "in_circulation"),
    ("book.code-repeated", twice("workers"), "workers ada", "once"),
    ("worker.hours", first("workers", hours=(8.0,)), "workers ada", "seven days"),
    ("worker.hours", first("workers", hours=(25.0,) * 7), "workers ada", "hours.mon 25 .*0 to 24"),
    (
        "worker.hours",
        first("workers", hours=(*(8.0,) * 6, "20:00-02:00")),
        "workers ada",
        "hours.sun '20:00-02:00' .*ends on its own day",
    ),
    ("worker.role", first("workers", role="boss"), "workers ada", "owner or worker"),
    # routes
    ("book.code-repeated", twice("routes"), "routes shiitake", "once"),
    ("book.code", route(code="a b"), "routes a b", "code"),
    ("route.empty", route(steps=()), "routes shiitake", "at least one step"),
    ("route.number", route(generation_limit=0), "routes shiitake", "1 to 10"),
    ("route.number", route(transfer_limit=51), "routes shiitake", "1 to 50"),
    (
        "book.code-repeated",
        route(steps=(*BOOK.routes[0].steps[:3], *BOOK.routes[0].steps[2:])),
        "routes shiitake step grain",
        "once",
    ),
    ("book.code", step("grain", code="g r"), "routes shiitake step g r", "code"),
    (
        "route.first-step",
        route(steps=BOOK.routes[0].steps[-1:]),
        "routes shiitake step fruiting",
        "first step 'fruit' .* makes or buys units",
    ),
    (
        "route.cannot-start",
        step("grain", parents=(Parent("grain", 8.0),)),
        "routes shiitake step grain",
        "parents 'grain' .* started from",
    ),
    ("route.cannot-start", step("grain", parents=()), "routes shiitake step grain", "started from"),
    (
        "route.parents",
        step("ripening", parents=(Parent("block", 1.0),)),
        "routes shiitake step ripening",
        "kind stand has no parents",
    ),
    (
        "book.unknown",
        step("grain", parents=(Parent("dish", 8.0),)),
        "routes shiitake step grain",
        "parent 'dish' .* one of the steps block",
    ),
    (
        "route.forward",
        step("grain", parents=(Parent("block", 8.0),)),
        "routes shiitake step grain",
        "an earlier step: plate, tube",
    ),
    (
        "route.circle",
        step("sawdust", parents=(Parent("sawdust", 8.0),)),
        "routes shiitake step sawdust",
        "only tubes, plates and grain",
    ),
    (
        "book.code-repeated",
        step("grain", parents=(Parent("plate", 8.0), Parent("plate", 7.0))),
        "routes shiitake step grain parent plate",
        "once",
    ),
    ("route.number", link(units_per_parent=0.0), "routes shiitake step block", "above 0"),
    ("route.number", link(units_per_parent=nan), "routes shiitake step block", "above 0"),
    ("route.rate", link(spawn_rate=5.0), "routes shiitake step block", "spawn_rate 5"),
    ("route.rate-basis", link(spawn_rate_basis=None), "routes shiitake step block", "wet on dry"),
    ("route.rate-weights", step("sawdust", fill_g=0), "routes shiitake step block", "weights"),
    ("route.spread", step("grain", days=SPREAD_BACK), "routes shiitake step grain", "rising order"),
    ("route.spread", step("grain", days=Spread(nan, 1, 2)), "routes shiitake step grain", "rising"),
    ("route.spread", step("grain", days=Spread(1, 2, 401)), "routes shiitake step grain", "to 400"),
    ("route.spread", step("grain", days=Spread(-1, 2, 4)), "routes shiitake step grain", "from 0"),
    ("route.spread", step("grain", loss=Spread(0, 0.5, 2)), "routes shiitake step grain", "0 to 1"),
    ("route.loss", step("grain", loss=Spread(1, 1, 1)), "routes shiitake step grain", "below 1"),
    ("route.number", step("grain", temperature_c=75.0), "routes shiitake step grain", "60 °C"),
    ("route.number", step("grain", fill_moisture=0.96), "routes shiitake step grain", "0.95"),
    ("route.number", step("plate", fill_moisture=0.995), "routes shiitake step plate", "0.99"),
    ("route.number", step("grain", fill_moisture=62.0), "routes shiitake step grain", "0.95"),
    ("route.number", step("grain", fill_g=-1), "routes shiitake step grain", "fill_g -1"),
    ("route.number", step("grain", keeps_days_warm=-1.0), "routes shiitake step grain", "days"),
    ("route.number", step("grain", keeps_days_cold=9e9), "routes shiitake step grain", "days"),
    ("route.number", step("grain", opened_keeps_days=-1.0), "routes shiitake step grain", "days"),
    ("route.number", step("grain", places=-1.0), "routes shiitake step grain", "places"),
    ("route.number", step("grain", minimum_batch=0), "routes shiitake step grain", "1 to"),
    ("route.number", step("grain", look_days=(-1,)), "routes shiitake step grain", "look_days -1"),
    ("route.number", step("grain", shake_days=(999,)), "routes shiitake step grain", "shake_days"),
    ("route.too-cold", step("grain", cold_min_c=30.0), "routes shiitake step grain", "it dies"),
    ("book.unknown", step("grain", vessel="pot"), "routes shiitake step grain", "vessel 'pot'"),
    (
        "book.unknown",
        step("grain", cook="soup"),
        "routes shiitake step grain",
        "kinds of cook",
    ),
    ("route.number", prepared(lead_hours=500.0), "routes shiitake step grain soak", "400 h"),
    ("route.number", prepared(minutes_per_unit=-1.0), "routes shiitake step grain soak", "min"),
    ("book.unknown", prepared(caution="dragons"), "routes shiitake step grain soak", "cautions"),
    ("route.stage", step("ripening", stage=Stage.GRAIN), "routes shiitake step ripening", "same"),
    (
        "route.after-fruiting",
        route(steps=(*BOOK.routes[0].steps, replace(FRUIT, code="again"))),
        "routes shiitake step again",
        "nothing after fruiting",
    ),
    ("route.yield", step("fruiting", yield_g=0.0), "routes shiitake step fruiting", "more than 0"),
    ("route.yield", step("fruiting", yield_g=12_501.0), "routes shiitake step fruiting", "5 times"),
    ("route.flushes", flushes(), "routes shiitake step fruiting", "at least one flush"),
    ("route.flush-shares", flushes(flush(0.7), flush(0.5, 0.1)), "routes shiitake", "1.2"),
    ("route.flush-shares", flushes(flush(0.0)), "routes shiitake step fruiting", "above 0"),
    ("route.flush-losses", flushes(flush(0.6, 0.2), flush(0.4, 0.1)), "routes shiitake", "falling"),
    ("route.number", flushes(flush(1.0, days=0)), "routes shiitake step fruiting flush 1", "days"),
    ("route.number", flushes(flush(1.0, lost=2.0)), "routes shiitake step fruiting flush 1", ""),
    ("route.spread", flushes(flush(1.0, gap=500.0)), "routes shiitake step fruiting flush 1", ""),
    # what is sold and kept
    ("book.code-repeated", twice("varieties"), "varieties shiitake", "once"),
    ("variety.no-route", first("varieties", route=""), "varieties shiitake", "pink-oyster"),
    ("book.unknown", first("varieties", route="enoki"), "varieties shiitake", "route 'enoki'"),
    ("book.unknown", first("varieties", sold_as="crates"), "varieties shiitake", "sold_as"),
    ("variety.name", first("varieties", name=""), "varieties shiitake", "a name"),
    ("variety.number", first("varieties", trim_loss=1.0), "varieties shiitake", "trim_loss 1"),
    ("variety.number", first("varieties", picked_keeps_days=-1.0), "varieties shiitake", "days"),
    ("variety.number", first("varieties", price_cents_per_kg=-1), "varieties shiitake", "cents"),
    (
        "variety.sold-as",
        route(steps=BOOK.routes[0].steps[:-2]),
        "varieties shiitake",
        "no fruiting",
    ),
    ("variety.climate", step("fruiting", climate="hot"), "varieties shiitake", "cool, warm"),
    ("book.code-repeated", twice("cultures"), "cultures s1", "once"),
    ("book.unknown", first("cultures", variety="enoki"), "cultures s1", "variety"),
    ("culture.future", first("cultures", mother_on=date(2026, 3, 13)), "cultures s1", "2026-03-12"),
    ("book.code-repeated", twice("buyers"), "buyers market", "once"),
    ("buyer.name", first("buyers", name=" "), "buyers market", "a name"),
    ("book.clock", first("buyers", deliver_at="7am"), "buyers market", "deliver_at"),
    ("book.code-repeated", twice("promises"), "promises p1", "once"),
    ("book.code", first("promises", code="p 1"), "promises p 1", "code"),
    ("book.unknown", first("promises", buyer="nobody"), "promises p1", "buyer 'nobody'"),
    ("book.unknown", first("promises", variety="enoki"), "promises p1", "variety 'enoki'"),
    ("promise.amount", first("promises", amount=0), "promises p1", "amount 0"),
    ("promise.amount", first("promises", amount=-5), "promises p1", "amount -5"),
    ("promise.amount", first("promises", amount=10**9), "promises p1", "10 t"),
    ("promise.price", first("promises", price_cents=-1), "promises p1", "price_cents"),
    ("promise.measure", first("promises", measure="crate"), "promises p1", "gram or unit"),
    ("promise.measure", first("promises", measure="unit"), "promises p1", "gram for picked"),
    ("book.unknown", first("promises", step="crate", measure="unit"), "promises p1", "step"),
    ("promise.step", route(steps=BOOK.routes[0].steps[:-2]), "promises p1", "does not fruit"),
    ("promise.day", first("promises", weekday=None), "promises p1", "'neither'"),
    ("promise.day", first("promises", on_date=date(2026, 5, 1)), "promises p1", "'both'"),
    (
        "promise.until",
        first("promises", from_date=date(2026, 5, 1), until=date(2026, 4, 1)),
        "promises p1",
        "2026-05-01",
    ),
    (
        "promise.far",
        first("promises", weekday=None, on_date=date(3000, 1, 1)),
        "promises p1",
        "on_date '3000-01-01' .* three years",
    ),
    ("promise.far", first("promises", until=date(2030, 1, 1)), "promises p1", "until"),
    # lots
    ("lot.code", first("lots", code="7K4M0"), "lots 7K4M0", "printed by pinset"),
    ("book.code-repeated", twice("lots"), f"lots {CODE}", "once"),
    ("lot.number", first("lots", count=-1), f"lots {CODE}", "count -1"),
    ("lot.number", first("lots", generation=-1), f"lots {CODE}", "generation"),
    ("lot.number", first("lots", transfers=101), f"lots {CODE}", "transfers"),
    ("lot.made-count", first("lots", made_count=19), f"lots {CODE}", "20 .count. or more"),
    ("book.unknown", first("lots", variety="enoki"), f"lots {CODE}", "variety"),
    ("book.unknown", first("lots", step="jar"), f"lots {CODE}", "step 'jar'"),
    ("book.unknown", first("lots", place="Z9"), f"lots {CODE}", "one of the shelves A1, A2, C1"),
    ("book.unknown", first("lots", culture="s9"), f"lots {CODE}", "culture 's9'"),
    ("lot.culture", first("lots", variety="pink-oyster", step="spawn"), f"lots {CODE}", "of shiit"),
    ("lot.future", first("lots", made_on=date(2026, 3, 13)), f"lots {CODE}", "2026-03-12, or"),
    ("lot.date", first("lots", made_on=date(1889, 3, 13)), f"lots {CODE}", "1990-01-01"),
    (
        "pin.far",
        lambda book: replace(book, pins=(Pin("p", "shiitake", "block", date(3000, 1, 1), 5),)),
        "pins p",
        "day '3000-01-01' .* 3 years ahead",
    ),
    (
        "lot.older-than-mother",
        first("cultures", mother_on=date(2026, 3, 2)),
        f"lots {CODE}",
        "made_on '2026-03-01' .* 2026-03-02, the date of the mother of culture s1, or later",
    ),
    ("lot.date", first("lots", opened_on=date(2026, 2, 1)), f"lots {CODE}", "2026-03-01 or later"),
    ("lot.future", first("lots", opened_on=date(2027, 2, 1)), f"lots {CODE}", "opened_on"),
    ("lot.in-room-since", first("lots", in_room_since=TODAY), f"lots {CODE}", "made_on says it"),
    ("lot.not-fruiting", first("lots", picked_g=10), f"lots {CODE}", "not fruiting"),
    ("lot.number", first("lots", picked_g=-10), f"lots {CODE}", "picked_g"),
    (
        "lot.picked-much",
        first("lots", step="fruiting", place="N1", picked_g=900_000),
        f"lots {CODE}",
        "picked_kg 900 .* 0 to [0-9.]+ kg: 22 units bear about [0-9.]+ kg",
    ),
    (
        "lot.not-in-grow-room",
        first("lots", step="fruiting"),
        f"lots {CODE}",
        "place 'A2 in .* a shelf of a grow room, .*: N1",
    ),
    ("book.code", outlet(code="a stall"), "outlets a stall", "1 to 40"),
    ("book.code-repeated", outlets(STALL, STALL), "outlets stall", "once, not 2"),
    ("outlet.name", outlet(name=" "), "outlets stall", "a name"),
    ("outlet.number", outlet(price_cents_per_kg=-1), "outlets stall", "price_cents_per_kg -1"),
    ("outlet.number", outlet(least_g=-1), "outlets stall", "least_g -1"),
    ("outlet.number", dried(fresh_per_dry=0.1), "outlets stall", "fresh_per_dry 0.1 .* 1 to 50"),
    ("outlet.most", outlet(least_g=3000, most_g=2000), "outlets stall", "3000 g .the least. or"),
    ("outlet.dry-price", dried(price_cents_per_kg=None), "outlets stall", "of a kilogram dry"),
    ("outlet.ratio", dried(fresh_per_dry=None), "outlets stall", "kilograms fresh for one"),
    ("outlet.ratio", outlet(fresh_per_dry=9.0), "outlets stall", "nothing: .* kind market"),
    ("book.clock", outlet(deliver_at="7"), "outlets stall", "07:30"),
    ("book.unknown", outlet(buyer="markt"), "outlets stall", "one of the buyers market"),
    ("book.unknown", outlet(varieties=("shitake",)), "outlets stall", "one of the varieties"),
    (
        "outlet.variety",
        lambda book: outlets(replace(STALL, varieties=("shiitake",)))(
            with_route(book, replace(book.routes[0], steps=book.routes[0].steps[:2]))
        ),
        "outlets stall",
        "varieties that are picked: the route shiitake does not fruit",
    ),
    (
        "outlet.until",
        outlet(from_date=date(2026, 5, 2), until=date(2026, 5, 1)),
        "outlets stall",
        "2026-05-02 .from_date. or later",
    ),
]


@pytest.mark.parametrize(
    ("rule", "change", "record", "words"), WRONG, ids=[f"{i}-{w[0]}" for i, w in enumerate(WRONG)]
)
def test_what_is_wrong_is_found_at_its_record(
    rule: str, change: Change, record: str, words: str
) -> None:
    found = [f for f in check_book(change(BOOK), TODAY) if f.id == rule]
    assert any(f.record.startswith(record) and re.search(words, f.sentence) for f in found), found
    assert all(f.severity is Severity.WRONG for f in found)
    assert all("is not accepted; accepted is " in f.sentence for f in found)


WARNINGS: list[tuple[str, Change, str]] = [
    ("promise.past", first("promises", weekday=None, on_date=date(2026, 3, 11)), "promises p1"),
    ("promise.past", first("promises", until=date(2026, 3, 11)), "promises p1"),
    ("outlet.past", outlet(until=date(2026, 3, 11), buyer="gone"), "outlets stall"),
    ("shelf.over-full", first("lots", count=200, made_count=200), "shelves A2"),
    ("lot.none-alive", first("lots", count=0), f"lots {CODE}"),
    ("lineage.generation", first("lots", generation=4), f"lots {CODE}"),
    ("lineage.transfers", first("lots", transfers=6), f"lots {CODE}"),
    (
        "lot.too-cold",
        first("lots", variety="pink-oyster", step="spawn", culture="", place="C1"),
        f"lots {CODE}",
    ),
    ("lot.chilled", step("tube", cold_min_c=None, keeps_days_cold=None), "lots row 2"),
    (
        "lot.picked-much",
        first("lots", step="fruiting", place="N1", picked_g=900_000, note="three years of it"),
        f"lots {CODE}",
    ),
    ("lot.not-in-grow-room", first("lots", step="fruiting", note="no room left"), f"lots {CODE}"),
    ("route.rate-disagrees", link(units_per_parent=100.0), "routes shiitake step block"),
    ("route.flushes-few", flushes(flush(0.2)), "routes shiitake step fruiting"),
    ("steriliser.day-too-short", first("sterilisers", hours_per_day=4.0), "sterilisers big cook"),
    ("bench.room", first("benches", room="grow"), "benches hood"),
    ("worker.no-owner", first("workers", role="worker"), "workers"),
    (
        "variety.no-grow-room",
        lambda book: replace(book, rooms=book.rooms[:-1], lots=book.lots[:-1]),
        "varieties shiitake",
    ),
]


@pytest.mark.parametrize(("rule", "change", "record"), WARNINGS, ids=[w[0] for w in WARNINGS])
def test_what_is_doubtful_is_a_warning(rule: str, change: Change, record: str) -> None:
    found = [f for f in check_book(change(BOOK), TODAY) if f.id == rule]
    assert found
    assert found[0].record.startswith(record)
    assert all(f.severity is Severity.WARNING for f in found)
    assert all(f.severity is not Severity.WRONG for f in check_book(change(BOOK), TODAY))


def test_a_weight_is_measured_by_all_that_bore_it() -> None:
    """30 of 200 blocks are left, at two places: what 200 can bear is no question."""
    whole = 200 * BOOK.routes[0].step("fruiting").yield_g
    here = replace(
        BOOK.lots[0], step="fruiting", place="N1", count=20, made_count=200, picked_g=round(whole)
    )
    there = replace(here, count=10, made_count=None, picked_g=0)
    ids = {f.id for f in check_book(replace(BOOK, lots=(here, there)), TODAY)}
    assert "lot.picked-much" not in ids
    few = (replace(here, made_count=None), there)
    found = check_book(replace(BOOK, lots=few), TODAY)
    (asked,) = (f for f in found if f.id == "lot.picked-much")
    assert ": 30 units bear about " in asked.sentence


def test_a_good_book_has_no_finding() -> None:
    assert check_book(BOOK, TODAY) == ()
    assert check_book(BOOK) == ()


def test_good_outlets_have_no_finding() -> None:
    good = outlets(STALL, replace(STALL, code="extra", weekdays=(), varieties=(), most_g=None))
    assert check_book(good(BOOK), TODAY) == check_book(BOOK, TODAY)
    assert check_book(dried()(BOOK), TODAY) == check_book(BOOK, TODAY)


def test_without_today_dates_are_not_judged() -> None:
    late = with_first(BOOK, "lots", made_on=date(2031, 1, 1))
    assert check_book(late) == ()
    assert [f.id for f in check_book(late, TODAY)] == ["lot.future"]


def test_all_mistakes_are_told_at_once() -> None:
    bad = BOOK
    for change in (farm(currency="x"), step("grain", days=SPREAD_BACK), first("lots", count=-1)):
        bad = change(bad)
    assert {f.id for f in check_book(bad, TODAY)} == {"farm.currency", "route.spread", "lot.number"}


def test_a_slip_in_a_lot_code_names_the_codes_that_stand_in_the_book() -> None:
    typed = CODE[:-1] + "0"
    lots = (*BOOK.lots, replace(BOOK.lots[0], code=typed, count=1))
    found = [f for f in check_book(replace(BOOK, lots=lots), TODAY) if f.id == "lot.code"]
    assert found[0].hint == f"Nearest valid: {CODE}."


def test_grain_plates_and_tubes_may_start_their_own_kind() -> None:
    for code, units in (("tube", 10.0), ("plate", 20.0), ("grain", 10.0)):
        own = BOOK.routes[0].step(code).parents
        renewed = with_step(BOOK, code, parents=(*own, Parent(code, units)))
        assert check_book(renewed, TODAY) == ()


def test_liquid_parents_need_no_weights_for_a_rate() -> None:
    parents = (Parent("grain", 2.6),)
    changed = with_step(BOOK, "sawdust", stage=Stage.LIQUID, fill_g=0, parents=parents)
    assert not [f for f in check_book(changed, TODAY) if f.id.startswith("route.rate")]


def test_rate_on_another_basis_is_compared_on_that_basis() -> None:
    # 5 % wet on wet of a block at 62.5 % moisture is 13.3 % wet on dry: the same spawn.
    parent = replace(
        BOOK.routes[0].step("block").parents[0],
        spawn_rate=0.05 / 0.375,
        spawn_rate_basis=RateBasis.WET_ON_DRY,
    )
    assert check_book(with_step(BOOK, "block", parents=(parent,)), TODAY) == ()


def test_an_empty_farm_has_nothing_wrong_but_its_own_record() -> None:
    assert check_book(FarmBook(Farm("Try", 0.0, "UTC")), TODAY) == ()
    found = check_book(FarmBook(Farm("", 0.0, "Mars/Olympus", currency="")), TODAY)
    assert {f.id for f in found} == {"farm.name", "farm.time-zone", "farm.currency"}


def test_spawn_may_be_sold_without_a_grow_room() -> None:
    sold = with_route(BOOK, replace(BOOK.routes[0], steps=BOOK.routes[0].steps[:5]))
    sold = with_first(sold, "varieties", sold_as="block")
    sold = with_first(sold, "promises", step="block", measure="unit", amount=30)
    sold = replace(sold, lots=BOOK.lots[:2])
    assert check_book(sold, TODAY) == ()


@pytest.mark.parametrize("share", [0.96, 0.97, 0.99])
def test_agar_and_broth_are_mostly_water(share: float) -> None:
    """30 g of sugar and malt in 970 g of water are 0.97; memory: 10 g to 40 g a litre are usual."""
    assert check_book(with_step(BOOK, "plate", fill_moisture=share), TODAY) == ()


@settings(max_examples=200)
@given(
    st.sampled_from(["temperature_c", "fill_g", "fill_moisture", "places", "yield_g"]),
    st.one_of(st.floats(), st.integers(-(10**12), 10**12)),
    st.sampled_from([s.code for s in BOOK.routes[0].steps]),
)
def test_no_number_makes_the_rules_themselves_fail(field: str, value: float, code: str) -> None:
    for finding in check_book(with_step(BOOK, code, **{field: value}), TODAY):
        assert finding.sentence
        assert finding.record


@settings(max_examples=100)
@given(
    st.lists(st.sampled_from(BOOK.routes[0].steps), max_size=6),
    st.sampled_from(list(StepKind)),
    st.sampled_from(list(Weekday)),
)
def test_no_order_of_steps_makes_the_rules_themselves_fail(
    steps: list[object], kind: StepKind, weekday: Weekday
) -> None:
    made = tuple(replace(s, kind=kind, weekdays=(weekday,)) for s in steps)  # type: ignore[type-var]
    book = with_route(BOOK, replace(BOOK.routes[0], steps=made))  # type: ignore[arg-type]
    assert all(finding.id for finding in check_book(book, TODAY))
