"""Who is away is named as the reason of a shortage, not what happens to be full without them.

On the small farm blocks are started on Thursdays; the 5 kg of Wednesday 15 April hang on those of
19 March.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from pinset.chain.outages import Outage, OutageOf
from pinset.chain.register import FarmBook, Worker
from pinset.planning.plan import Plan, Short
from pinset.planning.reading.absences import with_absences_named
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.solve import solve
from planning.test_outages import book, out, problem_of

DUE = date(2026, 4, 15)


def two_people(hours: tuple[float, ...], *outages: Outage) -> FarmBook:
    """Return the farm with a second person, who has a few hours."""
    farm = book(*outages)
    return replace(farm, workers=(*farm.workers, Worker("kim", "Kim", hours)))


def told(farm: FarmBook) -> tuple[Short, Short]:
    """Return what is short on the day as the plan tells it, and with absences named."""
    plan = solve(problem_of(farm)[0], time_limit_s=20.0)
    named = with_absences_named(plan, farm, lambda b: problem_of(b)[0], time_limit_s=20.0)
    return _on_the_day(plan), _on_the_day(named)


def _on_the_day(plan: Plan) -> Short:
    [short] = [each for each in plan.short if each.day == DUE]
    return short


HALF_AN_HOUR, ONE_HOUR = (0.5,) * 5 + (0.0, 0.0), (1.0,) * 5 + (0.0, 0.0)
THURSDAYS = (0.0, 0.0, 0.0, 6.0, 0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("hours", "days", "was", "when"),
    [
        (HALF_AN_HOUR, (7, 7), ShortReason.FULL, "is away on 19 March"),
        (THURSDAYS, (0, 6), ShortReason.SET_DAYS, "is away from 12 March to 18 March"),
        (ONE_HOUR, (0, 7), ShortReason.WHOLE_UNITS, "is away from 12 March to 19 March"),
    ],
)
def test_who_is_away_is_the_reason(
    hours: tuple[float, ...], days: tuple[int, int], was: ShortReason, when: str
) -> None:
    as_planned, short = told(two_people(hours, out(OutageOf.PERSON, "me", *days)))
    assert as_planned.reason_code is was
    assert "away" not in as_planned.reason
    assert (short.reason_code, short.about) == (ShortReason.AWAY, ("me",))
    assert short.reason.startswith(f"Short because Owner {when}: with Owner there about ")
    assert short.amount == as_planned.amount


def test_who_is_away_and_would_not_help_is_not_named() -> None:
    """The steriliser is down over the week before; Kim is away and has half an hour a day."""
    farm = two_people(
        HALF_AN_HOUR,
        out(OutageOf.STERILISER, "steamer", 0, 7),
        out(OutageOf.PERSON, "kim", 0, 7),
    )
    as_planned, short = told(farm)
    assert short == as_planned
    assert "steriliser" in short.reason


def test_of_two_who_are_away_the_one_who_is_missed_is_named() -> None:
    farm = two_people(HALF_AN_HOUR, out(OutageOf.PERSON, "me", 7, 7))
    third = Worker("ada", "Ada", (0.1,) * 5 + (0.0, 0.0))
    away = (*farm.outages, out(OutageOf.PERSON, "ada", 5, 8))
    farm = replace(farm, workers=(*farm.workers, third), outages=away)
    _, short = told(farm)
    assert short.about == ("me",)
    assert "Ada" not in short.reason


def test_nothing_is_planned_again_where_nobody_is_away() -> None:
    farm = two_people(HALF_AN_HOUR, out(OutageOf.STERILISER, "steamer", 0, 7))
    plan = solve(problem_of(farm)[0], time_limit_s=20.0)

    def never(_: FarmBook) -> None:
        pytest.fail("nobody is away")

    assert with_absences_named(plan, farm, never, time_limit_s=1.0) is plan  # type: ignore[arg-type]
