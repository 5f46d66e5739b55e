from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.keeping import is_too_cold, keeping_days
from pinset.chain.living import LivingLot, Stood
from pinset.chain.looks_wanted import look_wanted_since
from pinset.chain.phases import days_to_end
from pinset.chain.readiness import (
    LotState,
    keeps_until,
    lead_days,
    life_left,
    ready_on,
    state,
)
from pinset.chain.register import Spread, Step, StepKind
from pinset.chain.route_builder import default_route
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.tables.loader import table

MADE = date(2026, 3, 2)


def lot_of(species: str, step: str, temperature_c: float, **changes: object) -> LivingLot:
    route = default_route(species)
    at = route.step(step)
    lot = LivingLot(
        code="MYGUA",
        variety=species,
        step=step,
        stage=at.stage,
        alive=20,
        made_on=MADE,
        step_since=MADE,
        place="a",
        room="r",
        temperature_c=temperature_c,
        route=route,
    )
    return replace(lot, **changes)  # type: ignore[arg-type]


def test_ready_days_of_oyster_grain() -> None:
    # 8, 11, 14 days (tables/route_steps.csv). Symmetric: half of the lots by day 11.
    ready = ready_on(lot_of("grey oyster", "grain", 23.0))
    assert ready.p50 == MADE + timedelta(days=11)
    assert ready.p10 == MADE + timedelta(days=10)  # 9.34 d, so on the tenth day
    assert ready.p90 == MADE + timedelta(days=13)  # 12.66 d
    assert ready.mean_days == pytest.approx(11.0)


def test_ripening_counts_from_the_day_it_began() -> None:
    lot = lot_of("shiitake", "ripening", 19.0, step_since=date(2026, 3, 18))
    ready = ready_on(lot)
    assert (ready.p50 - date(2026, 3, 18)).days in range(80, 95)
    assert state(lot, date(2026, 4, 30)).state is LotState.NOT_READY
    assert state(lot, ready.p50).state is LotState.READY


def test_spawned_block_to_first_pick_of_shiitake_and_king_oyster() -> None:
    # Modes add to 119 and 56 days (published table); means of skewed spreads lie near them.
    assert days_to_end(default_route("shiitake"), "block").mean == pytest.approx(117, abs=3)
    assert days_to_end(default_route("king oyster"), "block").mean == pytest.approx(55.3, abs=2)


def test_a_persons_judgement_overrules_the_route() -> None:
    day = date(2026, 3, 9)
    ready = ready_on(lot_of("shiitake", "block", 22.0, expected_ready_on=day))
    assert (ready.p10, ready.p50, ready.p90) == (day, day, day)
    assert ready.judged
    assert ready.mean_days == 7.0
    lot = lot_of("shiitake", "block", 22.0, expected_ready_on=day)
    assert keeps_until(lot) == day + timedelta(days=10)


@pytest.mark.parametrize(
    ("key", "species", "step", "temperature_c"),
    [
        ("grain-spawn-most-strains.0-2-c", "king oyster", "grain", 2.0),
        ("grain-spawn-pink-oyster.about-10-c", "pink oyster", "grain", 10.0),
        ("plate.2-4-c", "shiitake", "plate", 4.0),
        ("agar-slant.5-8-c", "shiitake", "tube", 4.0),
        ("fruiting-bag-colonised.2-4-c", "shiitake", "block", 3.0),
    ],
)
def test_keeping_times_are_those_of_the_storage_table(
    key: str, species: str, step: str, temperature_c: float
) -> None:
    published = table("storage.csv").one(key, "keeps_days").value
    assert keeping_days(default_route(species).step(step), temperature_c) == published


@pytest.mark.parametrize("step", ["tube", "plate", "grain", "block"])
@pytest.mark.parametrize("temperature_c", [2.0, 4.0, 7.9, 9.9])
def test_pink_oyster_dies_in_the_cold(step: str, temperature_c: float) -> None:
    # Dies below 8 to 10 °C (spawn maker's storage instructions); safe at 10 to 12.
    lot = lot_of("pink oyster", step, temperature_c)
    assert is_too_cold(lot.now_step(), temperature_c)
    assert keeping_days(lot.now_step(), temperature_c) == 0.0
    until = keeps_until(lot)
    assert until is not None
    assert until < MADE
    standing = state(lot, MADE + timedelta(days=30))
    assert standing.state is LotState.DEAD_COLD
    assert f"stands at {temperature_c:g} °C and dies below 10 °C" in standing.words


def test_pink_oyster_lives_at_ten_degrees_and_others_in_the_fridge() -> None:
    assert state(lot_of("pink oyster", "grain", 10.0), MADE).state is LotState.NOT_READY
    assert state(lot_of("grey oyster", "grain", 2.0), MADE).state is LotState.NOT_READY


@given(st.floats(-5.0, 35.0), st.floats(0.0, 5.0))
def test_warmer_never_keeps_longer(temperature_c: float, warmer: float) -> None:
    step = default_route("king oyster").step("grain")
    if is_too_cold(step, temperature_c):
        return
    there = keeping_days(step, temperature_c)
    assert keeping_days(step, temperature_c + warmer) <= there + 1e-9
    assert step.keeps_days_warm - 1e-9 <= there <= (step.keeps_days_cold or 0.0) + 1e-9


def test_between_warm_and_cold_the_middle_is_the_geometric_mean() -> None:
    step = default_route("grey oyster").step("grain")  # 14 d warm, 90 d cold, cold from 4 °C
    assert keeping_days(step, 12.0) == pytest.approx((14.0 * 90.0) ** 0.5)


def test_keeping_can_be_nothing_at_all() -> None:
    step = replace(default_route("grey oyster").step("grain"), keeps_days_warm=0.0)
    assert keeping_days(step, 23.0) == 0.0
    assert keeping_days(step, 12.0) == pytest.approx(45.0)


def test_what_must_not_be_chilled_is_dead_in_the_fridge_and_keeps_warm_elsewhere() -> None:
    step = replace(
        default_route("grey oyster").step("grain"), keeps_days_cold=None, cold_min_c=None
    )
    assert is_too_cold(step, 4.0)
    assert not is_too_cold(step, 12.0)
    assert keeping_days(step, 12.0) == 14.0
    lot = lot_of("grey oyster", "grain", 4.0)
    chilled = replace(lot, route=replace(lot.route, steps=(step,)))
    assert "must not be chilled" in state(chilled, MADE).words


def test_cold_grow_rooms_are_no_fridge() -> None:
    assert not is_too_cold(default_route("enoki").step("fruiting"), 7.0)


def test_states_from_made_to_past() -> None:
    lot = lot_of("grey oyster", "grain", 23.0)  # ready 12 to 15 March, keeps 14 days
    assert state(lot, MADE).words == "ready 12 March to 15 March"
    may_be = state(lot, date(2026, 3, 12))
    assert may_be.state is LotState.NOT_READY
    assert may_be.words.endswith("may be ready: look")
    assert state(lot, date(2026, 3, 13)).words == "ready today, keeps until 27 March"
    assert state(lot, date(2026, 3, 20)).words == "ready since 13 March, keeps until 27 March"
    assert state(lot, date(2026, 3, 27)).state is LotState.READY
    past = state(lot, date(2026, 3, 28))
    assert past.state is LotState.PAST
    assert past.words == "past its time: kept until 27 March"
    assert (
        state(lot_of("grey oyster", "grain", 23.0, expected_ready_on=date(2026, 3, 9)), MADE).words
        == "ready 9 March"
    )


def test_an_opened_jar_keeps_no_longer_than_its_opened_life() -> None:
    opened = date(2026, 3, 14)
    lot = lot_of("grey oyster", "grain", 2.0, opened_on=opened)
    assert keeps_until(lot) == opened + timedelta(days=2)
    assert keeps_until(replace(lot, opened_on=None)) == date(2026, 3, 13) + timedelta(days=90)
    past = state(lot, date(2026, 3, 20))
    assert past.words == "past its time: opened 14 March, kept until 16 March"


def test_opening_late_does_not_lengthen_its_time() -> None:
    lot = lot_of("grey oyster", "grain", 23.0, opened_on=date(2026, 3, 26))
    assert keeps_until(lot) == date(2026, 3, 27)


def test_fruiting_units_have_no_keeping_limit() -> None:
    lot = lot_of("grey oyster", "fruiting", 15.0)
    assert keeps_until(lot) is None
    assert state(lot, MADE + timedelta(days=60)).state is LotState.READY
    assert state(lot, MADE + timedelta(days=60)).words.startswith("ready since ")


@given(st.integers(0, 400))
def test_every_lot_is_in_exactly_one_state_and_never_comes_back(days: int) -> None:
    lot = lot_of("king oyster", "block", 22.0)
    order = [LotState.NOT_READY, LotState.READY, LotState.PAST]
    now = state(lot, MADE + timedelta(days=days)).state
    later = state(lot, MADE + timedelta(days=days + 1)).state
    assert order.index(now) <= order.index(later)


def test_lead_days_are_whole_and_rise_with_the_chance() -> None:
    step = default_route("shiitake").step("grain")  # 14, 19, 24 days
    assert lead_days(step) == 19
    assert lead_days(step, 0.9) == 22
    assert lead_days(step, 0.0) == 14
    assert lead_days(step, 1.0) == 24


def test_bought_spawn_is_ready_the_day_it_comes() -> None:
    route = default_route("golden oyster", starts_at="spawn")
    assert lead_days(route.step("spawn")) == 0


def test_a_temperature_that_is_no_number_is_refused() -> None:
    with pytest.raises(InputError, match="temperature"):
        keeping_days(default_route("shiitake").step("grain"), float("nan"))


def test_disordered_days_are_refused() -> None:
    step = Step(
        "x", StepKind.TRANSFER, Stage.GRAIN, Spread(5, 4, 6), Spread(0, 0, 0), temperature_c=20.0
    )
    with pytest.raises(InputError, match="rising order"):
        lead_days(step)


def keeping(warm: float, cold: float) -> LivingLot:
    """Return grain that is ready on the tenth day, keeps so long warm, so long cold."""
    lot = lot_of("grey oyster", "grain", 23.0)
    steps = tuple(
        replace(
            step, days=Spread(10, 10, 10), keeps_days_warm=warm, keeps_days_cold=cold,
            cold_min_c=None,
        )
        if step.code == "grain"
        else step
        for step in lot.route.steps
    )  # fmt: skip
    return replace(lot, route=replace(lot.route, steps=steps))


READY = MADE + timedelta(days=10)


def on(days: int) -> date:
    return READY + timedelta(days=days)


@pytest.mark.parametrize(
    ("stood", "now_c", "last"),
    [
        ((), 23.0, 14),
        ((), 4.0, 90),
        (((0, 23.0),), 4.0, 90),  # carried on the ready day: nothing is spent
        (((-5, 23.0),), 4.0, 90),  # before it was ready nothing runs
        (((7, 23.0),), 4.0, 7 + 45),  # half of its life warm, the other half cold
        (((14, 23.0),), 4.0, 14),  # nothing is left
        (((20, 23.0),), 4.0, 14),  # it ended before it was carried
        (((45, 4.0),), 23.0, 45 + 7),  # and the other way
        (((7, 23.0), (7 + 18, 4.0)), 23.0, 25 + 4),  # 0.5 and 0.2 are spent: 0.3 of 14 is 4.2
    ],
)
def test_time_in_each_room_uses_up_its_share(
    stood: tuple[tuple[int, float], ...], now_c: float, last: int
) -> None:
    way = tuple(Stood(on(day), warm) for day, warm in stood)
    lot = replace(keeping(14, 90), stood=way, temperature_c=now_c)
    assert keeps_until(lot) == on(last)
    assert life_left(lot, on(last + 1)) == 0.0
    assert life_left(lot, READY) == 1.0


def test_what_is_left_of_its_life_falls_evenly() -> None:
    lot = replace(keeping(14, 90), stood=(Stood(on(7), 23.0),), temperature_c=4.0)
    assert [life_left(lot, on(days)) for days in (-3, 7, 7 + 18)] == pytest.approx([1.0, 0.5, 0.3])


def test_what_stood_where_it_dies_has_no_time_left() -> None:
    lot = lot_of("pink oyster", "grain", 23.0)
    ready = ready_on(lot).p50
    chilled = replace(lot, stood=(Stood(ready + timedelta(days=2), 4.0),))
    assert keeps_until(chilled) == ready
    assert life_left(chilled, ready + timedelta(days=1)) == 0.0
    assert keeps_until(lot) == ready + timedelta(days=lot.now_step().keeps_days_warm)


def test_what_is_to_be_used_first_says_so_and_keeps_as_long_as_before() -> None:
    lot = lot_of("grey oyster", "grain", 4.0)
    by = ready_on(lot).p50 + timedelta(days=5)
    first = replace(lot, use_by=by)
    assert keeps_until(first) == keeps_until(lot)
    assert state(first, by).words.endswith(f"; to be used first, by {by.day} {by:%B}")
    assert state(first, by + timedelta(days=1)).state is LotState.READY


def test_a_watched_lot_is_looked_at_from_the_day_that_was_said() -> None:
    lot = lot_of("grey oyster", "grain", 23.0)
    early = ready_on(lot).p10
    assert look_wanted_since(lot, early) == early
    assert look_wanted_since(lot, early - timedelta(days=1)) is None
    sooner = replace(lot, look_on=MADE + timedelta(days=4))
    assert look_wanted_since(sooner, MADE + timedelta(days=3)) is None
    assert look_wanted_since(sooner, MADE + timedelta(days=6)) == MADE + timedelta(days=4)
    assert look_wanted_since(sooner, early) == early  # the later of both reasons
    later = replace(lot, look_on=early + timedelta(days=20))
    assert look_wanted_since(later, early + timedelta(days=20)) == early + timedelta(days=20)
    held = replace(later, held="shares a bad cook")
    assert look_wanted_since(held, early + timedelta(days=20)) == early + timedelta(days=20)
    assert look_wanted_since(replace(later, alive=0), early + timedelta(days=20)) is None
