"""A weight far above what was expected is asked about in the unit the farm weighs in."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.farm import register_store
from pinset.services.answers import recording
from pinset.services.jobs.records import JobKind, LotAmount


@pytest.mark.parametrize(
    ("units", "said"),
    [
        ("us", r"22\.05 lb is far above the 1 lb expected"),
        ("metric", r"10 kg is far above the 0\.5 kg expected"),
    ],
)
def test_both_weights_are_in_the_farms_own_unit(
    farm: FarmBook, stock: dict[str, str], lay: Callable[..., str], units: str, said: str
) -> None:
    weighed = replace(farm, farm=replace(farm.farm, units=units))
    yesterday = TODAY - timedelta(days=1)
    register_store.write(register_store.book_records(weighed), yesterday, "", NOW)
    lots = (LotAmount(stock["fruiting"], 20),)
    job = lay(JobKind.PICK, count=1, unit="kg", grams=454, lots=lots)
    with pytest.raises(RefusedError, match=said):
        recording.done(job, person="ada", client_id=secrets.token_hex(16), grams=10_000)
