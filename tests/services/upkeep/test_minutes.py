"""The hours that a plan may use are less what chores and tubes take of them."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import time, timedelta

import pytest

from farm.small_farm import NOW, TODAY, describe
from pinset.chain.register import FarmBook, Worker
from pinset.chain.shelf_life import Asked, Asks, Tube
from pinset.planning.building.taken import LEAST_MINUTES, Taken
from pinset.services.asking.can_promise import farm_now
from pinset.services.book_reader import Reader
from pinset.services.day.day_now import day_now
from pinset.services.plans.problem_now import problem_now, with_hours_left
from pinset.services.upkeep import later, minutes
from pinset.services.upkeep.in_step import bring_in_step
from pinset.services.upkeep.jobs import tube_key
from pinset.services.upkeep.minutes import minutes_taken, put_off_until

ADA = Worker("ada", "Ada", (8.0,) * 5 + (0.0, 0.0), laboratory=True)
BEN = Worker("ben", "Ben", (4.0,) * 5 + (0.0, 0.0), laboratory=False)


def only(farm: FarmBook, *chores: str, **changed: object) -> FarmBook:
    """Return the farm with some of its chores, and with people from Monday to Friday."""
    kept = tuple(
        replace(each, **changed)  # type: ignore[arg-type]
        for each in farm.upkeep
        if each.code in chores
    )
    return replace(farm, upkeep=kept, workers=(ADA, BEN))


def by_day(book: FarmBook, days: int = 21) -> dict[int, float]:
    return {each.day: each.hands for each in minutes_taken(Reader(book, TODAY), days)}


def test_a_chore_takes_its_minutes_of_the_day_it_is_due_and_comes_again(farm: FarmBook) -> None:
    """Thursday: overdue, so today; then every seven days."""
    assert by_day(only(farm, "floor")) == {0: 40.0, 7: 40.0, 14: 40.0}
    assert by_day(only(farm, "floor"), days=7) == {0: 40.0}


def test_what_falls_on_a_day_off_is_done_on_the_next_day_of_work(farm: FarmBook) -> None:
    """Due on Sunday, done on Monday; its next day counts from then."""
    book = only(farm, "lamp", every_days=10, since=TODAY - timedelta(days=7), minutes=15)
    assert by_day(book) == {4: 15.0, 14: 15.0}


def test_a_chore_by_use_counts_once_it_is_due(farm: FarmBook) -> None:
    assert by_day(only(farm, "seal")) == {}


def test_upkeep_in_the_laboratory_is_for_those_who_may_work_there(farm: FarmBook) -> None:
    """The floor is usually Ben's, who does not; the lamp stands at the bench."""
    [floor] = minutes_taken(Reader(only(farm, "floor"), TODAY), 1)
    assert floor == Taken(0, 40.0)
    [lamp] = minutes_taken(Reader(only(farm, "lamp", since=None), TODAY), 1)
    assert lamp == Taken(0, 10.0, laboratory=10.0, bench=10.0)


def test_tubes_take_minutes_at_the_bench(farm: FarmBook, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = (Asked(Asks.RENEW, TODAY - timedelta(days=40), ""), Asked(Asks.NOTHING, TODAY, ""))
    monkeypatch.setattr(minutes, "shelf_asked", lambda _: tuple((_TUBE, each) for each in asked))
    book = only(farm)
    assert minutes_taken(Reader(book, TODAY), 21) == (Taken(0, 30.0, 30.0, 30.0),)
    away = {tube_key("AAAAA", "renew"): TODAY + timedelta(days=5)}
    assert minutes_taken(Reader(book, TODAY), 21, away)[0].day == 5


class _Lot:
    code = "AAAAA"


_TUBE = Tube(_Lot())  # type: ignore[arg-type]


def test_what_is_put_off_takes_nothing_of_today(farm: FarmBook) -> None:
    bring_in_step(farm, NOW)
    later.put_off("floor", "rain", days=4, person="ben", client_id=secrets.token_hex(16))
    assert put_off_until() == {"chore:floor": TODAY + timedelta(days=4)}
    book = only(farm, "floor")
    assert minutes_taken(Reader(book, TODAY), 7, put_off_until()) == (Taken(4, 40.0),)


def hands(book: FarmBook, since: time | None = None) -> tuple[float, ...]:
    describe(book)
    day = day_now(book, TODAY, since)
    problem = with_hours_left(problem_now(book, day)[0], day, frozenset())
    return problem.resources.hands_minutes


def test_the_plan_has_less_of_people_by_what_upkeep_takes(farm: FarmBook) -> None:
    without = hands(only(farm))
    with_it = hands(only(farm, "floor"))
    less = {day: a - b for day, (a, b) in enumerate(zip(without, with_it, strict=True)) if a != b}
    assert less == {0: 40.0, 7: 40.0, 14: 40.0}


def test_at_noon_what_is_still_due_is_kept_free(farm: FarmBook) -> None:
    noon = time(12, 30)
    assert hands(only(farm), noon)[0] - hands(only(farm, "floor"), noon)[0] == 40.0


def test_a_day_full_of_upkeep_stays_a_working_day(farm: FarmBook) -> None:
    assert hands(only(farm, "floor", minutes=1000))[0] == LEAST_MINUTES


def test_a_question_about_a_promise_reckons_with_it(farm: FarmBook) -> None:
    book = only(farm, "floor")
    describe(book)
    assert [each.day for each in farm_now(book, TODAY, None).taken] == [0, 7, 14]
