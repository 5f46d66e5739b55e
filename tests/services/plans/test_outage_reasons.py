"""An outage is the reason only for what it touches, and it is named."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY, describe
from pinset.chain.outages import Outage, OutageOf
from pinset.chain.register import FarmBook
from pinset.farm import register_store
from pinset.farm.models.register import RegisterKind
from pinset.services.jobs.matching import Reason
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.plans.plan_reasons import reasons
from services.conftest import FULL_BOOK

YESTERDAY = TODAY - timedelta(days=1)
LATER = NOW + timedelta(hours=1)
NO_CAUSE = "No single cause is known"

COOKED = replace(
    FULL_BOOK,
    routes=tuple(
        replace(
            route,
            steps=tuple(
                replace(step, cook="grain") if step.code == "grain" else step
                for step in route.steps
            ),
        )
        for route in FULL_BOOK.routes
    ),
)
TRANSFER = PlannedJob(
    "transfer:grey:grain", JobKind.TRANSFER, "transfer", TODAY, 12, "units", "jars", "laboratory",
    step="grain", variety="grey",
)  # fmt: skip
BLOCKS = replace(TRANSFER, key="transfer:grey:block", step="block")
COOK = PlannedJob(
    "cook:kettle:grain", JobKind.COOK, "load", TODAY, 12, "units", "jars", "steriliser",
    steriliser="kettle", cook_kind="grain",
)  # fmt: skip
MOVE = PlannedJob(
    "move:grey", JobKind.MOVE, "move", TODAY, 12, "units", "blocks in", "growing",
    step="fruiting", variety="grey", room="inc", to_room="grow",
)  # fmt: skip


def on(job: PlannedJob, ahead: int) -> PlannedJob:
    return replace(job, day=TODAY + timedelta(days=ahead))


def out(what: OutageOf, which: str, first: int, last: int) -> Outage:
    begin, end = TODAY + timedelta(days=first), TODAY + timedelta(days=last)
    return Outage(f"{which}-out", what, which, begin, end, "told")


def since_told(*outages: Outage) -> Reason:
    register_store.write(outages, TODAY, "", LATER)
    return reasons(0, NOW, [], TODAY, YESTERDAY, COOKED)


@pytest.fixture
def book(db: None) -> FarmBook:  # noqa: ARG001
    describe(COOKED)
    return COOKED


@pytest.mark.usefixtures("book")
def test_an_absence_is_named_for_its_own_days_alone() -> None:
    reason = since_told(out(OutageOf.PERSON, "ben", 2, 4))
    assert reason(on(MOVE, 3)) == "Ben is away from Saturday until Monday."
    assert reason(on(TRANSFER, 5), on(TRANSFER, 4)) == "Ben is away from Saturday until Monday."
    assert NO_CAUSE in reason(on(MOVE, 1))
    assert NO_CAUSE in reason(on(TRANSFER, 5), on(TRANSFER, 1))


@pytest.mark.usefixtures("book")
def test_a_steriliser_that_is_down_touches_its_cooks_and_what_they_fill() -> None:
    reason = since_told(out(OutageOf.STERILISER, "kettle", 0, 1))
    assert reason(COOK) == "Kettle is out of use until tomorrow."
    assert reason(on(COOK, 2), COOK) == "Kettle is out of use until tomorrow."
    assert reason(on(TRANSFER, 2)) == "Kettle is out of use until tomorrow."
    assert NO_CAUSE in reason(on(COOK, 2))
    assert NO_CAUSE in reason(replace(COOK, cook_kind="block", steriliser="drum"))
    assert NO_CAUSE in reason(BLOCKS), "their vessels are not cooked"
    assert NO_CAUSE in reason(MOVE)


@pytest.mark.usefixtures("book")
def test_a_room_touches_what_is_carried_to_rooms_of_its_kind() -> None:
    reason = since_told(out(OutageOf.ROOM, "grow", 0, 0))
    name = next(room.name for room in COOKED.rooms if room.code == "grow")
    assert reason(MOVE) == f"{name} is out of use today."
    assert NO_CAUSE in reason(on(MOVE, 1))
    assert NO_CAUSE in reason(COOK)


@pytest.mark.usefixtures("book")
def test_what_stands_in_a_room_is_out_with_it() -> None:
    reason = since_told(out(OutageOf.ROOM, "bay", 0, 0))
    assert reason(COOK) == "Steriliser bay is out of use today."
    assert NO_CAUSE in reason(MOVE)


@pytest.mark.usefixtures("book")
def test_the_end_of_an_outage_is_told_of_the_days_it_had() -> None:
    down = out(OutageOf.STERILISER, "kettle", -2, 3)
    register_store.write([down], TODAY - timedelta(days=2), "", NOW - timedelta(days=2))
    retired = [(RegisterKind.OUTAGE, down.code)]
    register_store.write([], TODAY, "", LATER, retire=retired)
    reason = reasons(0, NOW, [], TODAY, YESTERDAY, COOKED)
    assert reason(on(COOK, 2)) == "Kettle is in use again."
    assert NO_CAUSE in reason(on(COOK, 4))


@pytest.mark.usefixtures("book")
def test_an_outage_that_came_and_went_since_is_no_reason() -> None:
    down = out(OutageOf.STERILISER, "kettle", 0, 3)
    register_store.write([down], TODAY, "", LATER)
    retired = [(RegisterKind.OUTAGE, down.code)]
    register_store.write([], TODAY, "", LATER + timedelta(hours=1), retire=retired)
    assert NO_CAUSE in reasons(0, NOW, [], TODAY, YESTERDAY, COOKED)(COOK)
