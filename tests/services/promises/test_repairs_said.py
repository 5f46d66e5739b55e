"""A weak promise says on Promises which one more batch makes it surer."""

from __future__ import annotations

from datetime import timedelta

from farm.small_farm import NOW, TODAY
from pinset.chain.plain import to_plain
from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.farm.job_store import PlanRow
from pinset.planning.plan import Plan
from pinset.planning.reading.repair_trials import Repair
from pinset.planning.season.chances import FarmChances, OrderChance
from pinset.services.promises.promises import promises_view


def test_a_weak_promise_names_the_batch(farm: FarmBook) -> None:
    due = next(
        day for ahead in range(7, 14) if (day := TODAY + timedelta(days=ahead)).weekday() == 3
    )
    weak = OrderChance("market-grey", due, "grey", "gram", 5e3, 0.26, 3e3, 1e3, 5e3, 2e3)
    mended = Repair(
        "market-grey", due, "grey", "block", TODAY + timedelta(days=1), 14, "",
        None, is_more_cook=False, before=0.26, after=0.83, is_planned_anew=True,
    )  # fmt: skip
    plan = Plan(TODAY, 56, 14, (), (), (), (), (), (), (), 0.0, 0.0, 0.0, 0.0, "proven")
    body = {
        "plan": to_plain(plan),
        "remarks": [],
        "changes": [],
        "chances": to_plain(FarmChances(2000, (weak,))),
        "repairs": to_plain((mended,)),
    }
    job_store.lay(PlanRow(NOW, TODAY, 0, body, 0.0, 0.0, "proven"), [], [], [])
    assert farm.promises
    rows = [row for _, week in promises_view().weeks for row in week]
    [row] = [each for each in rows if each.day == due and each.promise == "market-grey"]
    assert row.state == "unsure"
    assert "14 blocks more on" in row.reason
    assert "would make it 83 of 100 seasons instead of 26" in row.reason
