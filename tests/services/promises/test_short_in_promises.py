"""A promise is short on the page only where words would say more than nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.plain import to_plain
from pinset.farm import job_store
from pinset.farm.job_store import PlanRow
from pinset.planning.plan import Plan, Short
from pinset.services import memory
from pinset.services.promises import promises

NOTHING_SHORT = Plan(
    start=TODAY,
    days=56,
    whole_days=14,
    starts=(),
    moves=(),
    cooks=(),
    picks=(),
    short=(),
    at_limit=(),
    weeks=(),
    gap=0.0,
    seconds=0.1,
    objective=0.0,
    bound=0.0,
    status="proven",
)


def short(amount: float, reason: str = "All hands are busy.") -> Short:
    return Short("spawn", TODAY, "grey", amount, "unit", 3.0, reason, is_unavoidable=False)


@pytest.mark.parametrize(
    ("shorts", "state", "expected"),
    [
        ((short(0.4),), "on course", 3),
        ((short(0.6),), "short", 2),
        ((short(1.0), short(1.0, "No plates are ripe.")), "short", 1),
    ],
)
@pytest.mark.usefixtures("farm")
def test_less_than_half_a_unit_is_on_course(
    shorts: tuple[Short, ...], state: str, expected: int
) -> None:
    body = {
        "plan": to_plain(replace(NOTHING_SHORT, short=shorts)),
        "remarks": [],
        "changes": [],
    }
    job_store.lay(PlanRow(NOW, TODAY, 0, body, 0.0, 0.1, "proven"), [], [], [])
    memory.forget_all()
    view = promises.promises_view(2)
    [row] = [
        row for _, week in view.weeks for row in week if (row.promise, row.day) == ("spawn", TODAY)
    ]
    assert (row.state, row.expected) == (state, expected)
