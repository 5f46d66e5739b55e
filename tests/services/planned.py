"""A stored plan that asks for nothing, or for what a test gives it."""

from __future__ import annotations

from datetime import date

from farm.small_farm import NOW, TODAY
from pinset.chain.plain import to_plain
from pinset.farm import job_store
from pinset.farm.job_store import PlanRow
from pinset.planning.plan import Plan


def plan_body(start: date = TODAY, **more: object) -> dict[str, object]:
    """Return a plan of a day as it is stored."""
    parts = ("starts", "moves", "cooks", "picks", "short", "at_limit", "weeks")
    numbers = dict.fromkeys(("gap", "seconds", "objective", "bound"), 0.0)
    given = {**dict.fromkeys(parts, ()), **numbers, **more}
    plan = Plan(start=start, days=56, whole_days=14, status="proven", **given)  # type: ignore[arg-type]
    return {"plan": to_plain(plan), "remarks": [], "changes": []}


def planned(start: date = TODAY, **more: object) -> None:
    """Store a plan of a day, without jobs."""
    body = plan_body(start, **more)
    job_store.lay(PlanRow(NOW, start, 0, body, 0.0, 0.0, "proven"), [], [], [])
