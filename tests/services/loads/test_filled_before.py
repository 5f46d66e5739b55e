"""Vessels are filled before the load they go into, not before the first of the day."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from pinset.chain.register import Preparation, RoomKind, Worker
from pinset.chain.stages import Stage
from pinset.planning.plan import Plan, PlannedCook, Start
from pinset.services.jobs.from_plan import jobs_from_plan
from pinset.services.jobs.records import JobKind
from services.jobs.test_jobs_of_cooks import BOOK, GRAIN, KINDS, MONDAY

FILL = Preparation("fill", 24.0, 1.0, 5.0, RoomKind.PREPARATION)
COOK = Preparation("cook", 22.0, 0.0, 0.0, RoomKind.STERILISER)
RYE, OATS = (
    replace(GRAIN, code=mix, mix=mix, cook=cook, preparations=(FILL, COOK))
    for mix, cook in (("rye", "grain"), ("oats", "straw"))
)
FARM = replace(
    BOOK,
    routes=(replace(BOOK.routes[0], steps=(RYE, OATS)),),
    sterilisers=(replace(BOOK.sterilisers[0], cooks=KINDS, load_at="10:30"),),
    workers=(Worker("ada", "Ada", (8.0,) * 7),),
)
TUESDAY, WEDNESDAY = (MONDAY + timedelta(days=days) for days in (1, 2))


def start(step: str, count: int) -> Start:
    return Start(WEDNESDAY, "grey", step, Stage.GRAIN, count, (), count, WEDNESDAY, (), "why")


def due(*cooks: tuple[str, float], starts: tuple[Start, ...]) -> dict[str, str]:
    plan = Plan(
        MONDAY, 21, 21, starts, (),
        tuple(PlannedCook(TUESDAY, "one", kind, count, 150, 5) for kind, count in cooks),
        (), (), (), (), 0.0, 0.0, 0.0, 0.0, "proven",
    )  # fmt: skip
    jobs = jobs_from_plan(plan, FARM, MONDAY, MONDAY + timedelta(days=8), {}).jobs
    return {job.step: job.due for job in jobs if job.kind is JobKind.PREPARE}


def test_each_load_of_a_day_has_its_own_deadline() -> None:
    two = due(("grain", 1.0), ("straw", 1.0), starts=(start("rye", 20), start("oats", 20)))
    assert two == {"rye": "before 10:30", "oats": "before 15:30"}


def test_what_is_alike_is_filled_at_once_for_the_first_load() -> None:
    assert due(("grain", 2.0), starts=(start("rye", 130),)) == {"rye": "before 10:30"}
