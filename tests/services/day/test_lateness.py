"""What a job says of what is lost if it is left."""

from __future__ import annotations

from datetime import timedelta

from farm.small_farm import TODAY
from pinset.services.day import today
from pinset.services.jobs.records import JobKind, LotAmount
from services.conftest import LayJob

SPOILT = "1.2 kg of it are spoilt from tomorrow"


def test_a_pick_says_when_it_is_spoilt_once(lay: LayJob, stock: dict[str, str]) -> None:
    """In its line where it is on time, as after days off; where it is late, with how late."""
    lots = (LotAmount(stock["fruiting"], 20, "fruiting"),)
    kg = {"unit": "kg", "count": 3, "grams": 3000, "lots": lots, "what": "kg or so to pick"}
    on_time = today.job_view(lay(JobKind.PICK, stake="1.2 kg", **kg))
    assert SPOILT in on_time.detail
    assert (on_time.late_cost, on_time.spoils) == ("", f"{SPOILT}.")
    yesterday = TODAY - timedelta(days=1)
    late = today.job_view(lay(JobKind.PICK, stake="1.2 kg", first_day=yesterday, **kg))
    assert late.late_cost == f"1 day late: {SPOILT}"
    assert SPOILT not in late.detail
    fresh = today.job_view(lay(JobKind.PICK, **kg))
    assert (fresh.spoils, fresh.late_cost) == ("", "")
