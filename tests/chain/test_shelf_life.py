"""When a tube is woken, renewed, or left for its mother."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from pinset.chain.living import LivingLot
from pinset.chain.readiness import keeps_until, ready_on
from pinset.chain.route_builder import default_route
from pinset.chain.shelf_life import Asks, Gone, Tube, Woken, asked_of, is_on_shelf, mother_of
from pinset.chain.stages import Stage
from pinset.chain.vigour import Growth, Measured, Slower
from pinset.errors import InputError

ROUTE = default_route("grey oyster")
MADE = date(2026, 1, 1)


def lot(code: str = "MYGUA", **facts: object) -> LivingLot:
    whole = LivingLot(
        code=code,
        variety="oyster",
        step="tube",
        stage=Stage.TUBE,
        alive=6,
        made_on=MADE,
        step_since=MADE,
        place="fridge-1",
        room="fridge",
        temperature_c=4.0,
        route=ROUTE,
        culture="o1",
    )
    made = facts.get("made_on", MADE)
    return replace(whole, step_since=made, **facts)  # type: ignore[arg-type]


READY = ready_on(lot()).p50
UNTIL = keeps_until(lot())
assert UNTIL is not None
MIDDLE = READY + timedelta(days=-(-(UNTIL - READY).days // 2))


def woken(on: date, **facts: object) -> Woken:
    return Woken(**({"on": on, "of": 2, "grew": 2, "days": 2} | facts))  # type: ignore[arg-type]


def slow(transfers: int, on: date) -> Slower:
    at = datetime(on.year, on.month, on.day, 9, tzinfo=UTC)
    newest = Measured("PLATE", 1, at, Growth(2.0, 0.2, 4.0), transfers)
    return Slower(newest, 5.0, 3, is_slower=True)


def test_its_time_is_that_of_the_table() -> None:
    """A slant keeps 3 to 6 months at 5-8 degC: tables/storage.csv, agar-slant.5-8-c."""
    assert UNTIL is not None
    assert 90 <= (UNTIL - READY).days <= 180


def test_a_tube_is_woken_at_half_its_time_and_renewed_at_its_end() -> None:
    never = asked_of(Tube(lot()), (), MADE)
    assert (never.asks, never.on) == (Asks.TEST, MIDDLE)
    assert "never woken" in never.why
    assert not never.is_due(MIDDLE - timedelta(days=1))
    assert never.is_due(MIDDLE)
    after = asked_of(Tube(lot(), (woken(MIDDLE),)), (), MIDDLE)
    assert (after.asks, after.on) == (Asks.RENEW, UNTIL)
    early = asked_of(Tube(lot(), (woken(READY + timedelta(days=20)),)), (), MADE)
    assert early.asks is Asks.TEST
    assert early.on > MIDDLE


def test_the_farm_sets_how_long_it_keeps() -> None:
    """Some keepers report five years: common practice, no source."""
    steps = tuple(
        replace(step, keeps_days_cold=1825.0) if step.code == "tube" else step
        for step in ROUTE.steps
    )
    kept = lot(route=replace(ROUTE, steps=steps))
    asked = asked_of(Tube(kept, (woken(READY + timedelta(days=1000)),)), (), MADE)
    assert (asked.asks, (asked.on - READY).days) == (Asks.RENEW, 1825)


def test_a_tube_that_woke_late_is_renewed_at_once() -> None:
    for late in (woken(MIDDLE, days=5), woken(MIDDLE, grew=1)):
        asked = asked_of(Tube(lot(), (late,)), (), MIDDLE)
        assert (asked.asks, asked.on) == (Asks.RENEW, MIDDLE)
        assert "woke late" in asked.why


def test_a_tube_that_does_not_wake_goes_back_to_its_mother() -> None:
    mother = Tube(lot("HDL22", transfers=0))
    tube = Tube(lot(transfers=2), (woken(MADE), woken(MIDDLE, grew=0, days=None)))
    asked = asked_of(tube, (mother,), MIDDLE)
    assert (asked.asks, asked.back_to) == (Asks.MOTHER, "HDL22")
    assert "nothing grew" in asked.why
    dirty = Tube(lot(transfers=2), (woken(MIDDLE, is_clean=False),))
    assert asked_of(dirty, (mother,), MIDDLE).asks is Asks.MOTHER
    again = Tube(lot(transfers=2), (woken(MIDDLE), woken(MIDDLE, grew=0, days=None)))
    assert asked_of(again, (mother,), MIDDLE).asks is Asks.MOTHER, "the later of one day"
    alone = asked_of(tube, (), MIDDLE)
    assert (alone.asks, alone.back_to) == (Asks.MOTHER, "")


def test_at_the_last_transfer_its_end_leads_back_to_the_mother() -> None:
    most = ROUTE.transfer_limit
    mother = Tube(lot("HDL22"))
    last = asked_of(Tube(lot(transfers=most), (woken(MIDDLE),)), (mother,), MIDDLE)
    assert (last.asks, last.on, last.back_to) == (Asks.MOTHER, UNTIL, "HDL22")
    beyond = asked_of(Tube(lot(transfers=most + 1)), (mother,), MADE)
    assert beyond.is_due(MADE)
    assert f"allows {most}" in beyond.why
    assert asked_of(Tube(lot(transfers=most - 1), (woken(MIDDLE),)), (), MIDDLE).asks is Asks.RENEW


def test_a_culture_that_slowed_goes_back_to_tubes_moved_fewer_times() -> None:
    on = MADE + timedelta(days=40)
    mother = Tube(lot("HDL22", transfers=0))
    asked = asked_of(Tube(lot(transfers=2)), (mother,), on, slow(2, on))
    assert (asked.asks, asked.back_to) == (Asks.MOTHER, "HDL22")
    assert "2.0 mm a day, 40% of the 5.0 of 3 earlier ones" in asked.why
    assert asked_of(mother, (), on, slow(2, on)).asks is Asks.TEST, "moved fewer times"
    well = Tube(lot(transfers=2), (woken(on + timedelta(days=5)),))
    assert asked_of(well, (mother,), on, slow(2, on)).asks is not Asks.MOTHER


def test_the_mother_is_sound_and_moved_fewest_times() -> None:
    tube = Tube(lot(transfers=4))
    others = (
        Tube(lot("B", transfers=1)),
        Tube(lot("A", transfers=0, held="green at the rim")),
        Tube(lot("C", transfers=0), (woken(MIDDLE, grew=0, days=None),)),
        Tube(lot("D", transfers=1, made_on=MADE + timedelta(days=30))),
        Tube(lot("E", transfers=4)),
    )
    found = mother_of(tube, others)
    assert found is not None
    assert found.lot.code == "D"
    assert mother_of(tube, others[1:3]) is None


def test_a_tube_that_was_renewed_asks_for_nothing() -> None:
    new = Tube(lot("HDL22", transfers=1, made_on=MIDDLE + timedelta(days=3)))
    assert UNTIL is not None
    asked = asked_of(Tube(lot()), (new,), UNTIL + timedelta(days=9))
    assert asked.asks is Asks.NOTHING
    assert asked.why.startswith("HDL22 (1 transfer since the mother) stands in its place")
    of_it = replace(new, comes_from=frozenset({lot().code}))
    first = Tube(lot("AAAAA", made_on=MIDDLE + timedelta(days=1)))
    asked = asked_of(Tube(lot()), (first, of_it), UNTIL + timedelta(days=9))
    assert asked.why == "renewed as HDL22; it stands as a reserve"
    assert not asked.is_due(UNTIL + timedelta(days=9))
    sister = Tube(lot("HDL22", made_on=MADE + timedelta(days=3)))
    assert asked_of(Tube(lot()), (sister,), UNTIL).asks is Asks.TEST, "made beside it, not of it"
    held = Tube(replace(new.lot, held="green at the rim"))
    assert asked_of(Tube(lot()), (held,), UNTIL).asks is Asks.TEST


def test_a_tube_moved_once_is_not_called_made_from_one_moved_three_times() -> None:
    assert UNTIL is not None
    once = Tube(lot("8GUPZ", transfers=1, made_on=MIDDLE + timedelta(days=3)))
    asked = asked_of(Tube(lot("PST88", transfers=3)), (once,), UNTIL)
    assert asked.asks is Asks.NOTHING
    assert "renewed" not in asked.why
    assert "8GUPZ (1 transfer since the mother)" in asked.why


def test_a_reserve_is_asked_for_from_the_day_on_which_what_replaced_it_went() -> None:
    """Its own time is over long ago: it was not late while the younger one stood."""
    assert UNTIL is not None
    later = UNTIL + timedelta(days=30)
    gone = Gone("HDL22", MIDDLE + timedelta(days=3), later)
    well = Tube(lot(), (woken(MIDDLE),))
    asked = asked_of(well, (), later, gone=(gone,))
    assert (asked.asks, asked.on) == (Asks.RENEW, later)
    assert "HDL22" in asked.why
    assert asked_of(Tube(lot()), (), later, gone=(gone,)).on == later, "to wake"
    early = replace(gone, on=UNTIL - timedelta(days=9))
    assert asked_of(well, (), later, gone=(early,)).on == UNTIL, "it went before that mattered"
    sister = replace(gone, made_on=MADE + timedelta(days=3))
    assert asked_of(well, (), later, gone=(sister,)).on == UNTIL, "made beside it, not of it"


def test_a_reserve_is_asked_for_from_the_day_on_which_what_replaced_it_did_not_wake() -> None:
    assert UNTIL is not None
    later = UNTIL + timedelta(days=30)
    made = lot("HDL22", transfers=1, made_on=MIDDLE + timedelta(days=3))
    dead = Tube(made, (woken(later, grew=0, days=None),))
    asked = asked_of(Tube(lot(), (woken(MIDDLE),)), (dead,), later)
    assert (asked.asks, asked.on) == (Asks.RENEW, later)


def test_a_tube_colder_than_it_bears_is_woken_first() -> None:
    """Pink oyster dies below 8 to 10 degC: tables/storage.csv, grain-spawn-pink-oyster."""
    pink = lot(route=default_route("pink oyster"))
    asked = asked_of(Tube(pink), (), MADE)
    assert (asked.asks, asked.on) == (Asks.TEST, MADE)


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"of": 0}, "1 to 200 pieces"),
        ({"grew": 3}, "of those set"),
        ({"grew": -1}, "of those set"),
        ({"grew": 0}, "if anything grew"),
        ({"days": None}, "if anything grew"),
        ({"days": 99}, "0 to 60 days"),
    ],
)
def test_a_test_that_cannot_be_is_refused(facts: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words):
        woken(MADE, **facts)


def test_what_stands_on_the_shelf() -> None:
    assert is_on_shelf(lot())
    assert not is_on_shelf(lot(stage=Stage.GRAIN))
    assert not is_on_shelf(lot(order="a1"))
