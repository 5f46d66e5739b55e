"""Each thing that is looked at in lived days is seen where it does not hold."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from days.kept import asked_again
from days.robot import Lived
from days.watched import asked_twice, nobody_there, not_laid, not_offered, out_of_turn
from farm.small_farm import CODES, ROUTE
from pinset.chain.living import LivingLot
from pinset.chain.register import CookKind, Farm, FarmBook, Steriliser, Worker
from pinset.chain.stages import Stage
from pinset.planning.plan import Plan, Start
from pinset.services.plans.planning_day import Planned
from pinset.services.views import Change, DayView, JobState, JobView, LotUse, Section

MONDAY = date(2026, 3, 9)
BOOK = FarmBook(
    Farm("F", 0.0, "Europe/Vienna"),
    workers=(
        Worker("ada", "Ada", (4.0, 8.0, 8.0, 8.0, 8.0, 0.0, 0.0)),
        Worker("ben", "Ben", (8.0,) * 5 + (0.0, 0.0), laboratory=False),
    ),
    sterilisers=(
        Steriliser("k", "Kettle", "bay", (CookKind("grain", 5, 60, 90, 60),), 9, 1, 1.0, "10:30"),
    ),
)
KEEPING = replace(ROUTE, steps=tuple(replace(s, keeps_days_warm=10.0) for s in ROUTE.steps))
JOB = JobView(
    job="J1", kind="transfer", task="transfer", day=MONDAY, count=12, unit="units",
    what="jars", detail="", stage="grain", step="grain", variety="Grey", variety_code="grey",
    place="", room_kind="laboratory", from_lots=(), minutes=60, due="", at="08:00", fixed=False,
    why="", serves=(), spoils="", late_days=0, late_cost="", state=JobState.OPEN, done_count=0,
    claimed_by="", cautions=(), act="Done",
)  # fmt: skip
OPENING = replace(JOB, kind="open", room_kind="steriliser", place="Kettle", minutes=20)


def view(*jobs: JobView) -> DayView:
    sections = (Section("Laboratory", "", jobs),)
    return DayView(MONDAY, "", "", (), sections, (), (), (), (), "", "")


def planned(*starts: Start, changes: Iterable[Change] = ()) -> Planned:
    plan = Plan(MONDAY, 56, 14, starts, (), (), (), (), (), (), 0.0, 0.0, 0.0, 0.0, "proven")
    return Planned(plan, (), tuple(changes), datetime(2026, 3, 9, 4, tzinfo=UTC), 0)


@pytest.mark.parametrize(
    ("job", "seen"),
    [
        (JOB, False),
        (replace(JOB, at="11:00"), True),  # Ada leaves at 11:30
        (replace(JOB, at="11:00", room_kind="growing"), False),  # Ben does it
        (replace(JOB, at="15:00", room_kind="growing"), True),  # until 15:30
        (replace(JOB, at="07:00"), True),  # work begins at 07:30
        (replace(OPENING, at="15:10"), False),  # a third of an hour to unload
        (replace(OPENING, at="15:20"), True),
        (replace(OPENING, at="06:00 next day"), False),  # not before, and then when work begins
    ],
)
def test_work_while_nobody_is_there(job: JobView, seen: bool) -> None:  # noqa: FBT001
    assert bool([*nobody_there([job], view(job), BOOK)]) == seen


@pytest.mark.parametrize(
    ("made", "alive", "held", "seen"),
    [(12, 8, "", None), (12, 5, "", "8 of"), (2, 8, "", "not ready"), (400, 8, "", "past"),
     (12, 8, "sour", "held back")],
)  # fmt: skip
def test_what_is_not_alive_or_not_ready(made: int, alive: int, held: str, seen: str | None) -> None:
    day = MONDAY - timedelta(days=made)
    lot = LivingLot(
        CODES[0], "grey", "plate", Stage.PLATE, alive, day, day, "cold-1", "warm", 21.0, KEEPING,
        held=held,
    )  # fmt: skip
    job = replace(JOB, from_lots=(LotUse(CODES[0], 8, alive, "plates"),))
    found = [*not_offered([job], (lot,), MONDAY)]
    assert bool(found) == (seen is not None), found
    assert seen is None or any(seen in each for each in found)


def test_filling_that_ends_after_its_load() -> None:
    fill = replace(JOB, kind="prepare", due="before 10:30", at="09:00", minutes=90)
    assert not [*out_of_turn([fill])]
    assert [*out_of_turn([replace(fill, at="09:30")])]


def test_a_start_that_is_not_on_today() -> None:
    start = Start(MONDAY, "grey", "grain", Stage.GRAIN, 12, (), 12, MONDAY, (), "why")
    assert not [*not_laid(view(JOB), planned(start), BOOK)]
    assert [*not_laid(view(replace(JOB, count=10)), planned(start), BOOK)]
    assert [*not_laid(view(), planned(start), BOOK)]


def test_work_that_is_asked_for_twice() -> None:
    look = replace(JOB, kind="look", from_lots=(LotUse(CODES[0], 8, 8, "plates"),))
    assert not [*asked_twice([JOB, look])]
    assert [*asked_twice([look, replace(look, job="J2", what="others")])]
    assert [*asked_twice([JOB, replace(JOB, job="J2")])]


def test_what_was_done_and_is_asked_for_again_and_causes_that_are_none() -> None:
    lost = Change("5 jars instead of 6", "1 unit of A lost")
    first = Lived(MONDAY, 0, planned(), planned(), view(JOB), done=[JOB])
    told = planned(changes=[lost])
    after = Lived(MONDAY + timedelta(days=1), 1, told, told, view(JOB))
    found = [*asked_again([first, after])]
    assert ["asked for again" in each or "no such cause" in each for each in found] == [True, True]
    assert not [*asked_again([replace(first, done=[], lost=1), after])]
    late = replace(after, told=planned(), morning=view(replace(JOB, job="J2", late_days=1)))
    assert [*asked_again([first, late])]
