"""A cook is called by the farm's own date and time."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import UTC, datetime, time, timedelta

import pytest

from farm.small_farm import TODAY
from pinset.chain.register import FarmBook
from pinset.farm.queries.lots import lot_by_code
from pinset.services.answers import recording
from pinset.services.jobs.records import JobKind, LotAmount

EVENING_UTC = datetime.combine(TODAY - timedelta(days=1), time(23, 30), UTC)


@pytest.mark.usefixtures("stock")
def test_late_in_the_evening_utc_it_is_the_farms_next_day(
    farm: FarmBook, lay: Callable[..., str]
) -> None:
    assert farm.farm.time_zone == "Europe/Vienna"
    job = lay(
        JobKind.COOK, steriliser="kettle", cook_kind="grain", variety="", count=30,
        feeds=(LotAmount("", 30, "grain"),),
    )  # fmt: skip
    done = recording.done(job, person="ada", client_id=secrets.token_hex(16), at=EVENING_UTC)
    [prepared] = done.new_lots
    assert lot_by_code(prepared).cook == f"kettle-{TODAY:%Y%m%d}-0030"
