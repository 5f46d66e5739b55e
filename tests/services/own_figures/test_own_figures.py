"""Own figures of a small farm in words, and what taking one over does."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from math import exp, log

import pytest

from farm.small_farm import NOW, Taps
from pinset.chain.register import FarmBook, Route, Step
from pinset.errors import InputError, RefusedError
from pinset.farm import register_store
from pinset.farm.models.register import RegisterKind
from pinset.farm.queries import living
from pinset.learning.lot_values import together
from pinset.planning.season.odds import odds_of
from pinset.services.books.register_change import write_record
from pinset.services.own_figures.figures import (
    FigureGroup,
    figures_view,
    grown_varieties,
    read_figures,
)
from pinset.services.own_figures.taken import take_over
from pinset.services.plans import planning_day
from services.lived import growing, live

LATER = NOW + timedelta(hours=2)


def group(step: str, what: str) -> FigureGroup:
    [variety] = figures_view("grey", NOW).varieties
    [found] = [each for each in variety.steps if each.step == step]
    return next(each for each in found.groups if each.what == what)


def route() -> Route:
    return planning_day.farm_book(LATER)[0].routes[0]


def fruiting() -> Step:
    return route().step("fruiting")


@pytest.fixture
def lots(farm: FarmBook, tap: Taps) -> list[str]:  # noqa: ARG001
    return [
        live(tap, n, lost, grams) for n, (lost, grams) in enumerate(((1, 400), (0, 450), (3, 500)))
    ]


def test_without_lots_the_routes_stand(farm: FarmBook) -> None:  # noqa: ARG001
    view = figures_view(now=NOW)
    assert view.sentence.startswith("No lot is old enough yet")
    found = group("fruiting", "yield")
    assert found.remark == "No lot is old enough yet."
    assert not found.can_take
    assert (found.lines[0].own, found.lines[0].planned) == ("", "")
    assert grown_varieties(NOW) == (("grey", "Grey oyster", "oyster-straw"),)


def test_figures_stand_beside_those_of_the_route(lots: list[str]) -> None:  # noqa: ARG001
    [line] = group("fruiting", "yield").lines
    assert line.name == "Picked from a standing block, middle lot"
    assert line.route == "600 g"
    assert line.own == f"{exp((log(400) + log(450) + log(500)) / 3):.0f} g"
    assert line.own_range.endswith(" g")
    assert line.detail.startswith("3 lots, 56 blocks; 8 of 10 lots ")
    assert line.detail.endswith("weigh 38 %")
    [lost] = group("block", "loss").lines
    assert (lost.route, lost.figure.units) == ("0.0 %", 60)
    [days] = group("fruiting", "days").lines
    assert days.own == "10.5 days"
    low, high = days.figure.low or 0.0, days.figure.high or 0.0
    assert days.own_range == f"{low:.1f} to {high:.1f} days"


def test_one_lot_and_nothing_but_loss_are_said_and_not_taken(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    live(tap, 0)
    assert group("fruiting", "yield").remark == "One lot says nothing of how lots differ."
    live(tap, 1, lost=20)
    assert group("fruiting", "yield").remark == "One lot says nothing of how lots differ."
    with pytest.raises(InputError, match="something to plan with"):
        take_over("grey", "fruiting", "yield", "ada", NOW)


def test_all_lost_is_a_fault_to_find(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    live(tap, 0, lost=20)
    live(tap, 1, lost=20)
    found = group("block", "loss")
    assert found.remark == "All units were lost: find the cause before you plan with that."
    assert not found.can_take


def test_what_is_taken_over_holds_from_today_for_new_lots_only(lots: list[str], tap: Taps) -> None:
    del lots
    young = growing(tap)
    before = odds_of(planning_day.farm_book(NOW)[0], (), NOW.date()).varieties["grey"].bearing
    said = take_over("grey", "fruiting", "yield", "ada", NOW)
    assert said.startswith("Taken over; the route says so from today.")
    versions = register_store.versions(RegisterKind.ROUTE, route().code)
    assert [each.version for each in versions] == [1, 2]
    assert versions[-1].valid_from == NOW.date()
    assert versions[-1].recorded_by == "Ada"
    assert "Own records 2026-03-12 (3 lots): fruiting yield." in route().note
    expected = together([log(g) for g in (400, 450, 500)], log(600.0), 0.2)
    assert fruiting().yield_spread == pytest.approx(expected.sd, abs=1e-3)
    assert fruiting().yield_g == pytest.approx(exp(expected.mean - expected.sd**2), abs=0.1)
    after = odds_of(planning_day.farm_book(LATER)[0], (), NOW.date()).varieties["grey"].bearing
    assert before is not None
    assert after is not None
    assert after.curve[0].grams < before.curve[0].grams  # what the plan reckons with
    assert after.spread == fruiting().yield_spread  # and the chances
    [alive] = living(NOW.date(), lots=[young])
    assert alive.route.step("fruiting").yield_g == 600.0


def test_a_second_tap_changes_nothing(lots: list[str]) -> None:  # noqa: ARG001
    take_over("grey", "fruiting", "yield", "ada", NOW)
    found = group("fruiting", "yield")
    assert not found.can_take
    assert found.taken == "In the route since 12 March, from 3 lots."
    assert take_over("grey", "fruiting", "yield", "ada", LATER) == "The route says so already."
    assert len(register_store.versions(RegisterKind.ROUTE, route().code)) == 2


def test_lots_never_count_twice(lots: list[str], tap: Taps) -> None:  # noqa: ARG001
    take_over("grey", "fruiting", "yield", "ada", NOW)
    live(tap, 5, 1, 380)
    take_over("grey", "fruiting", "yield", "ada", LATER)
    expected = together([log(g) for g in (400, 450, 500, 380)], log(600.0), 0.2)
    assert fruiting().yield_g == pytest.approx(exp(expected.mean - expected.sd**2), abs=0.1)


def test_what_the_owner_types_afterwards_is_the_routes_word(lots: list[str]) -> None:  # noqa: ARG001
    take_over("grey", "fruiting", "yield", "ada", NOW)
    steps = tuple(
        replace(step, yield_g=900.0) if step.code == "fruiting" else step for step in route().steps
    )
    write_record(replace(route(), steps=steps), "ada", LATER)
    [read] = read_figures("grey", LATER)
    [found] = [each for each in read.steps if each.step == "fruiting"]
    together_g = next(each for each in found.figures if each.what.value == "yield").planned
    spread = fruiting().yield_spread
    expected = together([log(g) for g in (400, 450, 500)], log(900.0) + spread**2, spread)
    assert together_g == pytest.approx(exp(expected.mean))


def test_two_varieties_on_one_route_are_told(lots: list[str], farm: FarmBook) -> None:  # noqa: ARG001
    write_record(replace(farm.varieties[0], code="blue", name="Blue oyster"), "ada", NOW)
    [grey] = figures_view("grey", LATER).varieties
    assert grey.shared.startswith("The route is also that of Blue oyster;")


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        (("blue", "fruiting", "yield"), "accepted is grey"),
        (("grey", "ripening", "yield"), "plate, grain, block, fruiting"),
        (("grey", "block", "yield"), "accepted is loss"),
    ],
)
def test_what_there_is_not_is_refused(
    farm: FarmBook,  # noqa: ARG001
    asked: tuple[str, str, str],
    why: str,
) -> None:
    with pytest.raises(InputError, match=why):
        take_over(*asked, "ada", NOW)


def test_a_variety_without_a_route_is_refused(farm: FarmBook) -> None:
    lost = replace(farm.varieties[0], code="wild", route="none")
    register_store.write([lost], NOW.date(), "", NOW)
    with pytest.raises(RefusedError, match="has no route"):
        take_over("wild", "fruiting", "yield", "ada", LATER)


def test_a_route_that_would_not_hold_is_refused_and_stays(farm: FarmBook, tap: Taps) -> None:
    for number in range(8):
        live(tap, number, 1, 900)
    light = tuple(
        replace(step, fill_g=130, fill_moisture=0.6) if step.code == "block" else step
        for step in farm.routes[0].steps
    )
    write_record(replace(farm.routes[0], steps=light), "ada", NOW)
    with pytest.raises(RefusedError, match="5 times the 130 g of substrate"):
        take_over("grey", "fruiting", "yield", "ada", LATER)
    assert fruiting().yield_g == 600.0
