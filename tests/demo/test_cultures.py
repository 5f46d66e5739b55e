"""The demo farm's cultures: plates that were measured, tubes that were woken when it was time."""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import date, datetime, timedelta
from itertools import islice
from math import exp
from statistics import fmean
from zoneinfo import ZoneInfo

import pytest

from demo.history import SEED, TODAY, Told, simulation, told
from pinset.chain.shelf_life import Woken
from pinset.chain.stages import Stage
from pinset.chain.vigour import Growth, Measured, Radius, held_against_earlier, of_plate
from pinset.demo import plates, waking
from pinset.farm.entries import NewEntry
from pinset.farm.trade.cultures import MEASURED
from pinset.services.answers.history import Verdict

ZONE = ZoneInfo("Europe/Vienna")
KEEPING = {MEASURED, Verdict.WOKEN.value}
WEEKS = 12


@pytest.fixture(scope="module")
def history() -> Told:
    return told()


def role(entry: NewEntry) -> str:
    return entry.mentions[0].role if entry.mentions else ""


def grown(history: Told) -> dict[str, tuple[datetime, Growth]]:
    """Return the growth of each plate that was read twice, by lot."""
    radii: dict[str, list[Radius]] = defaultdict(list)
    for entry in history.entries:
        if role(entry) == MEASURED:
            [[at, mm]] = entry.details["radii"]
            radii[entry.mentions[0].lot].append(Radius(datetime.fromisoformat(at), mm))
    found = {lot: of_plate(read) for lot, read in radii.items()}
    return {lot: each for lot, each in found.items() if each is not None}


def measured(history: Told, culture: str, before: date = date.max) -> list[Measured]:
    return [
        Measured(lot, 1, at, growth)
        for lot, (at, growth) in grown(history).items()
        if history.lots[lot].culture == culture and history.lots[lot].made_on < before
    ]


def test_plates_of_each_line_are_read_twice_in_the_warm_on_their_agar(history: Told) -> None:
    read = [entry for entry in history.entries if role(entry) == MEASURED]
    times = Counter(entry.mentions[0].lot for entry in read)
    assert {history.lots[lot].stage for lot in times} == {Stage.PLATE}
    assert set(times.values()) <= {1, 2}
    twice = grown(history)
    by_variety = Counter(history.lots[lot].variety for lot in twice)
    kept = {culture.variety for culture in history.world.book.cultures}
    assert set(by_variety) == kept
    assert min(by_variety.values()) >= 10
    assert all(3.0 <= growth.days <= 6.1 for _, growth in twice.values())
    assert {entry.details["temperature_c"] for entry in read} == {23.0}
    assert {entry.details["medium"] for entry in read} == {"malt agar"}
    assert all(entry.details["transfers"] > 0 for entry in read)


def test_two_radii_tell_how_the_plate_truly_grew(history: Told) -> None:
    """The half-width holds the true growth 95 times in 100; a plate read full is no less."""
    true = {each.lot: each.mm_per_day for each in history.truth.plates}
    told_ = {lot: growth for lot, (_, growth) in grown(history).items() if not growth.is_at_edge}
    assert set(told_) <= set(true)
    off = [abs(each.mm_per_day - true[lot]) <= each.within for lot, each in told_.items()]
    assert len(off) > 60
    assert fmean(off) > 0.9


def test_a_sound_plate_grows_as_published_or_fills_its_dish_in_the_days_of_its_route(
    history: Told,
) -> None:
    """King oyster: 2.84 mm a day at 20 and 3.35 at 25 degC (Soylu et al. 2016, abstract)."""
    rates: dict[str, list[float]] = defaultdict(list)
    for each in history.truth.plates:
        if each.lot not in history.truth.tired.lots:
            rates[history.lots[each.lot].variety].append(each.mm_per_day)
    assert 2.84 < fmean(rates["king-oyster"]) < 3.35
    for variety, route in history.world.routes.items():
        if variety in rates and variety != "king-oyster":
            days = route.step("plate").days
            reaches = 3.0 + (days.mean - 1.0) * fmean(rates[variety])
            assert reaches == pytest.approx(42.0, rel=0.05)
            assert days.low < 1.0 + 39.0 / fmean(rates[variety]) < days.high


def test_the_tired_culture_grows_slower_from_its_day_and_no_other_does(history: Told) -> None:
    tired = history.truth.tired
    before = held_against_earlier(measured(history, tired.culture, before=tired.since))
    after = held_against_earlier(measured(history, tired.culture))
    assert before is not None
    assert after is not None
    assert (before.is_slower, after.is_slower) == (False, True)
    assert after.share == pytest.approx(tired.growth, abs=0.12)
    for culture in {lot.culture for lot in history.lots.values()} - {tired.culture, ""}:
        held = held_against_earlier(measured(history, culture))
        assert held is None or not held.is_slower, culture


def test_the_truth_of_each_plate_lies_near_that_of_its_culture(history: Told) -> None:
    world, four_sd = history.world, exp(4.0 * plates.GROWTH_LOG_SD)
    for each in history.truth.plates:
        lot = history.lots[each.lot]
        sound = plates.sound_mm_per_day(
            world, lot.variety, world.routes[lot.variety].step(lot.step)
        )
        usual = sound * (history.truth.tired.growth if each.lot in history.truth.tired.lots else 1)
        assert usual / four_sd < each.mm_per_day < usual * four_sd


def test_without_them_everything_else_is_the_same(
    history: Told, monkeypatch: pytest.MonkeyPatch
) -> None:
    for module, name in ((plates, "measure_plates"), (waking, "wake_tubes")):
        monkeypatch.setattr(module, name, lambda _world: None)
    without = [
        entry
        for week in islice(simulation(SEED).weeks(), WEEKS)
        for sheet in week
        for entry in sheet.entries
    ]
    kept = [entry for entry in history.entries if role(entry) not in KEEPING]
    assert not [entry for entry in without if role(entry) in KEEPING]
    assert Counter(entry.kind for entry in without) == Counter(
        entry.kind for entry in kept[: len(without)]
    )
    assert without == kept[: len(without)]
    added = [entry for entry in history.entries if role(entry) in KEEPING]
    assert not any(entry.postings or entry.lots or entry.links for entry in added)


def woken(history: Told) -> dict[str, list[tuple[date, Woken]]]:
    found: dict[str, list[tuple[date, Woken]]] = defaultdict(list)
    for entry in history.entries:
        if role(entry) == Verdict.WOKEN.value:
            said, day = entry.details["woken"], entry.happened_at.astimezone(ZONE).date()
            test = Woken(said["pieces"], said["grew"], said["days"], said["clean"])
            found[entry.mentions[0].lot].append((day, test))
    return found


def test_tubes_are_woken_when_half_of_their_time_is_over(history: Told) -> None:
    """A slant keeps 135 days in the cold (table of storage): half of that are 68."""
    tests = woken(history)
    assert {history.lots[lot].stage for lot in tests} == {Stage.TUBE}
    assert len(tests) > 15
    tired = history.truth.tired
    round_on = TODAY - timedelta(days=waking.ROUND_BEFORE_DAYS)
    for lot, times in tests.items():
        made = history.lots[lot]
        step = history.world.routes[made.variety].step("tube")
        first, test = times[0]
        if first < round_on:
            age = (first - made.made_on).days - step.days.mean
            assert 68 <= age <= 68 + 8, lot
        is_tired = made.culture == tired.culture and made.made_on >= tired.since
        assert not test.failed
        assert test.was_late == is_tired


def test_one_or_two_are_left_to_be_woken_today_and_none_for_long(history: Told) -> None:
    world = history.world
    tubes = [lot for lot in world.stock.all() if lot.step.stage is Stage.TUBE]
    due = [on for on, _ in waking.due_tests(world, tubes)]
    assert 1 <= len(due) <= waking.MOST_LEFT
    assert min(due) > TODAY - timedelta(days=waking.LEFT_DAYS)
